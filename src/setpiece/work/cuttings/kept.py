"""Cuttings as they are kept, and a person's word on each of them.

Nothing goes to the ledger by itself. A cutting is kept with its own file, so that it can be looked
at again; confirming one notes a use of its frame, rejecting one keeps why.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from setpiece.books.cuttings import STANDARD, Publication, State, Thresholds, Verdict
from setpiece.books.entries import Use, standing
from setpiece.errors import SetpieceError, WrongUse
from setpiece.pictures.drawn_points import draw_points
from setpiece.pictures.features import Pixels
from setpiece.pictures.opening import opened_picture
from setpiece.store import books
from setpiece.store import cuttings as store
from setpiece.store.cuttings import StoredCutting
from setpiece.store.forms import from_json
from setpiece.store.lock import alone
from setpiece.store.matches import find_match
from setpiece.store.workspace import Workspace
from setpiece.work.cuttings.files import pixels_of, read_bytes
from setpiece.work.cuttings.recognising import Sighting
from setpiece.work.intake.look import previews
from setpiece.work.job import Caller, Question
from setpiece.work.ledger.entries import Noted, note_use

_LOCK = ".confirming.lock"
_DECIDING = "confirming of cuttings"


@dataclass(frozen=True, slots=True)
class Placed:
    """A sighting with the words for its frame: the match's folder and the frame's handle.

    In a folder of pictures both are empty, and the sighting's name is a path in it.
    """

    match: str
    frame: str
    sighting: Sighting


@dataclass(frozen=True, slots=True)
class Found:
    """What was found in a cutting, the best first, and the limits its verdicts were given by."""

    found: tuple[Placed, ...] = ()
    limits: Thresholds = STANDARD

    @property
    def verdict(self) -> Verdict:
        """The best of them; not mine where nothing was found."""
        return self.found[0].sighting.verdict if self.found else Verdict.NOT_MINE


@dataclass(frozen=True, slots=True)
class Cutting:
    """A cutting and what was found in it; `number` 0 where it is not kept.

    `found` holds one picture for each place on the cutting, and `verdict` is that of the best.
    `part` is the page, 0 where there are none; `path` is its file's, relative to the workspace.
    `entry` is the use in the ledger, `reason` why it was rejected.
    """

    number: int
    name: str
    part: int
    path: str
    state: State
    verdict: Verdict
    publication: Publication
    found: tuple[Placed, ...] = ()
    entry: int | None = None
    reason: str = ""


def cuttings(space: Workspace, state: State | None = None) -> tuple[Cutting, ...]:
    """Every cutting that is kept, or those in a state, in the order they came."""
    return tuple(cutting_of(s) for s in store.cuttings_of(space, state))


def cutting(space: Workspace, number: int) -> Cutting:
    """The cutting of that number. Raises NotFound."""
    return cutting_of(store.find_cutting(space, number))


def cutting_of(stored: StoredCutting) -> Cutting:
    """A cutting from what is kept of it."""
    found = from_json(Found, stored.found)
    return Cutting(
        stored.number, stored.name, stored.part, stored.path, stored.state, found.verdict,
        stored.publication, found.found, stored.entry, stored.reason,
    )  # fmt: skip


def drawn(space: Workspace, number: int, which: int = 0) -> bytes:
    """A JPEG of the cutting beside the frame, the points that agree joined. Raises NotFound.

    `which` counts through what was found on it. Where nothing was, or the frame's picture is not
    at hand, the cutting is shown alone.
    """
    one = cutting(space, number)
    seen = pixels_of(read_bytes(space.folder / one.path), one.part)
    if which >= len(one.found):
        return draw_points(seen, None, (), (), None)
    placed = one.found[which].sighting
    frame = frame_pixels(space, placed.name, placed.place)
    return draw_points(seen, frame, placed.points, placed.corners, placed.crop)


def frame_pixels(space: Workspace, frame_id: str, place: str) -> Pixels | None:
    """A frame's picture, from its preview or its file; None where neither is at hand."""
    for path in (previews(space) / f"{frame_id}-m.jpg", space.folder / place):
        try:
            return opened_picture(read_bytes(path))
        except SetpieceError:
            continue
    return None


def publish(space: Workspace, number: int, **typed: str) -> Cutting:
    """Keeps what a person typed of who published it; words as `Publication` names them."""
    one = cutting(space, number)
    store.save_publication(space, number, _checked(one.publication.typed_over(**typed)))
    return cutting(space, number)


def confirm(
    space: Workspace,
    number: int,
    caller: Caller,
    *,
    frame: str = "",
    desk: str = "",
    **typed: str,
) -> Noted:
    """A person's yes: notes the use in the ledger and ties the cutting to it.

    `frame` names another frame of the same match than the one that was found, after comparing.
    `typed` is what is known of its publication; outlet and day are asked for where nothing tells
    them. Raises WrongUse for a cutting that is decided, or in which nothing was found.
    """
    with alone(space.folder / _LOCK, _DECIDING):
        one = cutting(space, number)
        if one.state is not State.OPEN:
            raise WrongUse(f"this cutting is {one.state} already", thing=str(number))
        if not one.found:
            raise WrongUse(
                "nothing was found in this cutting",
                thing=one.name,
                next_step="Note the use by hand: setpiece ledger use FRAME --outlet ...",
            )
        best = one.found[0]
        of = find_match(space, best.match)
        known = _complete(one.publication.typed_over(**typed), caller)
        noted = _noted_before(space, number)
        if noted is None:
            use = Use(
                "", "", known.outlet, known.placement, source=_source(number), note=known.title
            )
            day = datetime.date.fromisoformat(known.day)
            meant = frame or best.sighting.name
            noted = note_use(space, of, meant, use, desk, day, caller)
        with space.writing() as connection:
            store.decide_cutting(
                connection,
                number,
                State.CONFIRMED,
                caller.now(),
                entry=noted.entry.number,
                publication=known,
            )
    return noted


def reject(space: Workspace, number: int, reason: str, caller: Caller) -> Cutting:
    """A person's no, with a reason: it is not this picture, or not to be charged."""
    return _decided(space, number, State.REJECTED, caller, reason)


def reopen(space: Workspace, number: int, caller: Caller) -> Cutting:
    """Takes a rejection back."""
    return _decided(space, number, State.OPEN, caller, "")


def _decided(space: Workspace, number: int, to: State, caller: Caller, reason: str) -> Cutting:
    with alone(space.folder / _LOCK, _DECIDING), space.writing() as connection:
        store.decide_cutting(connection, number, to, caller.now(), reason=reason)
    return cutting(space, number)


def _source(number: int) -> str:
    """How the ledger names a cutting: by it a use that was noted is found again."""
    return f"cutting {number}"


def _noted_before(space: Workspace, number: int) -> Noted | None:
    """The use that a run noted before it was cut off."""
    for entry in standing(books.entries_of(space)):
        if isinstance(entry.content, Use) and entry.content.source == _source(number):
            return Noted(entry)
    return None


def _complete(known: Publication, caller: Caller) -> Publication:
    """The publication with its outlet and day, asked for where nothing tells them."""
    if not known.outlet:
        known = known.typed_over(outlet=caller.ask(Question("Who published it?")).strip())
    if not known.day:
        known = known.typed_over(day=caller.ask(Question("On which day? As 2027-03-07.")).strip())
    if not known.outlet:
        raise WrongUse("a use needs to name who published it", next_step="Type --outlet.")
    return _checked(known)


def _checked(known: Publication) -> Publication:
    if known.day:
        try:
            datetime.date.fromisoformat(known.day)
        except ValueError as error:
            raise WrongUse(
                "this is no date", thing=known.day, next_step="Write 2027-03-07."
            ) from error
    return known
