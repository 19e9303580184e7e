"""The shot list: what a complete set should hold, what is still wanted, and who was not seen.

A shot names subjects, and may ask for people, roles, a side, an upright picture. A picture of the
set is told by the same words: the key of its caption's act (`tackles`), the act's word for the
shot list (`play`), its groups (`supporters`), keywords the photographer typed. All are plain
values: this module neither knows where pictures are kept nor how a caption is written.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.match.entries import EntryId, Kind
from setpiece.match.people import PersonId, Role, Side

NOT_SEEN_MIN = 25


@dataclass(frozen=True, slots=True)
class Shot:
    """One line of the shot list.

    A picture answers it when it shares a subject (none named: any will do), shows somebody in
    one of the `roles` (none named: anybody), at least `people`, `person` when one is named, and
    is upright when `upright` is asked for. `each_side` wants `count` pictures of either side.
    `who` wants it: a desk's name, or empty for the photographer. `about` is why somebody is a
    story, `note` what was written beside it. `after` are entries of the log
    without which it does not come (a card, a goal); with `each` every one of them wants its own.
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
    about: str = ""
    note: str = ""
    after: frozenset[Kind] = frozenset()
    each: bool = False

    def __post_init__(self) -> None:
        if self.count < 1:
            raise WrongUse("a shot is wanted at least once", thing=self.key)
        if not self.subjects and not self.roles and self.person is None:
            raise WrongUse("a shot names a subject, a role or a person", thing=self.key)


@dataclass(frozen=True, slots=True)
class Pictured:
    """One picture of the set, or one passage, as the shot list sees it.

    `minute` is the match minute, None before and after. `side` is the side it is mainly about.
    `entries` are those of the log that it shows.
    """

    frame: str
    subjects: frozenset[str] = frozenset()
    persons: frozenset[PersonId] = frozenset()
    side: Side | None = None
    minute: int | None = None
    upright: bool = False
    roles: frozenset[Role] = frozenset()
    entries: frozenset[EntryId] = frozenset()


Happened = Sequence[tuple[Kind, EntryId]]
"""What the log holds so far."""


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


def coverage(
    shots: Iterable[Shot], pictures: Iterable[Pictured], happened: Happened | None = None
) -> tuple[Answer, ...]:
    """Every shot with the pictures that answer it, in the order of the list.

    With what `happened`, shots of goals, cards or kicks stand in the list only once they came.
    """
    in_the_set = tuple(pictures)
    return tuple(
        _answer(shot, in_the_set, happened)
        for shot in shots
        if happened is None or not shot.after or any(kind in shot.after for kind, _ in happened)
    )


def _answer(shot: Shot, pictures: tuple[Pictured, ...], happened: Happened | None) -> Answer:
    found = [p for p in pictures if answers(shot, p)]
    frames = tuple(p.frame for p in found)
    if shot.each and happened is not None:
        shown = {entry for p in found for entry in p.entries}
        wanted = [entry for kind, entry in happened if kind in shot.after]
        return Answer(shot, frames, sum(entry not in shown for entry in wanted))
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
    """Someone wanted who was not seen lately: `minutes` since then, or played when `never`.

    `title` and `about` are the shot's: her name, and why she is a story.
    """

    person: PersonId
    title: str
    about: str
    minutes: int
    never: bool


def reminders(
    shots: Iterable[Shot],
    pictures: Iterable[Pictured],
    now_minute: int,
    *,
    on_the_pitch: frozenset[PersonId] | None = None,
    came_on: Mapping[PersonId, int] | None = None,
    after_min: int = NOT_SEEN_MIN,
) -> tuple[Reminder, ...]:
    """Whom to look for: people wanted and not in any picture for `after_min` minutes.

    The longest unseen stands first, everybody once. With `on_the_pitch`, only those who play
    now; `came_on` is the minute in which a substitute did.
    """
    last_seen: dict[PersonId, int] = {}
    for picture in pictures:
        if picture.minute is not None:
            for seen in picture.persons:
                last_seen[seen] = max(last_seen.get(seen, 0), picture.minute)
    found: dict[PersonId, Reminder] = {}
    for shot in shots:
        person = shot.person
        if person is None or person in found:
            continue
        if on_the_pitch is not None and person not in on_the_pitch:
            continue
        since = last_seen.get(person, (came_on or {}).get(person, 0))
        if now_minute - since >= after_min:
            minutes, never = now_minute - since, person not in last_seen
            found[person] = Reminder(person, shot.title, shot.about, minutes, never)
    return tuple(sorted(found.values(), key=lambda r: -r.minutes))
