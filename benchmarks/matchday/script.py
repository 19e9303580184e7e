"""What happens on the day, to the second: the truth that the product is held against."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from setpiece.match.fixture import Fixture, Rules
from setpiece.match.instants import Instant, instant
from setpiece.work.demo import scenario

KICK_OFF = instant(datetime(2026, 10, 24, 18, 45, tzinfo=UTC))
"""20:45 at the ground; its clocks are set back that night, at 3:00."""

CHANGE = instant(datetime(2026, 10, 25, 1, 0, tzinfo=UTC))
"""3:00 of summer time becomes 2:00."""

NIGHT_FROM_S = -85.0
"""The laptop is opened again so long before the change."""

SUMMER_MIN, WINTER_MIN = 120, 60


@dataclass(frozen=True)
class Form:
    """How long a day is and how much is in it; times in seconds of the match."""

    name: str
    half_min: int
    added_s: float
    break_s: float
    before_s: float
    after_s: float
    frames_each: int
    burst: int
    captions: int
    take_every_s: float
    size_px: tuple[int, int] = (5472, 3648)
    quality: int = 60
    disk_mb: int = 11_000
    speed: float = 10.0

    @property
    def half_s(self) -> float:
        """How long a half is played."""
        return self.half_min * 60 + self.added_s


FULL = Form("full", 45, 180, 900, 420, 300, 1000, 8, 60, 300)
QUICK = Form("quick", 8, 30, 120, 120, 120, 70, 4, 14, 120, disk_mb=1_500)
SHORT = Form("short", 2, 10, 20, 30, 30, 24, 2, 6, 40, (900, 600), 85, disk_mb=150)

DISK_FULL_S = 60.0

START_S = 90.0
"""Before the first thing happens: the server starts and the page is opened."""


class Clock:
    """The time of the day: it runs `speed` times as fast as ours, and may be set on.

    It showed `first` when our own clock showed `began_s`.
    """

    def __init__(self, first: Instant, speed: float, began_s: float | None = None) -> None:
        self.speed = speed
        self._set = [(time.time() if began_s is None else began_s, first)]

    @property
    def began_s(self) -> float:
        """What our clock showed when it was set last."""
        return self._set[-1][0]

    @property
    def first(self) -> Instant:
        """To what it was set then."""
        return self._set[-1][1]

    def now(self) -> Instant:
        """The instant on the laptop."""
        return self.at(time.time())

    def at(self, real_s: float) -> Instant:
        """The instant on the laptop when our clock showed that."""
        began_s, first = max((s for s in self._set if s[0] <= real_s), default=self._set[0])
        return instant(first + timedelta(seconds=(real_s - began_s) * self.speed))

    def set_on(self, to: Instant) -> None:
        """A night passes at once."""
        self._set.append((time.time(), to))

    def wait(self, until: Instant) -> None:
        """Sleeps until then."""
        left_s = (until - self.now()).total_seconds() / self.speed
        if left_s > 0:
            time.sleep(left_s)


@dataclass(frozen=True)
class Camera:
    """One body; its clock shows the zone's time plus `offset_s`, cut to so many digits."""

    letter: str
    make: str
    model: str
    serial: str
    prefix: str
    offset_s: float
    digits: int
    zone_told: bool
    follows_change: bool
    focal_length_mm: int

    def stamp(self, true: Instant) -> tuple[str, str, str]:
        """EXIF's date and time, sub-seconds and zone; empty where it writes none."""
        minutes = WINTER_MIN if self.follows_change and true >= CHANGE else SUMMER_MIN
        shown = true.replace(tzinfo=None) + timedelta(minutes=minutes, seconds=self.offset_s)
        digits = f"{shown.microsecond:06d}"[: self.digits]
        zone = f"+{minutes // 60:02d}:00" if self.zone_told else ""
        return f"{shown:%Y:%m:%d %H:%M:%S}", digits, zone

    def file_name(self, number: int) -> str:
        """The name of its frame of that number."""
        return f"{self.prefix}_{number:04d}.JPG"


CAMERAS = (
    Camera("A", "Ostrell", "Ostrell P1", "P1-204417", "SPA", 41.0, 0, True, True, 400),
    Camera("B", "Ostrell", "Ostrell P2", "P2-031988", "SPB", -3.25, 2, False, False, 120),
    Camera("C", "Kelvane", "Kelvane C-20", "7720035516", "KLC", 0.0, 3, True, False, 35),
)
"""A is fast, writes whole seconds and goes with the change; B tells no zone; C stays."""


@dataclass(frozen=True)
class Exposure:
    """One frame; `shows_card` is the instant of the clock card in it, `passage` its place."""

    camera: Camera
    number: int
    true: Instant
    passage: int = -1
    shows_card: Instant | None = None

    @property
    def name(self) -> str:
        """Its file's name."""
        return self.camera.file_name(self.number)


@dataclass(frozen=True)
class Key:
    """What is pressed on the phone; `happened` before it was pressed, `typed` is the key."""

    happened: Instant
    typed: Instant
    line: str

    @property
    def at_ms(self) -> int:
        """The key's instant as the phone counts it."""
        return round(self.typed.timestamp() * 1000)


@dataclass(frozen=True)
class Chosen:
    """A picture that the operator captions: what is typed, whom it must name and whom not.

    `tells_goal` is of a goal whose scorer is put right later. `spare` is not in the set: a desk
    asks for it.
    """

    exposure: Exposure
    line: str
    names: tuple[str, ...]
    tells_goal: bool = False
    spare: bool = False


LINES = (
    ("9r shoots", ("Signe Ørbeck",)), ("5w tackles 9r", ("Agnieszka Żelichowska", "Signe Ørbeck")),
    ("7w passes", ("Rún Steinarsdóttir",)), ("3r heads", ("Maëlle Corbigny",)),
    ("r supporters cheer", ()), ("8r shoots", ("Ana de la Fontalva",)),
    ("10w controls", ("Chiara Montevago",)), ("6r passes", ("Lina Aschauer-Weiß",)),
    ("1g catches", ("Annika Tveitmoen",)), ("w coach reacts", ("Owen Tarrowby",)),
    ("5r blocks", ("Theresa Obergruber",)), ("11w dribbles", ("Emi Hoshikado",)),
)  # fmt: skip
"""What is typed, in turn, and whom the caption must name (their sheet is the demo's)."""

SPARE = ("4r reacts", ("Katarína Drobčeková",))
WRONG_SCORER, RIGHT_SCORER, LAST_SCORER = "Signe Ørbeck", "Hanna Kolbrand", "Mira Kolbrand"


class Day:
    """The whole script of one form."""

    def __init__(self, form: Form) -> None:
        self.form = form
        self.starts = {1: KICK_OFF, 2: _on(KICK_OFF, form.half_s + form.break_s)}
        self.begins = _on(KICK_OFF, -form.before_s - START_S)
        self.ends = _on(self.starts[2], form.half_s + form.after_s)
        self.keys = tuple(self._keys())
        self.exposures = tuple(sorted(self._exposures(), key=lambda e: e.true))
        self.chosen = tuple(sorted(self._chosen(), key=lambda c: c.exposure.true))
        self.night_chosen = self._night_chosen()

    def at(self, period: int, share: float, more_s: float = 0.0) -> Instant:
        """The instant when that share of a half had been played, and some seconds."""
        return _on(self.starts[period], share * self.form.half_s + more_s)

    def minute(self, at: Instant) -> int:
        """The minute as printed: those begun since the whistle of its half."""
        half = 1 if at < self.starts[2] else 2
        played_s = (at - self.starts[half]).total_seconds()
        return int(played_s // 60) + 1 + (half - 1) * self.form.half_min

    @property
    def fixture(self) -> Fixture:
        """The demo's clubs, on the night when summer time ends."""
        rules = Rules(half_min=self.form.half_min)
        return replace(scenario.fixture(), id="", kick_off=KICK_OFF, rules=rules)

    @property
    def goals(self) -> tuple[Key, ...]:
        """The goals as they are logged first."""
        return tuple(k for k in self.keys if k.line.startswith("goal"))

    @property
    def unreachable(self) -> tuple[Instant, Instant]:
        """Between these the phone does not reach the laptop."""
        return self.at(1, 0.6), self.at(1, 0.85)

    @property
    def disk_full(self) -> Instant:
        """When the workspace's disk fills."""
        return self.at(2, 0.55)

    def _keys(self) -> Iterator[Key]:
        def key(period: int, share: float, late_s: float, line: str) -> Key:
            at = self.at(period, share)
            return Key(at, _on(at, late_s), line)

        yield key(1, 0.0, 0.0, "whistle")
        yield key(1, 0.2, 9.0, "goal 9r")
        yield key(1, 0.4, 4.0, "yellow 5w")
        yield key(1, 0.7, 8.0, "goal 9w header")
        yield key(1, 1.0, 0.0, "whistle")
        yield key(2, 0.0, 0.0, "whistle")
        yield key(2, 0.3, 5.0, "sub 15r for 7r")
        full = self.disk_full
        yield Key(_on(full, 15), _on(full, 20), "yellow 3w")
        yield key(2, 0.8, 7.0, "goal 10r")
        yield key(2, 1.0, 0.0, "whistle")

    # ----- what the cameras do -----

    def _exposures(self) -> Iterator[Exposure]:
        for index, camera in enumerate(CAMERAS):
            number = 0
            for shot in self._shots(index):
                number += 1
                yield replace(shot, camera=camera, number=number)

    def _shots(self, index: int) -> Iterator[Exposure]:
        """The frames of one camera in order, their numbers not given yet."""
        camera, form = CAMERAS[index], self.form
        for turn in range(3):
            shown = _on(KICK_OFF, -0.5 * form.before_s + 4.0 * turn + 1.3 * index)
            shown = instant(shown.replace(microsecond=0))
            yield Exposure(camera, 0, _on(shown, 0.1), -1, shown)
        nights = 0 if camera.letter == "B" else 4
        left = form.frames_each - 3 - nights
        for passage, begins in enumerate(self.passages):
            burst = min(form.burst, left)
            for frame in range(burst):
                yield Exposure(camera, 0, _on(begins, 0.3 * index + 0.12 * frame), passage)
            left -= burst
        for frame in range(nights):
            after_s = -70.0 if frame < 2 else 40.0
            yield Exposure(camera, 0, _on(CHANGE, after_s + frame + 0.3 * index), -2)

    @property
    def passages(self) -> tuple[Instant, ...]:
        """When each passage of play begins that the cameras shoot; one follows each goal."""
        form = self.form
        each = -(-(form.frames_each - 7) // form.burst)
        half = -(-each // 2)
        when = [self.at(p, (i + 0.5) / half) for p in (1, 2) for i in range(half)]
        for goal in self.goals:
            nearest = min(range(len(when)), key=lambda i: abs(when[i] - goal.happened))
            when[nearest] = _on(goal.happened, 4)
        return tuple(sorted(when)[:each])

    def passage_of(self, goal: Key) -> int:
        """The number of the passage that follows a goal."""
        return self.passages.index(_on(goal.happened, 4))

    # ----- what the operator does -----

    def _chosen(self) -> Iterator[Chosen]:
        first, _, last = self.goals
        line = f"10r celebrates after {self.minute(first.typed)} goal"
        yield from self._goal(first, line, (LAST_SCORER,), tells_goal=True)
        line = f"10r celebrates after {self.minute(last.typed)} goal"
        yield from self._goal(last, line, (LAST_SCORER,), tells_goal=False)
        taken = {self.passage_of(g) for g in self.goals}
        full = {i for i, p in enumerate(self.passages) if self._complete(i) and i not in taken}
        free = sorted(full)
        wanted = self.form.captions - 4 + 1
        passages = [free[i * len(free) // wanted] for i in range(wanted)]
        for turn, passage in enumerate(passages):
            exposure = self._middle(passage, CAMERAS[turn % 3])
            if turn == wanted // 2:
                yield Chosen(exposure, *SPARE, spare=True)
            else:
                yield Chosen(exposure, *LINES[turn % len(LINES)])

    def _complete(self, passage: int) -> bool:
        return sum(e.passage == passage for e in self.exposures) == 3 * self.form.burst

    def _goal(
        self, goal: Key, line: str, names: tuple[str, ...], *, tells_goal: bool
    ) -> Iterator[Chosen]:
        passage = self.passage_of(goal)
        for camera in CAMERAS[:2]:
            yield Chosen(self._middle(passage, camera), line, names, tells_goal)

    def _middle(self, passage: int, camera: Camera) -> Exposure:
        own = [e for e in self.exposures if e.passage == passage and e.camera == camera]
        return own[len(own) // 2]

    def _night_chosen(self) -> tuple[Chosen, ...]:
        """One frame of A from before the change, one from after it."""
        own = [e for e in self.exposures if e.passage == -2 and e.camera.letter == "A"]
        return tuple(Chosen(e, "4r thanks supporters", SPARE[1]) for e in (own[0], own[-1]))


def _on(at: datetime, seconds: float) -> Instant:
    return instant(at + timedelta(seconds=seconds))
