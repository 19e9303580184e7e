"""One line as read: who, what, whom, with whom, where, after what; nobody looked up yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from setpiece.errors import AskPhotographer, Choices

COMMAND_WORDS = frozenset(
    "goal yellow red sub whistle use hold spike send next previous find answer check undo redo "
    "here note penalty open close kickoff minute review disallow withdraw correct kill rate "
    "style desk log clock help quit go back passage frame export set kit return temporary stands "
    "under late injury treatment shirt resumed added break substitution".split()
)
"""Words that act. One of them standing first in the line never opens a caption."""


class ShorthandError(AskPhotographer):
    """A word of the line that cannot be read: where it stands, and the nearest that can."""

    def __init__(
        self,
        what: str,
        *,
        start: int,
        end: int,
        word: str,
        nearest: tuple[str, ...] = (),
        next_step: str = "",
    ) -> None:
        self.start = start
        self.end = end
        self.word = word
        self.nearest = nearest
        if nearest and not next_step:
            next_step = "Did you mean " + " or ".join(nearest) + "?"
        super().__init__(what, thing=word, next_step=next_step)


class Question(Choices):
    """Several people, entries or placements fit: which, and the words it is asked about."""

    def __init__(
        self,
        what: str,
        choices: Sequence[str],
        *,
        start: int,
        end: int,
        thing: str = "",
        next_step: str = "",
    ) -> None:
        self.start = start
        self.end = end
        super().__init__(what, choices, thing=thing, next_step=next_step)


class RefKind(StrEnum):
    """How a person was named."""

    SHIRT = "shirt"
    NAME = "name"
    ROLE = "role"
    GROUP = "group"
    STRANGER = "stranger"
    SOMEONE = "someone"


@dataclass(frozen=True, slots=True)
class Ref:
    """A person as typed. `kit` is the letter, colour or side typed with it, `places` where."""

    kind: RefKind
    start: int
    end: int
    text: str
    number: int | None = None
    kit: str = ""
    words: tuple[str, ...] = ()
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class After:
    """The entry the picture follows, as typed: kind, minute and person, each optional."""

    start: int
    end: int
    event: str = ""
    minute: str = ""
    person: Ref | None = None


@dataclass(frozen=True, slots=True)
class Correction:
    """A slip in a verb that was put right."""

    typed: str
    read_as: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Line:
    """One line, read. `act` is an act's id; `inverse` when who acts was typed second."""

    text: str
    act: str
    act_start: int
    act_end: int
    subjects: tuple[Ref, ...] = ()
    objects: tuple[Ref, ...] = ()
    mates: tuple[Ref, ...] = ()
    foes: tuple[Ref, ...] = ()
    beneficiaries: tuple[Ref, ...] = ()
    after: After | None = None
    hows: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    place_people: tuple[Ref, ...] = ()
    milestones: tuple[tuple[str, int], ...] = ()
    quotes: tuple[str, ...] = ()
    in_order: bool = False
    corrections: tuple[Correction, ...] = ()
