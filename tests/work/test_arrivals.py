"""Predicted arrivals: honest after the first pictures, silent before, and told of editions."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from statistics import median

import pytest
from desk_match import at, folder_desk, own_style, shoot

from setpiece.errors import AskPhotographer
from setpiece.match.instants import Instant, instant, read_instant
from setpiece.send.desk import DeskAddress
from setpiece.send.folder import FolderSender
from setpiece.store.delivery import Delivery, State
from setpiece.store.matches import Match
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.desk.arrivals import Expected, expected, outbox_rows
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.desks import DeskSettings
from setpiece.work.desk.queueing import queue_set
from setpiece.work.job import Question, Unattended
from setpiece.work.matchday import Matchday

PLAY = "5w tackles 9r"
MEDIAN_ERROR = 0.20
"""The share of the predicted wait by which a prediction may be off, in the median."""


class Clock:
    """A clock that moves only when a link has carried something; a caller too."""

    def __init__(self, start: Instant) -> None:
        self._start = start
        self.passed_s = 0.0

    def now(self) -> Instant:
        return instant(self._start + timedelta(seconds=self.passed_s))

    def monotonic(self) -> float:
        return self.passed_s

    def ask(self, question: Question) -> str:
        raise AskPhotographer(question.text)

    def progress(self, done: int, total: int, what: str) -> None:
        pass

    def stopped(self) -> bool:
        return False


class Carried(FolderSender):
    """A folder behind a steady link: its clock moves by round trips and bytes, a tenth unsteady."""

    def __init__(self, address: DeskAddress, clock: Clock, bytes_s: float, each: object) -> None:
        super().__init__(address)
        self._clock = clock
        self._bytes_s = bytes_s
        self._each = each
        self._dice = random.Random(12)

    def upload(
        self,
        data: bytes,
        path: str,
        *,
        resume_from: int,
        progress: Callable[[int], None],
        stopped: Callable[[], bool],
    ) -> int:
        if callable(self._each):
            self._each()
        begun = super().upload(
            data, path, resume_from=resume_from, progress=progress, stopped=stopped
        )
        unsteady = self._dice.uniform(0.9, 1.1)
        self._clock.passed_s += 0.4 + unsteady * len(data) / self._bytes_s
        return begun


def queue_many(space: Workspace, of: Match, now: Instant, count: int) -> None:
    """So many captioned pictures of different sizes in the outbox of City."""
    for number in range(count):
        size = (200 + 40 * (number * 7 % 11), 150 + 30 * (number * 7 % 11))
        frame = shoot(space, of, number + 1, at(2, f"3{number // 10}:{number % 10}0"), size=size)
        write_caption(space, of, frame, PLAY, Unattended(now))
    queue_set(space, of, ["City"], Unattended(now))


@pytest.mark.parametrize("bytes_s", [6_000.0, 60_000.0])
def test_predictions_are_within_a_fifth_after_three_pictures(
    space: Workspace,
    played: Match,
    tmp_path: Path,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
    bytes_s: float,
) -> None:
    """On a steady link the median error of what is predicted after three pictures is small."""
    folder_desk(space, tmp_path, "City", now)
    queue_many(space, played, now, 16)
    clock = Clock(at(2, "40:00"))
    monkeypatch.setattr("setpiece.send.sender.monotonic", clock.monotonic)
    told: dict[int, tuple[Instant, Expected]] = {}

    def look() -> None:
        arrived = [d for d in deliveries(space, played) if d.state is State.DELIVERED]
        if len(arrived) == 3 and not told:
            asked = clock.now()
            told.update(
                {i: (asked, e) for i, e in expected(Matchday(space, played), asked).items()}
            )

    send_waiting(
        space, played, clock, opener=lambda address, _: Carried(address, clock, bytes_s, look)
    )
    ended = {d.id: read_instant(d.ended) for d in deliveries(space, played)}
    errors = [
        abs((ended[i] - e.at).total_seconds()) / (e.at - asked).total_seconds()
        for i, (asked, e) in told.items()
    ]
    assert len(errors) == 13
    assert median(errors) <= MEDIAN_ERROR


def test_nothing_is_predicted_before_the_first_picture(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """Without a measured pace the rows of the outbox bear no time."""
    folder_desk(space, tmp_path, "City", now)
    queue_many(space, played, now, 2)
    rows = outbox_rows(Matchday(space, played), at(2, "40:00"))
    assert [r.expected for r in rows] == [None, None]


def test_a_missed_edition_is_told(
    space: Workspace,
    played: Match,
    tmp_path: Path,
    now: Instant,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With 20 s between pictures and a page that closes in 30 s the third one is late for it."""
    style = own_style(space, "spaced", spacing_s=20)
    folder_desk(
        space, tmp_path, "City", now, style=style, settings=DeskSettings(editions=("17:18",))
    )
    queue_many(space, played, now, 4)
    clock = Clock(at(2, "40:00"))
    monkeypatch.setattr("setpiece.send.sender.monotonic", clock.monotonic)
    send_waiting(space, played, clock, opener=lambda address, _: Carried(address, clock, 9e5, None))
    day = Matchday(space, played)
    closes = day.read_time("17:18:00")
    rows = outbox_rows(day, instant(closes - timedelta(seconds=30)))
    late = [r.expected.late_for for r in rows if r.expected is not None]
    assert late == ["", "", "17:18"]
    sent: list[Delivery] = [r.delivery for r in rows if r.expected is None]
    assert [d.state for d in sent] == [State.DELIVERED]
