"""What is wanted beyond the shot list: single people with their story, and stories without one.

An angle is why somebody is wanted today. Stories to begin with are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from setpiece.errors import WrongUse
from setpiece.match.people import PersonId
from setpiece.plan.shotlist import Shot
from setpiece.plan.templates import AFTER, BEFORE, MATCH


class Angle(StrEnum):
    """Why a person is a story today. The values are printed."""

    COVER = "programme cover"
    DEBUT = "debut"
    RETURN = "return"
    MILESTONE = "milestone"
    PRESSURE = "under pressure"


@dataclass(frozen=True, slots=True)
class Want:
    """One thing wanted, as typed on the page before the match.

    A person's want names `person`, with an `angle` where there is one and a `note` beside it
    (`100th match`). A story's want has a `title` and the `subjects` that answer it: acts, their
    words for the shot list, groups, or keywords of captions. `who` is the desk that asks, empty
    for the photographer.
    """

    title: str = ""
    person: PersonId | None = None
    angle: Angle | None = None
    note: str = ""
    subjects: tuple[str, ...] = ()
    when: str = MATCH
    upright: bool = False
    count: int = 1
    who: str = ""

    def __post_init__(self) -> None:
        if self.person is None and not (self.title.strip() and self.subjects):
            raise WrongUse(
                "a want names a person, or a title and what a picture of it shows",
                thing=self.title or "no title",
                next_step="Choose somebody, or write subjects such as supporters, celebrations.",
            )
        if self.angle is not None and self.person is None:
            raise WrongUse("an angle is about somebody", thing=self.angle.value)
        if self.when not in (BEFORE, MATCH, AFTER):
            raise WrongUse(
                "no such part of the day",
                thing=self.when,
                next_step=f"Write {BEFORE}, {MATCH} or {AFTER}.",
            )
        if not 1 <= self.count <= 99:
            raise WrongUse("a picture is wanted 1 to 99 times", thing=str(self.count))


STORIES: Mapping[str, Want] = MappingProxyType(
    {
        "programme cover": Want(
            "Programme cover: one player, upright, room above",
            subjects=("play", "celebrations"),
            upright=True,
        ),
        "sponsors' boards": Want(
            "Play before the sponsors' boards", subjects=("sponsor boards",), count=2
        ),
        "presentation": Want(
            "Presentation, the sponsors' wall in full", subjects=("presentation",), when=AFTER
        ),
        "supporters": Want("Supporters: faces, scarves, flags", subjects=("supporters",)),
    }
)
"""Stories to begin with, by name."""


def shot_of(want: Want, number: int, name: str) -> Shot:
    """A want as a line of the shot list; `number` tells it apart, `name` is the person's."""
    return Shot(
        f"want-{number}",
        want.title or name,
        want.when,
        frozenset(s.strip().casefold() for s in want.subjects if s.strip()),
        person=want.person,
        upright=want.upright,
        count=want.count,
        who=want.who,
        about=want.angle.value if want.angle else "",
        note=want.note,
    )
