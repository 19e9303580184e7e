"""Entries of the log in a few words, as the debrief's tables and drawings print them."""

from __future__ import annotations

from types import MappingProxyType

from setpiece.match.entries import Entry, How, Kind, Standing
from setpiece.match.people import PersonId, TeamSheet
from setpiece.match.state import Score

_WORDS = MappingProxyType(
    {
        Kind.GOAL: "Goal",
        Kind.PENALTY_AWARDED: "Penalty awarded",
        Kind.PENALTY_TAKEN: "Penalty taken",
        Kind.PENALTY_SAVED: "Penalty saved",
        Kind.PENALTY_MISSED: "Penalty missed",
        Kind.SHOOT_OUT_KICK: "Shoot-out kick",
        Kind.YELLOW: "Yellow card",
        Kind.SECOND_YELLOW: "Second yellow card",
        Kind.RED: "Red card",
        Kind.SUBSTITUTION: "Substitution",
        Kind.INJURY: "Injury",
        Kind.ABANDONED: "Abandoned",
    }
)
_KICK_OFFS = {1: "Kick-off", 2: "Second half", 3: "Extra time", 4: "Second half of extra time",
              5: "Shoot-out"}  # fmt: skip
_ENDS = {1: "Half-time whistle", 2: "Final whistle",
         3: "Half-time of extra time", 4: "End of extra time",
         5: "End of the shoot-out"}  # fmt: skip


def entry_words(entry: Entry, sheet: TeamSheet, score: Score | None) -> str:
    """`Goal, Ørbeck from a free kick, 2–1`; family names, since the page is for one reader."""
    if entry.kind is Kind.KICK_OFF:
        return _KICK_OFFS.get(entry.period or 1, "Kick-off")
    if entry.kind is Kind.PERIOD_END:
        return _ENDS.get(entry.period or 1, "Whistle")
    parts = [_WORDS.get(entry.kind, entry.kind.value.capitalize())]
    if who := _who(entry, sheet):
        parts.append(who)
    if entry.kind is Kind.GOAL:
        if entry.standing is Standing.DISALLOWED:
            parts[0] = "Goal disallowed"
        elif score is not None:
            parts.append(str(score))
    return ", ".join(parts)


def _who(entry: Entry, sheet: TeamSheet) -> str:
    one, other = family_name(sheet, entry.person), family_name(sheet, entry.other)
    if entry.kind is Kind.SUBSTITUTION:
        return f"{other or 'somebody'} for {one or 'somebody'}"
    if entry.kind in (Kind.PENALTY_SAVED, Kind.PENALTY_TAKEN, Kind.PENALTY_MISSED):
        return " and ".join(n for n in (one, other) if n)
    how = {How.HEADER: " with a header", How.PENALTY: " from the penalty mark",
           How.FREE_KICK: " from a free kick", How.OWN_GOAL: ", own goal"}  # fmt: skip
    return f"{one}{how.get(entry.how, '')}" if one else ""


def family_name(sheet: TeamSheet, who: PersonId | None) -> str:
    """The family name, or the whole one where two on the sheet share it; empty for nobody."""
    person = sheet.person(who) if who else None
    if person is None:
        return ""
    family = person.family_name
    shared = any(p.family_name == family for p in sheet.people if p.id != person.id)
    return person.name if shared or not family else family
