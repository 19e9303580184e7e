"""The check of a frame's caption, as the screen shows it: what is wrong, else what holds."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.captions.caption import Caption
from setpiece.captions.findings import Level
from setpiece.captions.reading import Nature, Whereabouts
from setpiece.errors import AskPhotographer
from setpiece.store.captions import overruled
from setpiece.web.wording import Wording
from setpiece.work.caption import check_frames
from setpiece.work.matchday import Matchday

_TONES = {Level.ERROR: "wrong", Level.DOUBT: "doubt", Level.REMARK: ""}


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding: its grade (error, doubt, remark) with its word and tone, what is wrong, and
    why it was overruled. `code` names it for an answer."""

    grade: str
    word: str
    tone: str
    text: str
    overruled: str = ""
    code: str = ""
    choices: tuple[str, ...] = ()


def findings_of(day: Matchday, frame_id: str, words: Wording) -> tuple[Finding, ...]:
    """What the check finds in a frame's caption; none where there is no caption.

    Checking is the dearest part of a page, so what was found is kept with the view of the match.
    """
    known = day.captions.get(frame_id)
    if known is None:
        return ()
    kept: dict[str, dict[tuple[int, str], tuple[Finding, ...]]] = vars(day).setdefault(KEPT, {})
    of_frame, key = kept.setdefault(frame_id, {}), (known.version, words.language)
    if key not in of_frame:
        of_frame[key] = _found(day, frame_id, words)
    return of_frame[key]


KEPT = "findings_kept"
"""The name under which findings are kept with the view of a match."""


def errors_of(day: Matchday, frame_id: str, words: Wording) -> int:
    """How many errors the check finds in a frame's caption, overruled ones left out."""
    return sum(1 for f in findings_of(day, frame_id, words) if f.tone == "wrong")


def _found(day: Matchday, frame_id: str, words: Wording) -> tuple[Finding, ...]:
    try:
        (written,) = check_frames(day, [frame_id])
    except AskPhotographer as error:
        return (Finding("error", words("check.error"), "wrong", words.told(str(error))),)
    found = [
        Finding(f.level.value, words(f"check.{f.level.value}"), _TONES[f.level],
                words.told(f.message), code=f.code, choices=f.choices)
        for f in written.findings
    ]  # fmt: skip
    reasons = overruled(day.space, day.match).get((frame_id, written.version), {})
    found += [
        Finding("remark", words("check.overruled"), "", words.told(code), reason, code)
        for code, reason in reasons.items()
    ]
    return tuple(found)


def holds(day: Matchday, caption: Caption, words: Wording) -> tuple[str, ...]:
    """What the caption rests on, in words, once the check has found no error in it."""
    reading, facts = caption.reading, caption.facts
    said = []
    people = [p for p in reading.people if p.nature is Nature.PLAYER] if reading else []
    if people and all(p.whereabouts is Whereabouts.ON_PITCH for p in people):
        said.append(words.count("check.on-pitch", len(people)))
    if facts.score is not None:
        said.append(words("check.score", score=facts.score))
    if facts.people:
        said.append(words.count("check.names", len(facts.people)))
    if reading and any(p.places for p in reading.people):
        said.append(words("check.placed"))
    return tuple(said)
