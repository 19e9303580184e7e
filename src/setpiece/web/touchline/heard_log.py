"""A line of the match log as the page shows it before it is logged."""

from __future__ import annotations

from collections.abc import Iterable

from setpiece.match.entries import Entry
from setpiece.match.instants import Instant
from setpiece.match.people import Kit, Person, PersonId
from setpiece.match.typed import read_line as read_log_line
from setpiece.web.sentences import Teller
from setpiece.web.touchline.hearing import Bit, aside, position
from setpiece.web.touchline.intent import Intent
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday


def log_bits(
    day: Matchday, frame_id: str, intent: Intent, now: Instant, words: Wording
) -> tuple[Bit, ...]:
    """An entry before it is logged: people large, the minute, the score it would make."""
    at = day.times[frame_id].middle if intent.here and frame_id in day.times else now
    state = day.fold.state_at(at)
    entry = read_log_line(intent.rest, day.sheet, state, now)
    bits = [Bit("lead", Teller(entry, day.sheet, words).lead())]
    for person_id, before in ((entry.person, ""), (entry.other, "with")):
        person = day.sheet.person(person_id) if person_id else None
        if person is None:
            continue
        if before:
            bits.append(Bit("word", words(f"line.other-{_other(entry)}")))
        bits += _logged(person, day, state.side(person.side).number_of(person.id)
                        if person.side else None, words)  # fmt: skip
    bits += _log_facts(day, entry, intent, at, words)
    return tuple(bits)


def _other(entry: Entry) -> str:
    return entry.kind.value.replace(" ", "-") if entry.kind.value in _OTHERS else "other"


_OTHERS = ("substitution", "late change", "goal")


def _logged(person: Person, day: Matchday, number: int | None, words: Wording) -> list[Bit]:
    shown = number if number is not None else person.number
    kit = _kit_of(person.id, day)
    letter = kit.letter if kit else ""
    bits = [Bit("number", str(shown), letter)] if shown is not None else []
    bits.append(Bit("name", person.name, "" if bits else letter))
    what = person.position or person.title or words.told(person.role.value)
    bits += aside([position(what, words), kit.colour if kit else ""])
    return bits


def _kit_of(who: PersonId, day: Matchday) -> Kit | None:
    person = day.sheet.person(who)
    if person is None or person.side is None:
        return None
    keeper = person.role.value == "goalkeeper"
    kits = day.sheet.side(person.side).kits
    return next((k for k in kits if k.goalkeeper is keeper), None)


def _log_facts(
    day: Matchday, entry: Entry, intent: Intent, at: Instant, words: Wording
) -> Iterable[Bit]:
    state = day.fold.state_at(at)
    if entry.kind.value == "goal" and entry.side and entry.standing.value != "disallowed":
        yield Bit("aside", words("line.makes-it", score=state.score.plus(entry.side)))
    label = entry.printed or state.label
    if label is not None:
        yield Bit("aside", f"{label}'")
    if intent.here:
        yield Bit("aside", words("line.here"))
    if intent.replaces is not None:
        yield Bit("aside", words("line.replaces", n=intent.replaces))
    if entry.note:
        yield Bit("word", entry.note)
