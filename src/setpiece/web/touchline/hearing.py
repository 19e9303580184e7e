"""What was heard in a line, as the page shows it: pieces, errors, ways to go on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from setpiece.captions.line import ShorthandError
from setpiece.errors import Choices, SetpieceError
from setpiece.web.wording import Wording


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
    """Why a line cannot be taken: the words from `start` to `end` are marked.

    `unfinished` is said quietly: the next letter may put it right.
    """

    text: str
    start: int
    end: int
    next_step: str = ""
    choices: tuple[str, ...] = ()
    unfinished: bool = False


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


def wrong(error: SetpieceError, line: str, words: Wording) -> Wrong:
    """An error as the page shows it, at the word it is about, in the language of the page."""
    what, next_step = words.told(error.what), words.told(error.next_step)
    choices = error.choices if isinstance(error, Choices) else ()
    if isinstance(error, ShorthandError):
        return Wrong(what, error.start, error.end, next_step, error.nearest)
    start = line.lower().find(error.thing.lower()) if error.thing else -1
    end = start + len(error.thing) if start >= 0 else len(line)
    text = what if start >= 0 or not error.thing else f"{error.thing}: {what}"
    return Wrong(text, max(start, 0) if start >= 0 else len(line), end, next_step, choices)


def word(text: str) -> list[Bit]:
    """Words that stay as they were typed."""
    return [Bit("word", text.strip(" ,"))] if text.strip(" ,") else []


def aside(parts: Sequence[str]) -> Iterable[Bit]:
    """What is said small beside a name."""
    text = ", ".join(p for p in parts if p)
    if text:
        yield Bit("aside", text)


def position(name: str, words: Wording) -> str:
    """A position as it is read: `forward` for `FW`."""
    known = f"position.{name}"
    return words(known) if words.known(known) else name
