"""What happens in the demo match, to the second, and what the photographer types of it.

The true course is one table: period, time elapsed in it, what happened, how long after that it
was typed. Lethenbruck win the semi-final 2-1.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fixture import Fixture, Rules
from setpiece.match.instants import Instant, Interval, MinuteLabel, instant
from setpiece.match.people import PersonId, Side, TeamSheet
from setpiece.match.state import Score
from setpiece.work.demo import squads

TIME_ZONE = "Europe/Vienna"
ZONE_OFFSET_MIN = 60
"""Minutes east of UTC at the venue on the day."""

_VENUE = ZoneInfo(TIME_ZONE)
KICK_OFF_PLANNED = instant(datetime(2027, 3, 6, 15, 30, tzinfo=_VENUE))
KICK_OFF_DELAY_S = 72.0
FIRST_HALF_S = 48 * 60 + 20.0
HALF_TIME_S = 15 * 60 + 40.0
SECOND_HALF_S = 50 * 60 + 12.0

DEFAULT_REACH_S = 180.0
"""How far back from its typing an event may lie when nothing else is known."""


def _after(start: Instant, seconds: float) -> Instant:
    return instant(start + timedelta(seconds=seconds))


STARTS: dict[int, Instant] = {1: _after(KICK_OFF_PLANNED, KICK_OFF_DELAY_S)}
ENDS: dict[int, Instant] = {1: _after(STARTS[1], FIRST_HALF_S)}
STARTS[2] = _after(ENDS[1], HALF_TIME_S)
ENDS[2] = _after(STARTS[2], SECOND_HALF_S)


def at(period: int, clock: str) -> Instant:
    """The instant at which that much of a period had been played: `mm:ss`, or `-mm:ss` before."""
    sign = -1 if clock.startswith("-") else 1
    minutes, _, seconds = clock.lstrip("-").partition(":")
    return _after(STARTS[period], sign * (int(minutes) * 60 + float(seconds)))


def fixture() -> Fixture:
    """The demo match as it was planned."""
    return Fixture(
        id="2027-03-06-lethenbruck-marnstein",
        home="SK Lethenbruck",
        away="TSV Marnstein",
        competition="Women's Lantern Cup",
        stage="semi-final",
        kick_off=KICK_OFF_PLANNED,
        time_zone=TIME_ZONE,
        venue="Stadion an der Leth",
        city="Lethenbruck",
        country="Austria",
        country_code="AUT",
        latitude_deg=47.21,
        longitude_deg=15.37,
        rules=Rules(video_review=True),
    )


def sheet() -> TeamSheet:
    """Everybody at the demo match who may be named."""
    return squads.sheet()


def sheet_text() -> dict[Side, str]:
    """The two squads as the clubs sent them."""
    return squads.sheet_text()


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened: `clock` is time elapsed in the period, true to the second.

    It was typed `typed_after_s` later. `reach_s` is how far back from the typing the
    photographer's own word would let it lie; 0 when the typing itself marks it.
    """

    period: int
    clock: str
    kind: Kind
    typed_after_s: float = 0.0
    reach_s: float = 0.0
    side: Side | None = None
    person: PersonId | None = None
    other: PersonId | None = None
    how: How = How.PLAY
    standing: Standing = Standing.GIVEN
    number: int | None = None
    note: str = ""
    supersedes: int | None = None
    typed_clock: str = ""

    @property
    def true(self) -> Instant:
        """When it happened."""
        return at(self.period, self.clock)

    @property
    def typed(self) -> Instant:
        """When it was typed: `typed_clock` where a later look at the same event was typed."""
        return (
            at(self.period, self.typed_clock)
            if self.typed_clock
            else _after(self.true, self.typed_after_s)
        )


def _home(number: int) -> PersonId:
    return squads.person_id(Side.HOME, number)


def _away(number: int) -> PersonId:
    return squads.person_id(Side.AWAY, number)


_FIRST_CLOCK = f"{int(FIRST_HALF_S // 60)}:{FIRST_HALF_S % 60:04.1f}"
_SECOND_CLOCK = f"{int(SECOND_HALF_S // 60)}:{SECOND_HALF_S % 60:04.1f}"

EVENTS: tuple[Event, ...] = (
    Event(1, "0:00", Kind.KICK_OFF),
    Event(1, "16:24", Kind.GOAL, 21, DEFAULT_REACH_S, Side.HOME, _home(10), _home(11), How.HEADER),
    Event(1, "28:10", Kind.YELLOW, 9, 20, Side.AWAY, _away(5)),
    Event(
        1, "35:50", Kind.SHIRT, 14, 30, Side.HOME, _home(8), note="blood on the shirt, no number"
    ),
    Event(1, "44:53", Kind.ADDED_TIME, 4, 10, note="3"),
    Event(1, "46:31", Kind.GOAL, 18, DEFAULT_REACH_S, Side.AWAY, _home(5), how=How.OWN_GOAL),
    Event(1, _FIRST_CLOCK, Kind.PERIOD_END),
    Event(2, "-0:12", Kind.SUBSTITUTION, 5, 30, Side.AWAY, _away(6), _away(14)),
    Event(2, "0:00", Kind.KICK_OFF),
    Event(2, "12:27", Kind.GOAL, 13, DEFAULT_REACH_S, Side.AWAY, _away(9), _away(10)),
    Event(2, "13:05", Kind.REVIEW, 6, 15, Side.AWAY, _away(9), note="offside"),
    Event(
        2,
        "12:27",
        Kind.GOAL,
        0,
        DEFAULT_REACH_S,
        Side.AWAY,
        _away(9),
        _away(10),
        standing=Standing.UNDER_REVIEW,
        supersedes=10,
        typed_clock="13:14",
    ),
    Event(
        2,
        "12:27",
        Kind.GOAL,
        0,
        DEFAULT_REACH_S,
        Side.AWAY,
        _away(9),
        _away(10),
        standing=Standing.DISALLOWED,
        supersedes=12,
        typed_clock="14:46",
        note="offside",
    ),
    Event(2, "17:40", Kind.SUBSTITUTION, 6, 20, Side.HOME, _home(7), _home(15)),
    Event(2, "17:40", Kind.SUBSTITUTION, 11, 25, Side.HOME, _home(2), _home(17)),
    Event(2, "21:32", Kind.PENALTY_AWARDED, 7, 20, Side.AWAY),
    Event(2, "21:50", Kind.YELLOW, 8, 16, Side.HOME, _home(4)),
    Event(2, "22:55", Kind.PENALTY_SAVED, 9, 40, Side.AWAY, _away(10), _home(1)),
    Event(2, "28:40", Kind.GOAL, 70, DEFAULT_REACH_S, Side.HOME, _home(9), how=How.FREE_KICK),
    Event(2, "30:08", Kind.SUBSTITUTION, 7, 15, Side.AWAY, _away(8), _away(17)),
    Event(2, "40:33", Kind.SUBSTITUTION, 8, 20, Side.HOME, _home(10), _home(19)),
    Event(2, "43:15", Kind.YELLOW, 8, 18, Side.AWAY, _away(3)),
    Event(2, "44:50", Kind.ADDED_TIME, 4, 10, note="5"),
    Event(2, _SECOND_CLOCK, Kind.PERIOD_END),
)
"""The match, in the order in which it was typed; an event's number counts from 1."""

_WHISTLES = (Kind.KICK_OFF, Kind.PERIOD_END)


def log_lines() -> tuple[Entry, ...]:
    """What the photographer types, as entries in the order of typing.

    Whistles are pressed as they sound. Everything else is known to lie in an interval that ends
    with its typing; the goal of the 74th minute is typed 70 s late.
    """
    return tuple(_entry(number, event) for number, event in enumerate(EVENTS, start=1))


def _entry(number: int, event: Event) -> Entry:
    happened = Interval.exactly(event.true)
    if event.kind not in _WHISTLES:
        first = event if event.supersedes is None else EVENTS[_original(event) - 1]
        earliest = _after(first.typed, -first.reach_s)
        if event.clock[0] != "-":
            earliest = max(earliest, STARTS[event.period])
        happened = Interval(earliest, first.typed)
    return Entry(
        id=EntryId(number),
        kind=event.kind,
        typed=event.typed,
        happened=happened,
        period=event.period if event.kind in _WHISTLES else None,
        side=event.side,
        person=event.person,
        other=event.other,
        how=event.how,
        standing=event.standing,
        number=event.number,
        note=event.note,
        supersedes=None if event.supersedes is None else EntryId(event.supersedes),
    )


def _original(event: Event) -> int:
    """The number of the first entry in the line that this one replaces."""
    number = event.supersedes or 0
    while (earlier := EVENTS[number - 1].supersedes) is not None:
        number = earlier
    return number


def pinned(entries: tuple[Entry, ...]) -> tuple[Entry, ...]:
    """The same entries with every `happened` at the true instant, as a frame would pin them."""
    return tuple(
        replace(entry, happened=Interval.exactly(EVENTS[entry.id - 1].true)) for entry in entries
    )


def true_period(when: Instant) -> int | None:
    """The period being played at that instant, None outside both."""
    return next((p for p in (1, 2) if STARTS[p] <= when < ENDS[p]), None)


def true_label(when: Instant) -> MinuteLabel | None:
    """The minute printed at that instant: whole minutes elapsed, and one, past 45 as added.

    Worked out here without the match clock, so that the two can be held against each other.
    """
    period = true_period(when)
    if period is None:
        return None
    played = int((when - STARTS[period]).total_seconds() // 60) + 1
    regular = 45 * period
    minute = 45 * (period - 1) + played
    return MinuteLabel(minute) if minute <= regular else MinuteLabel(regular, minute - regular)


def true_score(when: Instant) -> Score:
    """The score at that instant as it finally stood: disallowed goals never count."""
    score = Score()
    replaced = {event.supersedes for event in EVENTS}
    for number, event in enumerate(EVENTS, start=1):
        counts = event.kind is Kind.GOAL and event.standing is not Standing.DISALLOWED
        if counts and number not in replaced and event.true <= when and event.side is not None:
            score = score.plus(event.side)
    return score


def true_eleven(side: Side, when: Instant) -> frozenset[PersonId]:
    """Who was on the pitch for that side at that instant."""
    on = {p.id for p in sheet().players(side) if p.starts}
    for event in EVENTS:
        if event.kind is Kind.SUBSTITUTION and event.side is side and event.true <= when:
            on = {*(p for p in on if p != event.person), *((event.other,) if event.other else ())}
    return frozenset(on)


def true_number(person: PersonId, when: Instant) -> int | None:
    """The number on a player's shirt at that instant, None for a plain one."""
    found = sheet().person(person)
    number = found.number if found else None
    for event in EVENTS:
        if event.kind is Kind.SHIRT and event.person == person and event.true <= when:
            number = event.number
    return number
