"""A small invented match to build logs for: Northgate v Elmbridge, a women's cup tie."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import settings

from setpiece.match.entries import Entry, EntryId, How, Kind
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Instant, Interval, MinuteLabel, instant
from setpiece.match.people import Kit, Person, PersonId, Role, Side, SidePeople, TeamSheet
from setpiece.match.people import numbered_id as person

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")  # how long an example takes is no property of the code

FIRST = "Ada Bea Cara Dina Edda Faye Gro Hana Ines Jana Kaja Lola Mona Nina Olga Pia Runa Sara"
LAST = {Side.HOME: "Holm", Side.AWAY: "Okoro"}


def _people() -> tuple[Person, ...]:
    players = [
        Person(
            person(side, n),
            f"{first} {LAST[side]}",
            Role.GOALKEEPER if n in (1, 13) else Role.PLAYER,
            side,
            n,
            captain=n == 5,
            starts=n <= 11,
        )
        for side in Side
        for n, first in enumerate(FIRST.split(), start=1)
    ]
    return (
        *players,
        Person(PersonId("home-coach"), "Tess Lind", Role.HEAD_COACH, Side.HOME),
        Person(PersonId("referee"), "Rut Berg", Role.REFEREE),
    )


class Match:
    """A fixture, a sheet and a log that grows; kick-off was at 15:01:07 UTC."""

    kick_off = instant(datetime(2027, 3, 6, 15, 1, 7, tzinfo=UTC))

    def __init__(self) -> None:
        self.fixture = Fixture(
            "tie",
            "Northgate",
            "Elmbridge",
            "Cup",
            instant(datetime(2027, 3, 6, 15, 0, tzinfo=UTC)),
            "Europe/London",
        )
        self.sheet = TeamSheet(
            SidePeople("Northgate", "Northgate", (Kit("r", "red", "#b5382a"),)),
            SidePeople("Elmbridge", "Elmbridge", (Kit("w", "white", "#f5f5f0"),)),
            _people(),
        )
        self.entries: list[Entry] = []

    def rules(self, **changed: object) -> Match:
        """Set something of the competition's rules."""
        rules = replace(self.fixture.rules, **changed)  # type: ignore[arg-type]
        self.fixture = replace(self.fixture, rules=rules)
        return self

    def at(self, elapsed_s: float) -> Instant:
        """So long after kick-off."""
        return instant(self.kick_off + timedelta(seconds=elapsed_s))

    def log(self, kind: Kind, at_s: float = 0.0, *, exact: bool = False, **more: object) -> Entry:
        """Append an entry, typed at that time; `exact` pins it to its typing."""
        who = {k: self.who(v) for k, v in more.items() if k in ("person", "other")}
        if isinstance(more.get("printed"), str):
            more["printed"] = MinuteLabel.read(str(more["printed"]))
        if "how" in more:
            more["how"] = How(more["how"])
        entry = Entry(
            EntryId(len(self.entries) + 1),
            kind,
            self.at(at_s),
            **{**more, **who},  # type: ignore[arg-type]
        )
        if exact:
            entry = replace(entry, happened=Interval.exactly(self.at(at_s)))
        self.entries.append(entry)
        return entry

    @staticmethod
    def who(told: object) -> PersonId | None:
        """`home 9` as an identifier."""
        if isinstance(told, str) and " " in told:
            side, number = told.split()
            return person(Side(side), int(number))
        return told  # type: ignore[return-value]

    def whistles(self, *, until: int = 2) -> Match:
        """Log kick-off and end of the halves: 47:10 and 48:30, half-time of 15 minutes."""
        for kind, at_s, period in (
            (Kind.KICK_OFF, 0.0, 1),
            (Kind.PERIOD_END, 2830.0, 1),
            (Kind.KICK_OFF, 3730.0, 2),
            (Kind.PERIOD_END, 6640.0, 2),
        )[: 2 * until]:
            self.log(kind, at_s, period=period)
        return self

    def fold(self, *, as_known_at: Instant | None = None) -> Fold:
        """The fold of what is logged."""
        return Fold(self.fixture, self.sheet, self.entries, as_known_at=as_known_at)

    def on(self, side: Side, fold: Fold | None = None) -> set[int | None]:
        """Numbers on the pitch at the end of the log."""
        return {w.number for w in (fold or self.fold()).last().side(side).on_pitch}


@pytest.fixture
def tie() -> Match:
    """The match, nothing logged yet."""
    return Match()


@pytest.fixture(scope="session")
def played() -> Match:
    """The match with its four whistles; not to be changed."""
    return Match().whistles()
