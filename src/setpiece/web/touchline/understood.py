"""What a line was understood to say, large, before Enter: people, act, entry, doubts, errors."""

from __future__ import annotations

import re
from dataclasses import replace

from setpiece.captions.acts import Acts
from setpiece.captions.completion import complete
from setpiece.captions.situation import Situation
from setpiece.errors import SetpieceError
from setpiece.match.instants import Instant
from setpiece.web.touchline.heard_caption import caption_bits, salvaged
from setpiece.web.touchline.heard_log import log_bits
from setpiece.web.touchline.hearing import Bit, Next, Understood, Wrong, wrong
from setpiece.web.touchline.intent import Deed, Intent, intent_of
from setpiece.web.wording import Wording
from setpiece.work.desk.goal_proposal import propose_goal
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_acts


def understood(
    day: Matchday, frame_id: str, line: str, cursor: int, now: Instant, words: Wording
) -> Understood:
    """What the line says, for the opened frame (empty for none). Never raises for the line."""
    acts = load_acts(day.space.folder)
    intent = Intent(Deed.CAPTION)
    try:
        intent = intent_of(line, day.sheet, acts)
        bits = _READERS[intent.deed](day, frame_id, intent, now, words, acts)
        nexts = _nexts(day, frame_id, line, cursor, intent, acts)
        return Understood(
            intent.deed.value, bits, words(f"line.enter-{_enter(intent)}"), nexts=nexts
        )
    except SetpieceError as error:
        found = wrong(error, line, words)
        bits = salvaged(line, _situation(day, frame_id), words, acts)
        quiet = _unfinished(found, line, cursor, bits)
        return Understood(
            intent.deed.value,
            bits,
            wrong=replace(found, unfinished=quiet),
            nexts=_nexts(day, frame_id, line, cursor, intent, acts),
        )


def _enter(intent: Intent) -> str:
    """What Enter does, by the name of its text: a goal is shown first and sent on `now`."""
    said = intent.rest.lower().split()
    shown_first = intent.deed is Deed.SEND and "goal" in said and "now" not in said
    return "send-goal" if shown_first else intent.deed.value


def _unfinished(found: Wrong, line: str, cursor: int, bits: tuple[Bit, ...]) -> bool:
    """Whether what comes next may put it right. A whole shirt that nobody wears may not."""
    typed = line.rstrip()
    if cursor < len(typed) or found.end < len(typed):
        return False
    clear = bool(bits) and bits[-1].kind != "word"
    return clear or not _SHIRT.fullmatch(typed.rpartition(" ")[2])


_SHIRT = re.compile(r"\d+[a-z]")


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


def _caption(
    day: Matchday, frame_id: str, intent: Intent, now: Instant, words: Wording, acts: Acts
) -> tuple[Bit, ...]:
    if not frame_id:
        return (Bit("doubt", words("line.open-first")),)
    return caption_bits(intent.rest, day.situation(frame_id), words, acts)


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


def _send(
    day: Matchday, frame_id: str, intent: Intent, now: Instant, words: Wording, acts: Acts
) -> tuple[Bit, ...]:
    """What is sent; of a goal each frame proposed, with the line that the log gives it."""
    lead = _plain(day, frame_id, intent, now, words, acts)
    if "goal" not in intent.rest.lower().split():
        return lead
    bits = [lead[0]]
    for shown in propose_goal(day).frames:
        bits += [Bit("name", shown.handle), Bit("aside", words(f"goal.{shown.part}"))]
        bits.append(Bit("word", shown.line))
    return tuple(bits)


_READERS = {deed: _plain for deed in Deed} | {
    Deed.CAPTION: _caption,
    Deed.LOG: lambda day, frame, intent, now, words, _: log_bits(day, frame, intent, now, words),
    Deed.DECIDE: _decide,
    Deed.SEND: _send,
}
