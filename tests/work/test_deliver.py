"""From a captioned frame to a receipt: queued once, delivered once, errors kept back."""

from __future__ import annotations

from pathlib import Path

import pytest

from setpiece.errors import LinkLost, OutcomeUnknown
from setpiece.match.instants import Instant
from setpiece.pictures.iptc import read_fields
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.matches import Match
from setpiece.store.outbox import State, deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import retype, write_caption
from setpiece.work.demo.desk_server import USER, desk_server
from setpiece.work.desk import tries
from setpiece.work.desk.deliver import queue_set, send_waiting
from setpiece.work.desk.desks import Desk, add_desk
from setpiece.work.job import Unattended

LINE = "9r celebrates with 11r right"


@pytest.fixture
def desk(space: Workspace, desk_folder: Path, now: Instant) -> str:
    """A folder desk."""
    address = DeskAddress(Protocol.FOLDER, path=desk_folder)
    add_desk(space, Desk("City", address, "north"), Unattended(now))
    return "City"


def test_a_picture_arrives_once_with_the_caption_that_was_checked(
    space: Workspace, played: Match, celebration: str, desk: str, desk_folder: Path, now: Instant
) -> None:
    """The delivered file holds the caption's fields; sending again sends nothing."""
    written = write_caption(space, played, celebration, LINE, Unattended(now))
    assert not [f for f in written.findings if f.level == "error"]
    queued = queue_set(space, played, [desk], Unattended(now))
    assert queued.left_out == ()
    assert queued.queued == 1
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (arrived,) = [p for p in desk_folder.iterdir()]
    fields = read_fields(arrived.read_bytes())
    assert fields.headline == written.caption.fields.headline
    assert fields.description == written.caption.fields.description
    assert "Signe Ørbeck" in fields.description
    assert "2–1" in fields.description
    again = queue_set(space, played, [desk], Unattended(now))
    assert (again.queued, again.known) == (0, 1)
    assert send_waiting(space, played, Unattended(now)).delivered == 0
    (item,) = deliveries(space, played)
    assert item.state is State.DELIVERED
    assert item.receipt is not None


def test_an_error_keeps_the_picture_back_and_says_why(
    space: Workspace, played: Match, celebration: str, desk: str, now: Instant
) -> None:
    """A caption with a wrong score is not queued; the reason names the score."""
    written = write_caption(space, played, celebration, LINE, Unattended(now))
    wrong = written.caption.fields.description.replace("2–1", "3–1")
    retype(space, played, celebration, Unattended(now), description=wrong)
    queued = queue_set(space, played, [desk], Unattended(now))
    assert queued.queued == 0
    assert "3–1" in " ".join(queued.left_out[0].why)


def test_a_frame_without_a_caption_is_named(
    space: Workspace, played: Match, celebration: str, desk: str, now: Instant
) -> None:
    """A frame in use without a caption is left out by name."""
    queued = queue_set(space, played, [desk], Unattended(now))
    assert [n.frame for n in queued.left_out] == ["A-0231"]


@pytest.mark.parametrize("trouble", [LinkLost("gone"), OutcomeUnknown("gone")])
def test_a_lost_link_leaves_the_picture_for_the_next_try(
    space: Workspace,
    played: Match,
    celebration: str,
    desk: str,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
    trouble: Exception,
) -> None:
    """After a lost link the delivery is queued, or unknown after the last byte, with words."""
    write_caption(space, played, celebration, LINE, Unattended(now))
    queue_set(space, played, [desk], Unattended(now))

    def lost(*_: object, **__: object) -> None:
        raise trouble

    monkeypatch.setattr(tries, "deliver_file", lost)
    report = send_waiting(space, played, Unattended(now))
    assert (report.delivered, report.waiting) == (0, 1)
    (item,) = deliveries(space, played)
    expected = State.UNKNOWN if isinstance(trouble, OutcomeUnknown) else State.QUEUED
    assert item.state is expected
    assert item.not_before > now.isoformat()


def test_a_changed_rendition_is_never_sent(
    space: Workspace, played: Match, celebration: str, desk: str, now: Instant
) -> None:
    """A file changed after the check is refused, not sent."""
    write_caption(space, played, celebration, LINE, Unattended(now))
    queue_set(space, played, [desk], Unattended(now))
    (item,) = deliveries(space, played)
    (space.folder / played.folder / item.path).write_bytes(b"another picture")
    assert send_waiting(space, played, Unattended(now)).refused == 1


@pytest.mark.network
def test_a_real_server_gives_the_receipt(
    space: Workspace,
    played: Match,
    celebration: str,
    tmp_path: Path,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Over FTP the file lands whole under its final name only, and the receipt has its size."""
    write_caption(space, played, celebration, LINE, Unattended(now))
    with desk_server(tmp_path / "server") as server:
        monkeypatch.setenv("SETPIECE_PASSWORD_WIRE", server.password)
        address = DeskAddress(Protocol.FTP, host="127.0.0.1", port=server.port, user=USER)
        add_desk(space, Desk("Wire", address, "north"), Unattended(now))
        queue_set(space, played, ["Wire"], Unattended(now))
        assert send_waiting(space, played, Unattended(now)).delivered == 1
        (arrived,) = server.folder.iterdir()
        (item,) = deliveries(space, played)
        assert (arrived.name, arrived.stat().st_size) == (item.remote_name, item.size)
