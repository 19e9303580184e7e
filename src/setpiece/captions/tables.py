"""Reading the tables of an act file or a house style, with errors a person can act on."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping

from rapidfuzz import fuzz, process

from setpiece.errors import WrongUse

SIMILAR_ENOUGH = 60.0
"""Similarity of two words, in per cent, from which one is offered for the other. Our choice."""


def nearest(word: str, known: Iterable[str], limit: int = 3) -> tuple[str, ...]:
    """The known words most like `word`, best first; empty when none is similar."""
    found = process.extract(
        word.lower(), list(known), scorer=fuzz.ratio, limit=limit, score_cutoff=SIMILAR_ENOUGH
    )
    return tuple(choice for choice, _, _ in found)


def read_toml(text: str, thing: str) -> Table:
    """The top table of a TOML text. Raises WrongUse naming the line."""
    try:
        return Table(tomllib.loads(text), thing)
    except tomllib.TOMLDecodeError as error:
        raise WrongUse(
            f"this is not TOML: {error}", thing=thing, next_step="Correct that line."
        ) from error


class Table:
    """One table of a file. Each getter marks its key as known; `close` refuses the others."""

    def __init__(self, values: Mapping[str, object], thing: str) -> None:
        self.values = values
        self.thing = thing
        self._asked: set[str] = set()

    def _wrong(self, key: str, wanted: str) -> WrongUse:
        return WrongUse(
            f"`{key}` should be {wanted}, not {self.values[key]!r}",
            thing=self.thing,
            next_step="Correct it in the file.",
        )

    def has(self, key: str) -> bool:
        """Whether the table has that key."""
        return key in self.values

    def text(self, key: str, default: str | None = None) -> str:
        """A text; without a default it has to be there."""
        self._asked.add(key)
        if key not in self.values:
            if default is None:
                raise WrongUse(f"`{key}` is missing", thing=self.thing, next_step="Add it.")
            return default
        value = self.values[key]
        if not isinstance(value, str):
            raise self._wrong(key, "a text in quotation marks")
        return value

    def one_of(self, key: str, allowed: Iterable[str], default: str) -> str:
        """A text out of a fixed list."""
        value, words = self.text(key, default), tuple(allowed)
        if value not in words:
            raise self._wrong(key, "one of " + ", ".join(f'"{word}"' for word in words))
        return value

    def texts(self, key: str, default: tuple[str, ...] = ()) -> tuple[str, ...]:
        """A list of texts."""
        self._asked.add(key)
        value = self.values.get(key, list(default))
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            raise self._wrong(key, "a list of texts in square brackets")
        return tuple(value)

    def number(self, key: str, default: int, least: int, most: int) -> int:
        """A whole number within limits."""
        self._asked.add(key)
        value = self.values.get(key, default)
        if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
            raise self._wrong(key, f"a whole number from {least} to {most}")
        return value

    def flag(self, key: str, default: bool) -> bool:
        """true or false."""
        self._asked.add(key)
        value = self.values.get(key, default)
        if not isinstance(value, bool):
            raise self._wrong(key, "true or false")
        return value

    def table(self, key: str) -> Table:
        """A table inside this one; empty when it is not there."""
        self._asked.add(key)
        value = self.values.get(key, {})
        if not isinstance(value, dict):
            raise self._wrong(key, f"a table, [{key}]")
        return Table(value, f"{self.thing}, {key}")

    def names(self) -> tuple[str, ...]:
        """All its keys, marked as known."""
        self._asked.update(self.values)
        return tuple(self.values)

    def close(self) -> None:
        """Raises WrongUse for the first key that nothing asked for."""
        for key in self.values:
            if key not in self._asked:
                near = nearest(key, self._asked)
                hint = (
                    f"Did you mean {' or '.join(f'`{n}`' for n in near)}?" if near else "Drop it."
                )
                raise WrongUse(f"`{key}` means nothing here", thing=self.thing, next_step=hint)
