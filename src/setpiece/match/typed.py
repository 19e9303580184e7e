"""One typed line to a log entry: `goal 9r header`, `sub 17w for 8w`, `whistle`.

    line    = what { person | how | "for" person | "assist" person | minute } [ words ]
    person  = number and kit letter as seen (`9r`), or any part of a name
    minute  = 74' or 45+2' (the apostrophe may be left off after "at": `at 74`)

Numbers mean the number worn at that moment; for somebody on the bench the sheet's. What is
left over becomes the entry's note. A person who is not found is asked for, never guessed.
"""

from __future__ import annotations

import re
from dataclasses import replace
from types import MappingProxyType

from setpiece.errors import Choices, WrongUse
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.instants import Instant, MinuteLabel
from setpiece.match.names import Why, find_people
from setpiece.match.people import Person, PersonId, Side, TeamSheet
from setpiece.match.state import Phase, State

KINDS = MappingProxyType(
    {
        "kick-off": Kind.KICK_OFF,
        "goal": Kind.GOAL,
        "disallowed": Kind.GOAL,
        "stands": Kind.GOAL,
        "under review": Kind.GOAL,
        "penalty": Kind.PENALTY_AWARDED,
        "penalty awarded": Kind.PENALTY_AWARDED,
        "penalty taken": Kind.PENALTY_TAKEN,
        "penalty saved": Kind.PENALTY_SAVED,
        "penalty missed": Kind.PENALTY_MISSED,
        "penalty retaken": Kind.PENALTY_RETAKEN,
        "kick": Kind.SHOOT_OUT_KICK,
        "yellow": Kind.YELLOW,
        "second yellow": Kind.SECOND_YELLOW,
        "red": Kind.RED,
        "sub": Kind.SUBSTITUTION,
        "substitution": Kind.SUBSTITUTION,
        "late change": Kind.LATE_CHANGE,
        "temporary dismissal": Kind.TEMPORARY_DISMISSAL,
        "return": Kind.RETURN,
        "injury": Kind.INJURY,
        "treatment": Kind.TREATMENT,
        "review": Kind.REVIEW,
        "break": Kind.BREAK,
        "added": Kind.ADDED_TIME,
        "in goal": Kind.IN_GOAL,
        "captain": Kind.CAPTAIN,
        "shirt": Kind.SHIRT,
        "kit": Kind.KIT,
        "tribute": Kind.TRIBUTE,
        "floodlights": Kind.FLOODLIGHTS,
        "suspended": Kind.SUSPENDED,
        "resumed": Kind.RESUMED,
        "abandoned": Kind.ABANDONED,
        "note": Kind.NOTE,
    }
)
"""The words that open a log line, and what they log. `whistle` is the next whistle due."""

RULINGS = MappingProxyType(
    {
        "disallowed": Standing.DISALLOWED,
        "stands": Standing.STANDS,
        "under review": Standing.UNDER_REVIEW,
    }
)
"""Words that rule on a goal logged before."""

_NAMES_NOBODY = frozenset(
    {
        Kind.NOTE,
        Kind.ADDED_TIME,
        Kind.BREAK,
        Kind.TRIBUTE,
        Kind.FLOODLIGHTS,
        Kind.SUSPENDED,
        Kind.RESUMED,
        Kind.ABANDONED,
    }
)
"""Kinds whose words are all a note."""

_MET = {
    "first": {Why.WHOLE_NAME, Why.LAST_WORD, Why.WORD, Why.ALIAS, Why.BEGINNING, Why.NUMBER},
    "second": {Why.WHOLE_NAME, Why.LAST_WORD, Why.WORD, Why.ALIAS},
}
"""How a word may meet a name to be that person; where a note may begin only a whole word does."""

SHORTEST_BEGINNING = 3
"""Letters that the beginning of a name needs. The project's own setting."""

_HOWS = ("own goal", "free kick", "penalty", "header", "scored", "saved", "missed")
_NEXT_WHISTLE = MappingProxyType(
    {
        Phase.BEFORE: (Kind.KICK_OFF, 1),
        Phase.FIRST_HALF: (Kind.PERIOD_END, 1),
        Phase.HALF_TIME: (Kind.KICK_OFF, 2),
        Phase.SECOND_HALF: (Kind.PERIOD_END, 2),
        Phase.FULL_TIME: (Kind.KICK_OFF, 3),
        Phase.EXTRA_FIRST: (Kind.PERIOD_END, 3),
        Phase.EXTRA_INTERVAL: (Kind.KICK_OFF, 4),
        Phase.EXTRA_SECOND: (Kind.PERIOD_END, 4),
        Phase.SHOOT_OUT: (Kind.PERIOD_END, 5),
    }
)
_SEEN = re.compile(r"(\d{1,3})([a-z])")
_MINUTE = re.compile(r"\d{1,3}(?:\+\d{1,2})?['’]")


def read_line(line: str, sheet: TeamSheet, state: State, typed: Instant) -> Entry:
    """The entry a typed line means at that state of the match; its id is not given yet.

    Raises WrongUse for a word that opens no entry, Choices for a person who is not clear.
    """
    rest = line.strip()
    if rest.lower() == "whistle":
        return _whistle(state, typed)
    word = _opening(rest)
    rest = rest[len(word) :].strip()
    draft = Entry(EntryId(0), KINDS[word], typed, period=_period_of(KINDS[word], state))
    draft, rest = _minute(draft, rest)
    if KINDS[word] in _NAMES_NOBODY:
        return replace(draft, note=rest)
    if KINDS[word] is Kind.KIT:
        return _changed_kit(draft, rest, sheet)
    draft, rest = _how(draft, rest)
    draft = replace(draft, standing=RULINGS.get(word, draft.standing))
    people, note = _people(rest, sheet, state, draft.kind)
    return _assembled(draft, people, note)


def _whistle(state: State, typed: Instant) -> Entry:
    if state.phase not in _NEXT_WHISTLE:
        raise WrongUse(
            "no whistle is due now", thing=state.phase.value, next_step="Log `resumed` or a note."
        )
    kind, period = _NEXT_WHISTLE[state.phase]
    return Entry(EntryId(0), kind, typed, period=period)


def _changed_kit(draft: Entry, rest: str, sheet: TeamSheet) -> Entry:
    """`kit w b`, or `kit away b`: the side that wore w now wears b."""
    old, _, new = rest.lower().partition(" ")
    kit = sheet.kit(old) if len(old) == 1 else None
    side = Side(old) if old in tuple(Side) else kit[1] if kit else None
    return replace(draft, side=side, note=new.strip() if side else rest)


def _period_of(kind: Kind, state: State) -> int | None:
    if kind is Kind.KICK_OFF:
        return _NEXT_WHISTLE.get(state.phase, (kind, 1))[1]
    return 5 if kind is Kind.SHOOT_OUT_KICK else None


def _opening(line: str) -> str:
    low = line.lower()
    for word in sorted(KINDS, key=len, reverse=True):
        if low == word or low.startswith(word + " "):
            return word
    raise WrongUse(
        "this opens no log entry",
        thing=line.split(" ", 1)[0],
        next_step="Begin with one of: whistle, " + ", ".join(KINDS) + ".",
    )


def _minute(draft: Entry, rest: str) -> tuple[Entry, str]:
    words = rest.split()
    for i, word in enumerate(words):
        after_at = i > 0 and words[i - 1].lower() == "at"
        if _MINUTE.fullmatch(word) or (after_at and re.fullmatch(r"\d{1,3}(\+\d{1,2})?", word)):
            kept = words[: i - 1 if after_at else i] + words[i + 1 :]
            return replace(draft, printed=MinuteLabel.read(word)), " ".join(kept)
    return draft, rest


def _how(draft: Entry, rest: str) -> tuple[Entry, str]:
    if draft.kind not in (Kind.GOAL, Kind.SHOOT_OUT_KICK):
        return draft, rest
    for words in _HOWS:
        found = re.search(rf"\b{words}\b", rest, re.IGNORECASE)
        if found:
            rest = f"{rest[: found.start()]} {rest[found.end() :]}".strip()
            return replace(draft, how=How(words)), rest
    return draft, rest


def _people(
    rest: str, sheet: TeamSheet, state: State, kind: Kind
) -> tuple[dict[str, Person | Side], str]:
    """People by their part (first, `for`, `assist`) and the words that name nobody."""
    found: dict[str, Person | Side] = {}
    note: list[str] = []
    part = "first"
    for word in rest.split():
        new_number = kind is Kind.SHIRT and word.isdecimal()
        if word.lower() in ("for", "assist"):
            part = word.lower()
        elif (
            part not in (*found, "note")
            and not new_number
            and (who := _who(word, sheet, state, part)) is not None
        ):
            found[part] = who
            part = "note" if part != "first" else "second"
        else:
            note.append(word)
    return found, " ".join(note)


def _who(word: str, sheet: TeamSheet, state: State, part: str) -> Person | Side | None:
    seen = _SEEN.fullmatch(word.lower())
    if seen:
        return _seen(int(seen[1]), seen[2], sheet, state)
    kit = sheet.kit(word.lower()) if len(word) == 1 else None
    if kit:
        return kit[1]
    if word.lower() in ("home", "away"):
        return Side(word.lower())
    met = _MET["second" if part == "second" else "first"]
    matches = [m for m in find_people(sheet, word, limit=6) if m.why in met]
    if not matches or (matches[0].why is Why.BEGINNING and len(word) < SHORTEST_BEGINNING):
        return None
    best = [m for m in matches if m.score >= matches[0].score - 1e-9]
    if len(best) > 1:
        raise Choices(
            "several people fit",
            [f"{m.person.number or ''} {m.person.printed_name}".strip() for m in best],
            thing=word,
            next_step="Write the number and kit letter.",
        )
    return best[0].person


def _seen(number: int, letter: str, sheet: TeamSheet, state: State) -> Person:
    kit = sheet.kit(letter)
    if kit is None or kit[1] is None:
        raise WrongUse(
            "no side's kit has that letter",
            thing=letter,
            next_step="Look at the team sheet's kits.",
        )
    side = kit[1]
    worn = state.side(side).wearing(number)
    if worn is not None and (person := sheet.person(worn)):
        return person
    listed = [p for p in sheet.players(side) if p.number == number]
    if not listed:
        raise WrongUse(
            f"nobody of the {side.value} side has that number",
            thing=f"{number}{letter}",
            next_step="Look again, or correct the team sheet.",
        )
    return listed[0]


def _assembled(draft: Entry, people: dict[str, Person | Side], note: str) -> Entry:
    first = people.get("first")
    person: PersonId | None = first.id if isinstance(first, Person) else None
    side = first.side if isinstance(first, Person) else first
    later = people.get("for") or people.get("assist") or people.get("second")
    other: PersonId | None = later.id if isinstance(later, Person) else None
    if draft.kind in (Kind.SUBSTITUTION, Kind.LATE_CHANGE):
        if person is None or other is None:
            raise WrongUse(
                "a substitution names two players",
                next_step="Write who comes on, then who leaves: sub 17w for 8w.",
            )
        person, other = other, person
    if draft.how is How.OWN_GOAL and side is not None:
        side = side.other
    number = draft.number
    if draft.kind is Kind.SHIRT:
        digits = [w for w in note.split() if w.isdigit()]
        number = int(digits[0]) if digits else None
        note = " ".join(w for w in note.split() if not w.isdigit() and w != "none")
    return replace(draft, person=person, other=other, side=side, number=number, note=note)
