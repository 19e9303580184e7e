"""The demo match as it was worked: cards come in, goals go out, in stints between the passages.

Each stint takes in what was shot until then, places it, captions its best frames and sends them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from time import perf_counter

from sqlalchemy import update

from setpiece.match.entries import Entry, EntryId, current
from setpiece.match.instants import Instant
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries
from setpiece.store.news import Topic
from setpiece.store.tables import news
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.clocks.fit import CameraClock, fit_clocks
from setpiece.work.demo.correction import correct_the_scorer
from setpiece.work.demo.ground_time import AtTheGround
from setpiece.work.demo.lines import DemoLine, demo_lines
from setpiece.work.demo.outcome import Row, Timing
from setpiece.work.demo.planted import Pin, Planted, PlantedFrame
from setpiece.work.demo.scenario import at
from setpiece.work.desk.deliver import queue_set, send_waiting
from setpiece.work.intake.take import take_in
from setpiece.work.matchday import Matchday

DESK = "North"
LOOK_S, TYPE_S = 14.0, 12.0
"""How long a choice takes, and a line."""


class Demo:
    """One run: the folder it works in, the clock, what it has found so far."""

    def __init__(self, folder: Path, caller: AtTheGround) -> None:
        self.folder = folder
        self.caller = caller
        self.rows: list[Row] = []
        self.seconds: dict[str, float] = {}

    @contextmanager
    def step(self, name: str) -> Iterator[None]:
        """Times one step; a step that comes again adds to itself."""
        began = perf_counter()
        yield
        self.seconds[name] = self.seconds.get(name, 0.0) + perf_counter() - began

    @property
    def timings(self) -> tuple[Timing, ...]:
        """Every step with its time."""
        return tuple(Timing(name, seconds) for name, seconds in self.seconds.items())


@dataclass(frozen=True, slots=True)
class Stint:
    """When the photographer bends over the laptop, and what she sends: passages, in sendings."""

    at: Instant
    sendings: tuple[tuple[str, ...], ...] = ()
    wrong_scorer: bool = False


STINTS = (
    Stint(at(1, "-5:12")),
    Stint(at(1, "17:53"), (("goal-17",), ("joy-17", "sisters-17", "supporters-17", "coach-17"))),
    Stint(at(1, "28:58"), (("tackle-29", "yellow-29"),)),
    Stint(at(1, "48:48"), (("own-goal",), ("joy-45", "manager-45", "plain-8")), wrong_scorer=True),
    Stint(at(2, "15:08"), (("joy-58",),)),
    Stint(at(2, "23:43"), (("penalty-68",), ("yellow-67",))),
    Stint(at(2, "29:38"), (("free-kick",), ("joy-74", "three-74"))),
    Stint(at(2, "30:58"), (("change-76",),)),
    Stint(at(2, "51:18"), (("full-time",), ("run-19",))),
    Stint(at(2, "53:28"), (("sisters-after",),)),
)


@dataclass
class Worked:
    """What the stints did, in sum. `names` gives the frame id of each planted frame."""

    names: dict[str, str] = field(default_factory=dict)
    copied: int = 0
    frames: int = 0
    troubles: int = 0
    clocks: Sequence[CameraClock] = ()
    right: int = 0
    captions: int = 0
    delivered: int = 0
    corrected: tuple[Row, ...] = ()


def work_the_match(demo: Demo, space: Workspace, of: Match, planted: Planted) -> Worked:
    """Works all the stints; the desk must be there."""
    return _Working(demo, space, of, planted).run()


class _Working:
    """One match at work."""

    def __init__(self, demo: Demo, space: Workspace, of: Match, planted: Planted) -> None:
        self.demo, self.space, self.of, self.planted = demo, space, of, planted
        self.done = Worked()
        self.lines = {planted.frame(x.frame).passage: x for x in demo_lines(planted)}
        self.taken: set[Path] = set()
        self.pinned: set[str] = set()

    def run(self) -> Worked:
        for number, stint in enumerate(STINTS, 1):
            self.demo.caller.wait_until(stint.at)
            self._take(stint.at, all_of_it=number == len(STINTS))
            with self.demo.step("fit clocks"):
                self.done.clocks = fit_clocks(self.space, self.of, self.demo.caller)
            self._pin()
            if stint.wrong_scorer:
                with self.demo.step("correct a wrong scorer"):
                    self.done.corrected = correct_the_scorer(
                        self.demo.folder, self.space, self.of, self.planted, self.done.names,
                        self.demo.caller,
                    )  # fmt: skip
            for passages in stint.sendings:
                self._send(passages)
        return self.done

    def _take(self, until: Instant, *, all_of_it: bool) -> None:
        """Takes in what was shot until then and is not here yet."""
        shot = [f for f in self.planted.frames if all_of_it or f.true <= until]
        for body in self.planted.bodies:  # one card after the other
            of_body = [f for f in shot if f.camera == body.letter]
            files = [p for f in of_body for p in _files(self.planted, f) if p not in self.taken]
            if files:
                self._take_card(files)
        day = Matchday(self.space, self.of)
        by_source = {f.source: f.frame_id for f in day.files if f.frame_id}
        self.done.names |= {f.id: by_source[str(self.planted.path(f))] for f in shot}

    def _take_card(self, files: Sequence[Path]) -> None:
        with self.demo.step("take in"):
            report = take_in(self.space, self.of, files, self.demo.caller)
        self.taken |= set(files)
        self.done.copied += report.copied
        self.done.frames = report.frames
        self.done.troubles += len(report.troubles)

    def _pin(self) -> None:
        """Pins entries to the frames that show them, as one key does."""
        with self.demo.step("pin entries to frames"):
            for pin in self.planted.pins:
                if pin.frame in self.done.names and pin.frame not in self.pinned:
                    self._pin_one(pin)

    def _pin_one(self, pin: Pin) -> None:
        day = Matchday(self.space, self.of)
        standing = {e.id: e for e in current(day.log)}
        frame = self.done.names[pin.frame]
        pinned = replace(
            standing[_newest(pin.entry, day.log)],
            id=EntryId(len(day.log) + 1),
            typed=self.demo.caller.now(),
            happened=day.times[frame],
            supersedes=_newest(pin.entry, day.log),
            frame=frame,
        )
        add_entries(self.space, self.of, [pinned])
        self.pinned.add(pin.frame)

    def _send(self, passages: Iterable[str]) -> None:
        frames = []
        for passage in passages:
            line = self.lines[passage]
            with self.demo.step("caption"):
                self.done.right += self._caption(line)
            self.done.captions += 1
            frames.append(self.done.names[line.frame])
        with self.demo.step("make renditions"):
            queue_set(self.space, self.of, [DESK], self.demo.caller, frames=frames)
        with self.demo.step("send"):
            self.done.delivered += send_waiting(self.space, self.of, self.demo.caller).delivered

    def _caption(self, line: DemoLine) -> bool:
        """Takes a frame into the set, captions it, and says whether the facts are right."""
        frame = self.done.names[line.frame]
        self.demo.caller.move_on(LOOK_S)
        decide(self.space, self.of, frame, Decision.USE)
        _date_decision(self.space, frame, self.demo.caller.now())
        self.demo.caller.move_on(TYPE_S)
        written = write_caption(self.space, self.of, frame, line.line, self.demo.caller)
        facts, fields = written.caption.facts, written.caption.fields
        return (
            set(line.people) <= {fact.person for fact in facts.people}
            and facts.score in (None, line.score)
            and all(words in fields.description for words in line.says)
        )


def _files(planted: Planted, frame: PlantedFrame) -> list[Path]:
    every = (frame.file, frame.memo, frame.over_the_air)
    return [planted.root.joinpath(*f.parts) for f in every if f is not None]


def _newest(entry: EntryId, log: Sequence[Entry]) -> EntryId:
    """The entry that stands in place of this one now."""
    for later in log:
        if later.supersedes == entry:
            return _newest(later.id, log)
    return entry


def _date_decision(space: Workspace, frame: str, when: Instant) -> None:
    """The workspace dates its news by the machine's clock; the demo's day is another."""
    with space.writing() as connection:
        connection.execute(
            update(news)
            .where(news.c.topic == Topic.DECISIONS.value, news.c.about == frame)
            .values(made=when.isoformat())
        )
