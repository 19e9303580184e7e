"""A run of sending: what goes first, what is set aside, what a dead run leaves, what is smaller."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Self

import pytest
from desk_match import Laptop, at, folder_desk, own_style, shoot
from simplejpeg import decode_jpeg_header

from setpiece.errors import LinkLost, Stopped
from setpiece.match.instants import Instant, read_instant
from setpiece.pictures.iptc import read_fields
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.folder import FolderSender
from setpiece.store.delivery import State, Urgency
from setpiece.store.leases import claim
from setpiece.store.matches import Match
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.desks import Desk, DeskSettings, add_desk, change_settings
from setpiece.work.desk.link import DeskLink, Patience
from setpiece.work.desk.outbox import withdraw
from setpiece.work.desk.owner import owning
from setpiece.work.desk.queueing import queue_set
from setpiece.work.job import Unattended

PLAY = "5w tackles 9r"
AT_ONCE = Patience(first_pause_s=0.01, longest_pause_s=0.02, aside_s=0.05)


class Slow(FolderSender):
    """A folder that takes its bytes slowly; `between` is called while it does."""

    def __init__(
        self, address: DeskAddress, steps: int, between: Callable[[str, int], None]
    ) -> None:
        super().__init__(address)
        self._steps = steps
        self._between = between

    def __enter__(self) -> Self:
        super().__enter__()
        return self

    def upload(
        self,
        data: bytes,
        path: str,
        *,
        resume_from: int,
        progress: Callable[[int], None],
        stopped: Callable[[], bool],
    ) -> int:
        for step in range(self._steps):
            self._between(path, step)
            if stopped():
                raise Stopped("stopped")
            progress(len(data) * step // self._steps)
        return super().upload(
            data, path, resume_from=resume_from, progress=progress, stopped=stopped
        )


def queue_some(space: Workspace, of: Match, now: Instant, count: int = 3) -> list[str]:
    """So many captioned frames of the second half in the outbox of City, oldest first."""
    frames = []
    for number in range(count):
        frame = shoot(space, of, number + 1, at(2, f"3{number}:10"))
        write_caption(space, of, frame, PLAY, Unattended(now))
        frames.append(frame)
    queue_set(space, of, ["City"], Unattended(now), frames=frames)
    return frames


def test_the_newest_goes_first_and_the_goal_before_it(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """Of ordinary pictures the newest goes first; what was asked for goes before all of them."""
    folder_desk(space, tmp_path, "City", now)
    frames = queue_some(space, played, now)
    asked = shoot(space, played, 9, at(1, "5:10"))
    write_caption(space, played, asked, PLAY, Unattended(now))
    queue_set(space, played, ["City"], Unattended(now), frames=[asked], urgency=Urgency.FIRST)
    send_waiting(space, played, Laptop(at(2, "40:00")))
    sent = sorted(deliveries(space, played), key=lambda d: d.ended)
    assert [d.frame_id for d in sent] == [asked, *reversed(frames)]


def test_a_slow_picture_is_set_aside_for_the_goal(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """A goal queued while an ordinary picture crawls goes before it; both arrive once."""
    desk = folder_desk(space, tmp_path, "City", now)
    slow, goal = (shoot(space, played, n, at(2, f"3{n}:10")) for n in (1, 2))
    for frame in (slow, goal):
        write_caption(space, played, frame, PLAY, Unattended(now))
    queue_set(space, played, ["City"], Unattended(now), frames=[slow])
    queued = threading.Event()

    def between(_path: str, step: int) -> None:
        if step == 1 and not queued.is_set():
            queued.set()
            queue_set(
                space, played, ["City"], Unattended(now), frames=[goal], urgency=Urgency.FIRST
            )
        threading.Event().wait(0.02)

    done = send_waiting(
        space,
        played,
        Laptop(at(2, "40:00")),
        patience=replace(AT_ONCE, aside_s=-1.0),
        opener=lambda address, _: Slow(address, 60, between),
    )
    sent = sorted(deliveries(space, played), key=lambda d: d.ended)
    assert (done.delivered, [d.frame_id for d in sent]) == (2, [goal, slow])
    assert len(list(desk.iterdir())) == 2


def test_a_paused_desk_gets_nothing_more(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """Pausing sets aside what is under way; resuming sends it."""
    desk = folder_desk(space, tmp_path, "City", now)
    queue_some(space, played, now, 2)

    def between(_path: str, step: int) -> None:
        if step == 1:
            change_settings(space, "City", Unattended(now), paused=True)
        threading.Event().wait(0.02)

    done = send_waiting(
        space,
        played,
        Laptop(at(2, "40:00")),
        opener=lambda address, _: Slow(address, 100, between),
    )
    assert (done.delivered, done.waiting) == (0, 2)
    assert not [p for p in desk.iterdir() if p.suffix == ".jpg"]
    change_settings(space, "City", Unattended(now), paused=False)
    assert send_waiting(space, played, Laptop(at(2, "41:00"))).delivered == 2


def test_stopping_keeps_what_was_sent_and_goes_on_next_time(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """A stop leaves the rest in the outbox; nothing is lost and nothing sent twice."""
    desk = folder_desk(space, tmp_path, "City", now)
    queue_some(space, played, now)
    laptop = Laptop(at(2, "40:00"))
    begun: list[str] = []

    def between(path: str, step: int) -> None:
        if step == 0:
            begun.append(path)
        laptop.stop = len(begun) == 2
        threading.Event().wait(0.02)

    with pytest.raises(Stopped):
        send_waiting(space, played, laptop, opener=lambda address, _: Slow(address, 60, between))
    states = sorted(d.state for d in deliveries(space, played))
    assert states == [State.DELIVERED, State.QUEUED, State.QUEUED]
    assert send_waiting(space, played, Laptop(at(2, "41:00"))).delivered == 2
    assert len(list(desk.iterdir())) == 3


def test_what_a_dead_run_had_is_taken_over_at_once(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """A lease of a run that is gone is free though it has not run out; a living run's is not."""
    folder_desk(space, tmp_path, "City", now)
    queue_some(space, played, now, 1)
    with owning(space) as owner:
        assert claim(space, played, owner, now) is not None
        assert send_waiting(space, played, Unattended(now)).delivered == 0
        lock = next(space.folder.glob(".sending-*.lock"))
        kept = lock.read_bytes()
    lock.write_bytes(kept)  # a killed process leaves its file, but not its lock
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    assert not list(space.folder.glob(".sending-*.lock"))


def test_retries_go_on_until_all_has_arrived(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """With a link that fails every second time everything arrives in one run that stays."""
    desk = folder_desk(space, tmp_path, "City", now)
    queue_some(space, played, now)
    count = 0

    def between(path: str, step: int) -> None:
        nonlocal count
        count += 1
        if count % 2:
            raise LinkLost("gone")

    done = send_waiting(
        space,
        played,
        Laptop(at(2, "40:00")),
        until_done=True,
        patience=AT_ONCE,
        opener=lambda address, _: Slow(address, 1, between),
    )
    assert (done.delivered, done.waiting) == (3, 0)
    assert len(list(desk.iterdir())) == 3


def test_a_desk_that_cannot_be_reached_holds_up_no_other(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """A missing folder is told once and spoils no picture; the other desk gets everything."""
    gone = folder_desk(space, tmp_path, "Gone", now)
    folder_desk(space, tmp_path, "City", now)
    frames = queue_some(space, played, now, 2)
    queue_set(space, played, ["Gone"], Unattended(now), frames=frames)
    gone.rmdir()
    done = send_waiting(space, played, Unattended(now), until_done=True)
    assert (done.delivered, done.refused, done.waiting) == (2, 0, 2)
    assert len(done.troubles) == 1
    gone.mkdir()
    assert send_waiting(space, played, Unattended(now)).delivered == 2


def test_a_desk_without_a_password_is_told_and_nothing_is_spoilt(
    space: Workspace, played: Match, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nobody knows the password the pictures stay queued."""
    monkeypatch.setattr("setpiece.send.passwords._keyring", lambda: None)
    address = DeskAddress(Protocol.FTP, host="127.0.0.1", port=9, user="ada")
    add_desk(space, Desk("City", address, "north"), Unattended(now))
    queue_some(space, played, now, 1)
    done = send_waiting(space, played, Unattended(now))
    assert (done.waiting, done.refused) == (1, 0)
    assert "assword" in done.troubles[0]


def test_below_a_set_rate_renditions_are_smaller_and_say_so(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """After a slow picture the next is made smaller, keeps its caption, and its note says why."""
    settings = DeskSettings(smaller_below_kbit_s=100_000, smaller_long_side_px=200)
    desk = folder_desk(space, tmp_path, "City", now, settings=settings)
    queue_some(space, played, now, 2)

    def between(_path: str, _step: int) -> None:
        threading.Event().wait(0.2)

    send_waiting(
        space,
        played,
        Laptop(at(2, "40:00")),
        opener=lambda address, _: Slow(address, 1, between),
    )
    first, second = sorted(deliveries(space, played), key=lambda d: d.ended)
    assert first.note == ""
    assert second.note.startswith("Made smaller, 200 px, because the link carried ")
    sent = (desk / second.remote_name).read_bytes()
    assert max(decode_jpeg_header(sent)[:2]) == 200
    assert read_fields(sent).description.startswith("Agnieszka Żelichowska")
    assert len(sent) == second.size


def test_a_spacing_is_kept_between_pictures(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """With 20 s between pictures a run that stays sends them 20 s apart by the laptop's clock."""
    style = own_style(space, "spaced", spacing_s=20)
    folder_desk(space, tmp_path, "City", now, style=style)
    queue_some(space, played, now)
    done = send_waiting(space, played, Laptop(at(2, "40:00"), speed=40.0), until_done=True)
    assert done.delivered == 3
    times = sorted(read_instant(d.ended) for d in deliveries(space, played))
    apart = [(b - a).total_seconds() for a, b in pairwise(times)]
    assert min(apart) >= 20


def test_a_withdrawn_part_is_taken_away_from_the_desk(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """A part that a withdrawn delivery left is deleted when the desk is met again."""
    desk = folder_desk(space, tmp_path, "City", now)
    queue_some(space, played, now, 1)

    class Broken(FolderSender):
        def upload(self, data: bytes, path: str, **_: object) -> int:
            (desk / path).write_bytes(data[: len(data) // 2])
            raise LinkLost("gone")

    send_waiting(space, played, Unattended(now), opener=lambda address, _: Broken(address))
    assert [p.suffix for p in desk.iterdir()] == [".part"]
    (item,) = deliveries(space, played)
    withdraw(space, played, item.id)
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    assert list(desk.iterdir()) == []


def test_another_uplink_ends_the_pause_of_a_lost_link(
    tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the way out changes a desk's pause is over; the same way out changes nothing.

    Where there was none at first, the first one is a change too.
    """
    ways = iter(["10.0.0.2", "10.0.0.2", "172.20.10.3", "", "10.0.0.2"])
    monkeypatch.setattr("setpiece.work.desk.link.way_out", lambda _: next(ways))
    address = DeskAddress(Protocol.FOLDER, path=tmp_path)
    link = DeskLink(Desk("City", address, "north"), Secret(), Patience())
    link.lost(now)
    assert link.not_before is not None
    assert not link.uplink_changed()
    assert not link.uplink_changed()
    assert link.not_before is not None
    assert link.uplink_changed()
    assert link.not_before is None
    offline = DeskLink(Desk("City", address, "north"), Secret(), Patience())
    offline.lost(now)
    assert [offline.uplink_changed(), offline.uplink_changed()] == [False, True]
    assert offline.not_before is None


def test_a_host_whose_name_is_not_found_holds_up_no_other_desk(
    space: Workspace, played: Match, tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The way out is asked by a thread of its own: a name server that hangs stops nothing."""
    asked: list[threading.Thread] = []

    def way(_: DeskAddress) -> str:
        asked.append(threading.current_thread())
        return ""

    monkeypatch.setattr("setpiece.work.desk.link.way_out", way)
    folder_desk(space, tmp_path, "City", now)
    queue_some(space, played, now, 1)
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    assert threading.current_thread() not in asked
