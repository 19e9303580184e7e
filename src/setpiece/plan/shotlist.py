"""The shot list: what a complete set should hold, what is still wanted, and who was not seen.

A shot names subjects, and may ask for people, roles, a side, an upright picture. A picture of the
set is told by the same words: the key of its caption's act (`tackles`), the act's word for the
shot list (`play`), its groups (`supporters`), keywords the photographer typed. All are plain
values: this module neither knows where pictures are kept nor how a caption is written.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.match.people import PersonId, Role, Side

NOT_SEEN_MIN = 25


@dataclass(frozen=True, slots=True)
class Shot:
    """One line of the shot list.

    A picture answers it when it shares a subject (none named: any will do), shows somebody in
    one of the `roles` (none named: anybody), at least `people`, `person` when one is named, and
    is upright when `upright` is asked for. `each_side` wants `count` pictures of either side.
    `who` wants it: a desk's name, or empty for the photographer.
    """

    key: str
    title: str
    when: str
    subjects: frozenset[str] = frozenset()
    roles: frozenset[Role] = frozenset()
    people: int = 0
    person: PersonId | None = None
    upright: bool = False
    each_side: bool = False
    count: int = 1
    who: str = ""

    def __post_init__(self) -> None:
        if self.count < 1:
            raise WrongUse("a shot is wanted at least once", thing=self.key)
        if not self.subjects and not self.roles and self.person is None:
            raise WrongUse("a shot names a subject, a role or a person", thing=self.key)


@dataclass(frozen=True, slots=True)
class Pictured:
    """One picture of the set, or one passage, as the shot list sees it.

    `minute` is the match minute, None before and after. `side` is the side it is mainly about.
    """

    frame: str
    subjects: frozenset[str] = frozenset()
    persons: frozenset[PersonId] = frozenset()
    side: Side | None = None
    minute: int | None = None
    upright: bool = False
    roles: frozenset[Role] = frozenset()


@dataclass(frozen=True, slots=True)
class Answer:
    """One shot, and the pictures that answer it. `missing` counts what is still wanted."""

    shot: Shot
    frames: tuple[str, ...]
    missing: int
    missing_sides: tuple[Side, ...] = ()

    @property
    def done(self) -> bool:
        """Whether nothing is wanted any more."""
        return self.missing == 0


def answers(shot: Shot, picture: Pictured) -> bool:
    """Whether a picture answers a shot."""
    return (
        (not shot.subjects or bool(shot.subjects & picture.subjects))
        and (not shot.roles or bool(shot.roles & picture.roles))
        and len(picture.persons) >= shot.people
        and (shot.person is None or shot.person in picture.persons)
        and (picture.upright or not shot.upright)
    )


def coverage(shots: Iterable[Shot], pictures: Iterable[Pictured]) -> tuple[Answer, ...]:
    """Every shot with the pictures that answer it, in the order of the list."""
    in_the_set = tuple(pictures)
    return tuple(_answer(shot, in_the_set) for shot in shots)


def _answer(shot: Shot, pictures: tuple[Pictured, ...]) -> Answer:
    found = [p for p in pictures if answers(shot, p)]
    frames = tuple(p.frame for p in found)
    if not shot.each_side:
        return Answer(shot, frames, max(0, shot.count - len(found)))
    short = {s: max(0, shot.count - sum(p.side is s for p in found)) for s in Side}
    return Answer(shot, frames, sum(short.values()), tuple(s for s in Side if short[s]))


def covered(whole: Iterable[Answer]) -> tuple[int, int]:
    """How many shots are done, and of how many."""
    list_of = tuple(whole)
    return sum(a.done for a in list_of), len(list_of)


@dataclass(frozen=True, slots=True)
class Balance:
    """How many pictures of the set are mainly about each side, and about neither."""

    home: int
    away: int
    neither: int

    @property
    def lean(self) -> float:
        """From -1 (all away) over 0 (even) to 1 (all home)."""
        both = self.home + self.away
        return (self.home - self.away) / both if both else 0.0

    @property
    def wanted(self) -> Side | None:
        """The side that lacks pictures: less than a third of those that show a side."""
        both = self.home + self.away
        if both < 3:
            return None
        if self.home * 3 < both:
            return Side.HOME
        return Side.AWAY if self.away * 3 < both else None


def balance(pictures: Iterable[Pictured]) -> Balance:
    """The balance of a set between its sides."""
    sides = [p.side for p in pictures]
    return Balance(sides.count(Side.HOME), sides.count(Side.AWAY), sides.count(None))


@dataclass(frozen=True, slots=True)
class Reminder:
    """Someone wanted who was not seen lately. `minutes` since then; `never` since kick-off."""

    person: PersonId
    title: str
    minutes: int
    never: bool

    @property
    def text(self) -> str:
        """As the margin prints it."""
        if self.never:
            return f"{self.title} not seen yet, {self.minutes} minutes played"
        return f"{self.title} not seen for {self.minutes} minutes"


def reminders(
    shots: Iterable[Shot],
    pictures: Iterable[Pictured],
    now_minute: int,
    *,
    on_the_pitch: frozenset[PersonId] | None = None,
    after_min: int = NOT_SEEN_MIN,
) -> tuple[Reminder, ...]:
    """Whom to look for: people wanted and not in any picture for `after_min` minutes.

    The longest unseen stands first. With `on_the_pitch`, only those who play now.
    """
    last_seen: dict[PersonId, int] = {}
    for picture in pictures:
        if picture.minute is not None:
            for seen in picture.persons:
                last_seen[seen] = max(last_seen.get(seen, 0), picture.minute)
    found: list[Reminder] = []
    for shot in shots:
        if (person := shot.person) is None:
            continue
        if on_the_pitch is not None and person not in on_the_pitch:
            continue
        minutes = now_minute - last_seen.get(person, 0)
        if minutes >= after_min:
            found.append(Reminder(person, shot.title, minutes, person not in last_seen))
    return tuple(sorted(found, key=lambda r: -r.minutes))
