"""A language as data: how it words acts, people, places and times."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from setpiece.captions.tables import Table


@dataclass(frozen=True, slots=True)
class Wording:
    """How one language words one act.

    `verb` is its form for one person and for several; `object` follows it when somebody is
    acted on, `bare` when nobody is (an empty `object`
    is the language's own); `particle` closes the clause in languages that split their
    verbs. `sentence`, where given, replaces the language's own frame of a clause;
    `when`, where given, the phrase that joins clause and match.
    """

    verb: tuple[str, str] = ("", "")
    object: str = ""
    bare: str = ""
    particle: str = ""
    mates: str = ""
    foes: str = ""
    sentence: str = ""
    headline: str = ""
    alt: str = ""
    keywords: tuple[str, ...] = ()
    when: str = ""


@dataclass(frozen=True, slots=True)
class Term:
    """A word of the shorthand: what may be typed for it, and how this language prints it.

    `prints` holds one pattern per grammatical key, as `one`, `f`, `m`, `dat`; `prints[""]` is
    the plain one. `matches` are the values of the domain it stands for.
    """

    forms: tuple[str, ...] = ()
    prints: Mapping[str, str] = field(default_factory=dict)
    matches: tuple[str, ...] = ()
    care: bool = False

    def printed(self, *keys: str) -> str:
        """The pattern for the first key that it has, else the plain one."""
        for key in keys:
            if key in self.prints:
                return self.prints[key]
        return self.prints.get("", "")


TERMS = ("place", "how", "place_of", "role", "group", "stranger", "milestone", "event", "link")
"""Kinds of terms: placements, ways, where it happens, roles, groups, unnamed people,
milestones, entries named after `after`, and the words that link."""


@dataclass(frozen=True, slots=True)
class Language:
    """One language: terms by kind and key, phrases by name, wording by act.

    `capitals` are the words, in small letters, that its own texts print with a capital: in a
    caption they are nobody's name.
    """

    code: str
    terms: Mapping[str, Mapping[str, Term]]
    phrases: Mapping[str, str]
    words: Mapping[str, tuple[str, ...]]
    wordings: Mapping[str, Wording]
    capitals: frozenset[str] = frozenset()

    def term(self, kind: str, key: str) -> Term:
        """A term; an empty one where this language has none."""
        return self.terms.get(kind, {}).get(key, Term())

    def phrase(self, *names: str) -> str:
        """The first of these phrases that the language has, else an empty text."""
        for name in names:
            if name in self.phrases:
                return self.phrases[name]
        return ""

    def text(self, kind: str, key: str) -> str:
        """A printed word of a simple table, the key itself where there is none."""
        return self.phrases.get(f"{kind}.{key}", key)


def read_language(
    code: str, top: Table, rows: Mapping[str, Table], base: Language | None
) -> Language:
    """The language an act file states, added to `base`."""
    terms = {kind: dict(base.terms.get(kind, {})) if base else {} for kind in TERMS}
    for kind in TERMS:
        table = top.table(kind)
        for key in table.names():
            row = table.table(key)
            terms[kind][key] = _read_term(row)
            row.close()
    phrases = dict(base.phrases) if base else {}
    table = top.table("phrase")
    for key in table.names():
        _flatten(table, key, key, phrases)
    words = dict(base.words) if base else {}
    table = top.table("words")
    for key in table.names():
        words[key] = words.get(key, ()) + table.texts(key)
    wordings = dict(base.wordings) if base else {}
    wordings.update({name: _read_wording(row) for name, row in rows.items()})
    return Language(code, terms, phrases, words, wordings, _capitals(terms, phrases, wordings))


_CAPITAL = re.compile(r"\b[^\W\d_a-zß-öø-ÿ][^\W\d_]*(?:-[^\W\d_]+)*")
_VALUES = re.compile(r"\{[{%].*?[%}]\}")


def _capitals(
    terms: Mapping[str, Mapping[str, Term]],
    phrases: Mapping[str, str],
    wordings: Mapping[str, Wording],
) -> frozenset[str]:
    texts = [text for kind in terms.values() for t in kind.values() for text in t.prints.values()]
    texts += phrases.values()
    for words in wordings.values():
        texts += [*words.verb, words.object, words.bare, words.particle, words.mates, words.foes]
        texts += [words.sentence, words.headline]
    bare = (_VALUES.sub(" ", text) for text in texts)
    return frozenset(word.lower() for text in bare for word in _CAPITAL.findall(text))


def _flatten(table: Table, key: str, path: str, into: dict[str, str]) -> None:
    if isinstance(table.values[key], dict):
        inner = table.table(key)
        for name in inner.names():
            _flatten(inner, name, f"{path}.{name}", into)
    else:
        into[path] = table.text(key)


def _read_term(row: Table) -> Term:
    prints: dict[str, str] = {}
    if isinstance(row.values.get("print"), dict):
        table = row.table("print")
        prints = {key: table.text(key) for key in table.names()}
    elif row.has("print"):
        prints = {"": row.text("print")}
    return Term(row.texts("forms"), prints, row.texts("matches"), row.flag("care", False))


def _read_wording(row: Table) -> Wording:
    verb = row.texts("verb")
    return Wording(
        verb=(verb[0], verb[-1]) if verb else ("", ""),
        object=row.text("object", ""),
        bare=row.text("bare", ""),
        particle=row.text("particle", ""),
        mates=row.text("mates", ""),
        foes=row.text("foes", ""),
        sentence=row.text("sentence", ""),
        headline=row.text("headline", ""),
        alt=row.text("alt", ""),
        keywords=row.texts("keywords"),
        when=row.text("when", ""),
    )
