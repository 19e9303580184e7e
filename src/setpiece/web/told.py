"""What the rooms below the page say, in the language of the page.

They speak English; `messages/` has one file a language, by the English sentence. Names in braces
stand for what a sentence tells of, which is looked up too, and stays as it is where it is a name.
What is quoted from a caption stays in any case: `{text!}`; `{n#}` is a number and nothing else.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files

_BRACES = re.compile(r"\{(\w*)([!#]?)\}")
_DEEPEST = 4  # an error, its sentence, what it tells of, and a word in that


@dataclass(frozen=True, slots=True)
class _Pattern:
    """A sentence with names in it: how it is recognised, and how it is said."""

    english: re.Pattern[str]
    said: str


class Messages:
    """The sentences of one language; without a file everything stays English."""

    def __init__(self, sentences: Mapping[str, str]) -> None:
        self._whole = {k: v for k, v in sentences.items() if not _BRACES.search(k)}
        with_names = sorted(sentences.keys() - self._whole.keys(), key=_letters, reverse=True)
        self._patterns = [_Pattern(_recognised(k), sentences[k]) for k in with_names]

    def knows(self, english: str) -> bool:
        """Whether there is a sentence for this, names in braces and all."""
        return self._one(english, _DEEPEST) is not None

    def told(self, english: str) -> str:
        """That sentence, or those sentences, in this language as far as they are known."""
        return self._told(english, 0) if self._whole else english

    def _told(self, text: str, depth: int) -> str:
        if depth > _DEEPEST or not text:
            return text
        one = self._one(text, depth)
        if one is not None:
            return one
        for joint in (". ", ": ", "; ", ", "):
            first, *rest = text.split(joint)
            if joint != ": ":  # before it stands what was typed, or a name
                first = self._told(first, depth + 1)
            said = joint.join([first, *(self._told(p, depth + 1) for p in rest)])
            if said != text:
                return said
        return text.replace(" or ", f" {self._whole.get('or', 'or')} ") if depth else text

    def _one(self, text: str, depth: int) -> str | None:
        bare = text.removesuffix(".")
        for typed, stop in ((text, ""), (bare, text[len(bare) :])):
            if typed in self._whole:
                return self._whole[typed] + stop
        if f"{text}." in self._whole:  # a sentence in the middle of others
            return self._whole[f"{text}."].removesuffix(".")
        sentences = text.split(". ")
        if len(sentences) > 1 and depth < _DEEPEST:
            told = [self._one(s, depth + 1) for s in sentences]
            if None not in told:
                return ". ".join(s for s in told if s)
        for pattern in self._patterns:
            found = pattern.english.fullmatch(text) or pattern.english.fullmatch(bare)
            if found is not None:
                stop = text[len(found[0]) :]
                return self._filled(pattern.said, found.groupdict(), depth) + stop
        return None

    def _filled(self, said: str, values: Mapping[str, str], depth: int) -> str:
        def value(brace: re.Match[str]) -> str:
            given = values[_name(brace[1])]
            return given if brace[2] == "!" else self._told(given, depth + 1)

        return _BRACES.sub(value, said)


def _letters(template: str) -> int:
    """How much of a sentence is not a name: the most telling is tried first."""
    return len(_BRACES.sub("", template))


def _name(written: str) -> str:
    return f"v_{written}"


def _recognised(template: str) -> re.Pattern[str]:
    parts: list[str] = []
    seen: dict[str, int] = {}
    at = 0
    for brace in _BRACES.finditer(template):
        parts.append(re.escape(template[at : brace.start()]))
        written = brace[1] or "_"
        seen[written] = seen.get(written, 0) + 1
        again = f"_{seen[written]}" if seen[written] > 1 else ""
        shape = r"[\d.,+-]+" if brace[2] == "#" else ".+?"
        parts.append(f"(?P<{_name(written + again)}>{shape})")
        at = brace.end()
    parts.append(re.escape(template[at:]))
    return re.compile("".join(parts), re.DOTALL)


@cache
def messages(language: str) -> Messages:
    """The sentences of a language."""
    path = files("setpiece.web.messages").joinpath(f"{language}.toml")
    if not path.is_file():
        return Messages({})
    sections = tomllib.loads(path.read_text(encoding="utf-8"))
    return Messages({english: said for part in sections.values() for english, said in part.items()})


@lru_cache(maxsize=4096)
def told(english: str, language: str) -> str:
    """What a room below the page says, in that language; English as it is."""
    return messages(language).told(english)
