"""Entries of the match log as sentences: of the report on the page, and of the commands."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from setpiece.match.entries import Entry, How, Kind, Standing, history
from setpiece.match.people import PersonId, Role, Side, TeamSheet
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday

LATE_S = 10.0
"""An entry typed no later than this after it happened is not called late."""

_NUMBERED = frozenset({Kind.SUBSTITUTION, Kind.LATE_CHANGE, Kind.YELLOW, Kind.SECOND_YELLOW,
                       Kind.RED})  # fmt: skip
"""Kinds that name people with their numbers, as a list of changes is read."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One entry as printed. `lead` is set bold, `notes` follow in the desk's own type.

    `side` is the side whose colour may underline the lead; `struck` tells of a goal that does
    not count.
    """

    entry: int
    kind: str
    lead: str
    text: str
    notes: tuple[str, ...] = ()
    side: str = ""
    struck: bool = False

    @property
    def plain(self) -> str:
        """Lead and text as one line."""
        return f"{self.lead} {self.text}".strip()


def sentence(entry: Entry, day: Matchday, words: Wording) -> Sentence:
    """The entry as the report prints it."""
    return replace(_told(entry, day.sheet, words), notes=_notes(entry, day, words))


def said(entry: Entry, sheet: TeamSheet, words: Wording) -> str:
    """The entry as one line without colours: its side is named where the sentence does not."""
    told = _told(entry, sheet, words)
    side = sheet.side(entry.side).short_name if entry.side else ""
    return f"{told.plain} ({side})" if side and side not in told.plain else told.plain


def _told(entry: Entry, sheet: TeamSheet, words: Wording) -> Sentence:
    """The entry in words, without what its times tell."""
    teller = Teller(entry, sheet, words)
    text = teller.text()
    if entry.note and entry.kind not in (Kind.NOTE, Kind.ADDED_TIME, Kind.KIT):
        text = f"{text}: {entry.note}" if text else entry.note
    disallowed = entry.standing is Standing.DISALLOWED
    return Sentence(
        entry=entry.id,
        kind=entry.kind.value.replace(" ", "-"),
        lead=teller.lead(),
        text=text,
        side=entry.side.value if entry.side else "",
        struck=entry.kind is Kind.GOAL and disallowed,
    )


class Teller:
    """Finds the fullest form that the texts have for one entry."""

    def __init__(self, entry: Entry, sheet: TeamSheet, words: Wording) -> None:
        self.entry = entry
        self.sheet = sheet
        self.words = words
        self.kind = entry.kind.value.replace(" ", "-")

    def lead(self) -> str:
        """What is set bold."""
        return self._first("lead", self._forms())

    def text(self) -> str:
        """What follows it."""
        text = self._first("text", self._forms())
        if self.entry.kind is Kind.GOAL and self.entry.other:
            text += ", " + self.words("entry.goal-assist", other=self._name(self.entry.other))
        if self.entry.kind is Kind.GOAL and self.entry.standing in _REVIEWED:
            key = self.entry.standing.value.replace(" ", "-")
            text += " – " + self.words(f"entry.goal-{key}")
        return text

    def _forms(self) -> list[str]:
        """Names of forms, the fullest first."""
        entry, forms = self.entry, [self.kind]
        if entry.period is not None:
            forms.insert(0, f"{self.kind}-{entry.period}")
        if entry.how is not How.PLAY:
            forms.insert(0, f"{self.kind}-{entry.how.value.replace(' ', '-')}")
        if entry.kind is Kind.GOAL and entry.person is None:
            forms.insert(0, f"{self.kind}-nobody")
        if entry.kind is Kind.GOAL and entry.standing is Standing.DISALLOWED:
            forms.insert(0, f"{self.kind}-disallowed")
        if entry.kind is Kind.SHIRT and entry.number is None:
            forms.insert(0, f"{self.kind}-none")
        if entry.kind is Kind.PENALTY_SAVED:
            forms[:0] = self._save_forms()
        return forms

    def _save_forms(self) -> list[str]:
        if self._keeper() and self._taker():
            return [f"{self.kind}-both"]
        return [] if self._keeper() else [f"{self.kind}-from"]

    def _first(self, part: str, forms: list[str]) -> str:
        for form in forms:
            if self.words.known(f"entry.{form}.{part}"):
                return self.words(f"entry.{form}.{part}", **self._values())
        return ""

    def _values(self) -> dict[str, object]:
        entry = self.entry
        return {
            "name": self._name(entry.person),
            "other": self._name(entry.other),
            "side": self._side(entry.side),
            "keeper": self._name(self._keeper()),
            "taker": self._name(self._taker()),
            "number": entry.number,
            "note": entry.note,
        }

    def _keeper(self) -> PersonId | None:
        return next((i for i in (self.entry.person, self.entry.other) if self._keeps(i)), None)

    def _taker(self) -> PersonId | None:
        both = (self.entry.person, self.entry.other)
        return next((i for i in both if i is not None and not self._keeps(i)), None)

    def _keeps(self, who: PersonId | None) -> bool:
        person = self.sheet.person(who) if who else None
        return person is not None and person.role is Role.GOALKEEPER

    def _name(self, who: PersonId | None) -> str:
        person = self.sheet.person(who) if who else None
        if person is None:
            return self.words("entry.somebody")
        if self.entry.kind in _NUMBERED and person.number is not None:
            return f"{person.number} {person.name}"
        return person.name

    def _side(self, side: Side | None) -> str:
        if side is None:
            person = self.sheet.person(self.entry.person) if self.entry.person else None
            side = person.side if person else None
        return self.sheet.side(side).short_name if side else ""


_REVIEWED = (Standing.UNDER_REVIEW, Standing.STANDS)


def _notes(entry: Entry, day: Matchday, words: Wording) -> tuple[str, ...]:
    """When it happened and was typed, and what that changed, in the desk's words."""
    notes = []
    happened = day.fold.when(entry)
    zone = day.fixture.time_zone
    versions = history(day.log, entry.id)
    typed = versions[0].typed if versions else entry.typed
    late_s = (typed - happened.end).total_seconds()
    if entry.happened is not None and late_s > LATE_S and not entry.imported:
        notes.append(words("report.happened", time=words.clock(happened.middle, zone)))
        notes.append(words("report.logged-late", delay=delay(late_s, words)))
    if entry.kind is Kind.GOAL and not entry.imported and late_s > LATE_S:
        score = day.fold.score_made_by(entry.id)
        between = [i for i, at in day.times.items() if happened.end <= at.middle <= typed]
        if score is not None and between:
            notes.append(words.count("report.now-stand", len(between), score=score))
    if any(a.kind is not Kind.WITHDRAWN for a, _ in pairwise(versions)):
        notes.append(words("report.corrected"))
    return tuple(notes)


def delay(seconds: float, words: Wording) -> str:
    """`35 s`, `1 min 10 s`, `2 min`."""
    whole = round(seconds)
    minutes, rest = divmod(whole, 60)
    if not minutes:
        return words("delay.seconds", n=rest)
    if not rest or minutes >= 10:
        return words("delay.minutes", n=minutes)
    return words("delay.minutes-seconds", m=minutes, s=rest)
