"""A plain match of the oracle as a fixture, a sheet and a log of the package."""

from __future__ import annotations

from functools import cached_property

from plain import Club, Match

from setpiece.captions.situation import Situation, situation_for
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Interval, MinuteLabel, instant
from setpiece.match.people import Kit, Person, PersonId, Role, Side, SidePeople, TeamSheet


class Replay:
    """One plain match in the package's own types."""

    def __init__(self, match: Match) -> None:
        self.match = match

    @cached_property
    def fixture(self) -> Fixture:
        m = self.match
        return Fixture(
            id=m.id, home=m.home.name, away=m.away.name, competition=m.competition,
            stage=m.stage, kick_off=instant(m.kick_off), time_zone=m.zone, venue=m.venue,
            city=m.city, country=m.country,
        )  # fmt: skip

    @cached_property
    def sheet(self) -> TeamSheet:
        people = tuple(
            Person(
                PersonId(p.id), p.name, Role(p.role), Side(p.side) if p.side else None,
                number=p.number, starts=p.starts, title=p.title,
                pronouns=p.pronouns,
            )
            for p in self.match.people
        )  # fmt: skip
        return TeamSheet(
            _club(self.match.home), _club(self.match.away), people, (Kit("k", "black", "#000000"),)
        )

    @cached_property
    def log(self) -> tuple[Entry, ...]:
        rows: list[tuple[float, dict[str, object]]] = []
        for period, start, end in self.match.periods:
            rows.append((start, {"kind": Kind.KICK_OFF, "period": period}))
            rows.append((end, {"kind": Kind.PERIOD_END, "period": period}))
        for event in self.match.events:
            more: dict[str, object] = {"kind": Kind(event.kind), "number": event.number}
            if event.side:
                more["side"] = Side(event.side)
            if event.person:
                more["person"] = PersonId(event.person)
            if event.other:
                more["other"] = PersonId(event.other)
            more["how"] = How(event.how)
            if event.standing:
                more["standing"] = Standing(event.standing)
            if event.minute:
                more["printed"] = MinuteLabel.read(event.minute)
            rows.append((event.at_s, more))
        entries = []
        for index, (at_s, more) in enumerate(sorted(rows, key=lambda r: r[0]), 1):
            at = instant(self.match.time(at_s))
            entries.append(Entry(EntryId(index), typed=at, happened=Interval.exactly(at), **more))  # type: ignore[arg-type]
        return tuple(entries)

    @cached_property
    def fold(self) -> Fold:
        return Fold(self.fixture, self.sheet, self.log)

    def situation(self, at_s: float, uncertainty_s: float = 0.15) -> Situation:
        at = Interval.around(instant(self.match.time(at_s)), uncertainty_s)
        return situation_for(self.fixture, self.sheet, self.fold, "frame", at)


def _club(club: Club) -> SidePeople:
    kits = (
        Kit(club.letter, club.colour, "#b5382a"),
        Kit(club.keeper_letter, club.keeper_colour, "#2f6b3a", goalkeeper=True),
    )
    return SidePeople(club.name, club.short, kits)
