"""What a line was understood to say, large, before Enter: people, act, entry, doubts, errors."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from setpiece.captions.acts import Acts
from setpiece.captions.completion import complete
from setpiece.captions.compose import read_line
from setpiece.captions.line import ShorthandError
from setpiece.captions.reading import Bound, Nature, Participant, Reading, Whereabouts
from setpiece.captions.situation import Situation
from setpiece.errors import Choices, SetpieceError
from setpiece.match.entries import Entry
from setpiece.match.instants import Instant
from setpiece.match.people import Kit, Person, PersonId
from setpiece.match.typed import read_line as read_log_line
from setpiece.web.intent import Deed, Intent, intent_of
from setpiece.web.sentences import Teller
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_acts


@dataclass(frozen=True, slots=True)
class Bit:
    """A piece of what was understood. `kind` is number, name, aside, word, lead, doubt.

    `kit` is the letter of the kit whose shirt stands before it.
    """

    kind: str
    text: str
    kit: str = ""


@dataclass(frozen=True, slots=True)
class Wrong:
    """Why a line cannot be taken: the words from `start` to `end` are marked."""

    text: str
    start: int
    end: int
    next_step: str = ""
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Next:
    """A way to go on: `text` replaces the line from `start` to `end`."""

    text: str
    means: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Understood:
    """A line as the page shows it. `enter` says what Enter would do."""

    deed: str
    bits: tuple[Bit, ...] = ()
    enter: str = ""
    wrong: Wrong | None = None
    nexts: tuple[Next, ...] = ()


def understood(
    day: Matchday, frame_id: str, line: str, cursor: int, now: Instant, words: Wording
) -> Understood:
    """What the line says, for the opened frame (empty for none). Never raises for the line."""
    acts = load_acts(day.space.folder)
    try:
        intent = intent_of(line, day.sheet, acts)
        bits = _READERS[intent.deed](day, frame_id, intent, now, words, acts)
        return Understood(
            intent.deed.value,
            bits,
            words(f"line.enter-{intent.deed.value}"),
            nexts=_nexts(day, frame_id, line, cursor, intent, acts),
        )
    except SetpieceError as error:
        deed = Deed.NOTHING if not line.strip() else Deed.CAPTION
        return Understood(
            deed.value,
            wrong=wrong(error, line),
            nexts=_nexts(day, frame_id, line, cursor, Intent(deed), acts),
        )


def wrong(error: SetpieceError, line: str) -> Wrong:
    """An error as the page shows it, at the word it is about."""
    choices = error.choices if isinstance(error, Choices) else ()
    if isinstance(error, ShorthandError):
        return Wrong(error.what, error.start, error.end, error.next_step, error.nearest)
    start = line.lower().find(error.thing.lower()) if error.thing else -1
    end = start + len(error.thing) if start >= 0 else len(line)
    text = error.what if start >= 0 or not error.thing else f"{error.thing}: {error.what}"
    return Wrong(text, max(start, 0) if start >= 0 else len(line), end, error.next_step, choices)


def _situation(day: Matchday, frame_id: str) -> Situation | None:
    return day.situation(frame_id) if frame_id and frame_id in day.times else None


def _nexts(
    day: Matchday, frame_id: str, line: str, cursor: int, intent: Intent, acts: Acts
) -> tuple[Next, ...]:
    """Ways to go on; after a whole word those of the next one, with the space between."""
    situation = _situation(day, frame_id)
    if situation is None or intent.deed not in (Deed.CAPTION, Deed.LOG) or not line.strip():
        return ()
    if intent.deed is Deed.LOG:
        return _people_nexts(line, cursor, situation, acts)
    found = complete(line, cursor, situation, acts)
    if found or cursor < len(line) or line[-1].isspace():
        return tuple(Next(s.text, s.means, s.start, s.end) for s in found)
    after = complete(f"{line} ", cursor + 1, situation, acts)
    whole = (s for s in after if s.start == cursor + 1)
    return tuple(Next(f" {s.text}", s.means, cursor, cursor) for s in whole)


def _people_nexts(line: str, cursor: int, situation: Situation, acts: Acts) -> tuple[Next, ...]:
    """In a log line only people are completed: the word at the cursor, as if it stood alone."""
    begun = line[:cursor].rpartition(" ")[2]
    if cursor < len(line) or not begun or begun == line.strip():
        return ()
    at = cursor - len(begun)
    people = (s for s in complete(begun, len(begun), situation, acts) if ", " in s.means)
    return tuple(Next(s.text, s.means, at + s.start, at + s.end) for s in people)


# ----- captions -----


def _caption(
    day: Matchday, frame_id: str, intent: Intent, now: Instant, words: Wording, acts: Acts
) -> tuple[Bit, ...]:
    if not frame_id:
        return (Bit("doubt", words("line.open-first")),)
    situation = day.situation(frame_id)
    reading = read_line(intent.rest, situation, acts)
    bits = [*_in_words(reading, situation, words)]
    if reading.bound is not None:
        bits.append(Bit("aside", _bound(reading.bound, situation, words)))
    bits += [
        Bit("doubt", words("line.read-as", typed=c.typed, read=c.read_as))
        for c in reading.corrections
    ]
    return tuple(bits)


def _in_words(reading: Reading, situation: Situation, words: Wording) -> Iterable[Bit]:
    """The line with everybody in it put large, the other words as they were typed."""
    at = 0
    for person in sorted(reading.people, key=lambda p: p.start):
        if person.start < at:
            continue
        between = reading.line[at : person.start].strip(" ,")
        if between:
            yield Bit("word", between)
        yield from _person(person, situation, words)
        at = person.end
    rest = reading.line[at:].strip(" ,")
    if rest:
        yield Bit("word", rest)


def _person(person: Participant, situation: Situation, words: Wording) -> Iterable[Bit]:
    if person.number_worn is not None:
        yield Bit("number", str(person.number_worn), person.kit_letter)
    yield Bit("name", person.name or person.typed, "" if person.number_worn else person.kit_letter)
    aside = [_position(person.position or person.title, words), person.kit_colour]
    yield from _aside(aside)
    if person.nature is Nature.PLAYER and person.whereabouts is not Whereabouts.ON_PITCH:
        since = f" {person.since}'" if person.since else ""
        yield Bit("doubt", f"{person.whereabouts.value}{since}")


def _aside(parts: Sequence[str]) -> Iterable[Bit]:
    text = ", ".join(p for p in parts if p)
    if text:
        yield Bit("aside", text)


def _position(position: str, words: Wording) -> str:
    name = f"position.{position}"
    return words(name) if words.known(name) else position


def _bound(bound: Bound, situation: Situation, words: Wording) -> str:
    scorer = situation.person(bound.scorer)
    parts = [bound.event, scorer.name if scorer else "", f"{bound.label}'" if bound.label else ""]
    if bound.score is not None:
        parts.append(str(bound.score))
    return words("line.after", what=", ".join(p for p in parts if p))


# ----- the log -----


def _log(
    day: Matchday, frame_id: str, intent: Intent, now: Instant, words: Wording, acts: Acts
) -> tuple[Bit, ...]:
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
    position = person.position or person.title or person.role.value
    bits += _aside([_position(position, words), kit.colour if kit else ""])
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


# ----- everything else -----


def _decide(
    day: Matchday, frame_id: str, intent: Intent, now: Instant, words: Wording, acts: Acts
) -> tuple[Bit, ...]:
    frame = day.frame(intent.rest) if intent.rest else day.frames.get(frame_id)
    if frame is None:
        return (Bit("doubt", words("line.open-first")),)
    return (Bit("lead", words(f"line.say-{intent.word}")), Bit("name", frame.handle))


def _plain(
    day: Matchday, frame_id: str, intent: Intent, now: Instant, words: Wording, acts: Acts
) -> tuple[Bit, ...]:
    if intent.deed is Deed.NOTHING:
        return ()
    lead = Bit("lead", words(f"line.say-{intent.deed.value}"))
    return (lead, Bit("name", intent.rest)) if intent.rest else (lead,)


_READERS = {deed: _plain for deed in Deed} | {
    Deed.CAPTION: _caption,
    Deed.LOG: _log,
    Deed.DECIDE: _decide,
}
