"""A search as it is typed and saved, and what it asks of the index."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.match.names import folded
from setpiece.store.forms import from_json, to_json
from setpiece.store.frames import cameras
from setpiece.store.matches import matches
from setpiece.store.outbox import find_desk
from setpiece.store.saved import delete_search, save_search, saved_search, saved_searches
from setpiece.store.search import Condition
from setpiece.store.workspace import Workspace
from setpiece.work.find.words import Asked, all_of, expression_of
from setpiece.work.job import Caller

_NEAR = 0.03
"""A focal length fits within this share: a zoom at 398 mm is a 400."""


@dataclass(frozen=True, slots=True)
class Search:
    """What is looked for; what is empty or None asks for nothing.

    `since` and `until` are dates, both included (in UTC). `minutes` is a first and a last
    minute. `lens` is a focal length in mm or a part of the lens's name. `unused` means neither
    delivered to any desk nor published.
    """

    words: str = ""
    people: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    keywords: tuple[str, ...] = ()
    competition: str = ""
    situation: str = ""
    since: date | None = None
    until: date | None = None
    minutes: tuple[int, int] | None = None
    camera: str = ""
    lens: str = ""
    upright: bool | None = None
    match: str = ""
    in_set: bool = False
    delivered_to: str = ""
    published: bool | None = None
    unused: bool = False

    def __post_init__(self) -> None:
        if self.since and self.until and self.until < self.since:
            raise WrongUse("a search cannot end before it begins", thing=str(self.until))
        if self.minutes and not 0 < self.minutes[0] <= self.minutes[1]:
            raise WrongUse(
                "no such stretch of minutes",
                thing="-".join(map(str, self.minutes)),
                next_step="Write 80-90.",
            )


def read_minutes(text: str) -> tuple[int, int] | None:
    """The stretch in `80-90`, or the one minute in `74`. Raises WrongUse."""
    if not text:
        return None
    first, dash, last = text.replace("–", "-").partition("-")
    try:
        return int(first), int(last) if dash else int(first)
    except ValueError as error:
        raise WrongUse(
            "these are no minutes", thing=text, next_step="Write 74 or 80-90."
        ) from error


def read_date(text: str) -> date | None:
    """The date in `2027-03-06`, None for no text. Raises WrongUse."""
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as error:
        raise WrongUse("this is no date", thing=text, next_step="Write 2027-03-06.") from error


def expression(space: Workspace, wanted: Search) -> Asked:
    """The words of a search as one expression."""
    asked = [expression_of(space, wanted.words)]
    for column, texts in (
        ("people", wanted.people),
        ("sides", wanted.sides),
        ("keywords", wanted.keywords),
        ("event", (wanted.competition,)),
        ("situation", (wanted.situation,)),
    ):
        asked += [expression_of(space, text, column) for text in texts]
    return all_of(asked)


def condition_of(space: Workspace, wanted: Search) -> Condition | None:
    """The rest of a search; None where no match can fit. Raises NotFound for a desk or camera."""
    match_ids: tuple[int, ...] = ()
    if wanted.match:
        name = wanted.match.lower()
        match_ids = tuple(m.id for m in matches(space) if name in m.folder)
        if not match_ids:
            return None
    lens, focal_length_mm = folded(wanted.lens), None
    if number := wanted.lens.lower().removesuffix("mm").strip():
        if number.isdecimal():
            length_mm = float(number)
            lens, focal_length_mm = "", (length_mm * (1 - _NEAR), length_mm * (1 + _NEAR))
    desk = find_desk(space, wanted.delivered_to).name if wanted.delivered_to else ""
    return Condition(
        since=_begin(wanted.since),
        until=_end(wanted.until),
        minutes=wanted.minutes,
        cameras=_letters(space, wanted.camera),
        lens=lens,
        focal_length_mm=focal_length_mm,
        upright=wanted.upright,
        match_ids=match_ids,
        in_set=wanted.in_set,
        delivered_to=(desk,) if desk else (),
        published=False if wanted.unused else wanted.published,
        delivered=False if wanted.unused else None,
    )


def _begin(day: date | None) -> Instant | None:
    return instant(datetime.combine(day, time(), UTC)) if day else None


def _end(day: date | None) -> Instant | None:
    if day is None:
        return None
    following = datetime.combine(day, time(), UTC) + timedelta(days=1)
    return instant(following - timedelta(microseconds=1))


def _letters(space: Workspace, camera: str) -> tuple[str, ...]:
    """The letters of the cameras meant by a letter or a part of make, model or serial number."""
    if not camera:
        return ()
    known = cameras(space).values()
    letters = tuple(c.letter for c in known if c.letter == camera.upper()) or tuple(
        c.letter for c in known if folded(camera) in folded(f"{c.make} {c.model} {c.serial}")
    )
    if not letters:
        raise NotFound(
            "no camera fits",
            thing=camera,
            next_step="Known: " + ", ".join(f"{c.letter} ({c.make} {c.model})" for c in known),
        )
    return letters


# ----- saved searches -----


def keep(space: Workspace, name: str, wanted: Search, caller: Caller) -> None:
    """Saves a search under a name; a known name gets the new search."""
    if not name.strip():
        raise WrongUse("a saved search needs a name")
    save_search(space, name.strip(), to_json(wanted), caller.now())


def kept(space: Workspace, name: str) -> Search:
    """The search saved under that name. Raises NotFound."""
    return from_json(Search, saved_search(space, name.strip()))


def every_kept(space: Workspace) -> dict[str, Search]:
    """Every saved search by name."""
    return {name: from_json(Search, text) for name, text in saved_searches(space).items()}


def drop(space: Workspace, name: str) -> None:
    """Forgets a saved search. Raises NotFound."""
    delete_search(space, name.strip())
