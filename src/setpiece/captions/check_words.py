"""How it is said: sentences, tense, unwanted words, and people to protect."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from functools import lru_cache

from setpiece.captions.caption import Caption
from setpiece.captions.findings import Finding, doubt, error, remark
from setpiece.captions.freetext import Found, sentences
from setpiece.captions.language import Language
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.match.entries import Kind

MOST_SENTENCES = 2
"""captions as taught: at most two sentences."""

CARE_NEAR_S = 180
"""Frames this near an injury, an invader or crowd trouble are held. Our choice."""


_TELLING = (Kind.NOTE, Kind.SUSPENDED, Kind.ABANDONED)
"""Entries whose note may tell of an invader or of crowd trouble."""


@lru_cache(maxsize=256)
def _pattern(words: tuple[str, ...]) -> re.Pattern[str] | None:
    if not words:
        return None
    listed = "|".join(re.escape(w) for w in sorted(words, key=lambda w: -len(w)))
    return re.compile(rf"(?<![\w-])({listed})(?![\w-])", re.IGNORECASE)


def found_words(text: str, words: tuple[str, ...]) -> tuple[str, ...]:
    """The listed words that stand in the text, each once."""
    pattern = _pattern(words)
    if pattern is None:
        return ()
    return tuple(dict.fromkeys(m[1].lower() for m in pattern.finditer(text)))


def check_sentences(found: Found, language: Language) -> Iterator[Finding]:
    """At most two sentences, the first in the present tense."""
    parts = sentences(found.text, language)
    if len(parts) > MOST_SENTENCES:
        yield error("too many sentences", f"{len(parts)} sentences; at most {MOST_SENTENCES}")
    if not parts:
        return
    past = language.words.get("past", ())
    first = found.bare[: len(parts[0])]
    titles = _pattern(language.words.get("titles", ()))
    first = titles.sub(" ", first) if titles is not None else first
    verbs = found_words(first, (*past, *_present(language)))
    if verbs and verbs[0] in past:
        yield error("not in the present tense", f"The first sentence says {verbs[0]}", verbs[0])


def _present(language: Language) -> tuple[str, ...]:
    key = "present"
    if key in language.words:
        return language.words[key]
    firsts = {verb.split()[0] for w in language.wordings.values() for verb in w.verb if verb}
    return tuple(sorted(firsts))


def check_unwanted(text: str, language: Language, style: HouseStyle) -> Iterator[Finding]:
    """Adjectives and slang, outside of quotations."""
    bare = re.sub(r"[“\"«][^”\"»]*[”\"»]", " ", text)
    words = (*language.words.get("adjectives", ()), *style.adjectives)
    for word in found_words(bare, words):
        yield remark("adjective", f"{word} is no fact", word)
    for word in found_words(bare, language.words.get("slang", ())):
        yield remark("slang", f"{word} is slang", word)


def check_care(
    caption: Caption, found: Found, situation: Situation, language: Language
) -> Iterator[Finding]:
    """People to protect: from the act, from words, and from what happened near."""
    text = f"{caption.fields.headline} {found.text}"
    for word in found_words(text, language.words.get("diagnosis", ())):
        yield error("diagnosis", f"{word}: a caption gives no diagnosis", word)
    for word in found_words(text, language.words.get("motive", ())):
        yield error("motive", f"{word}: a caption gives no motive", word)
    reasons = list(found_words(text, language.words.get("care", ())))
    if caption.held_for_care:
        reasons.insert(0, "the act")
    reasons += care_near(situation, language)
    if reasons:
        yield doubt(
            "people to protect",
            f"Held until a person decides: {', '.join(dict.fromkeys(reasons))}",
            choices=("use it", "hold it", "spike it"),
        )
    people = (situation.person(m.person) for m in found.mentions)
    for name in dict.fromkeys(p.name for p in people if p is not None and p.under_18):
        yield remark("under 18", f"{name} is under 18: only as the public sheet names her", name)


def care_near(situation: Situation, language: Language) -> tuple[str, ...]:
    """What near this frame, captioned or not, calls for a person's decision."""
    reach = timedelta(seconds=CARE_NEAR_S)
    words = language.words.get("care", ())
    reasons: list[str] = []
    for entry in situation.fold.entries:
        told = entry.kind in _TELLING and bool(found_words(entry.note, words))
        if entry.kind not in (Kind.INJURY, Kind.TREATMENT) and not told:
            continue
        when = situation.fold.when(entry)
        if when.start - reach <= situation.at.end and situation.at.start <= when.end + reach:
            reasons.append(f"{entry.kind} near this frame")
    return tuple(dict.fromkeys(reasons))
