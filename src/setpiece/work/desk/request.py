"""Requests: a desk rings. Who or what, upright or landscape, by when; what fits; the receipt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from setpiece.captions.check_words import care_near
from setpiece.errors import Choices, WrongUse
from setpiece.frames.urgent import around_goal
from setpiece.match.instants import Instant, read_instant
from setpiece.match.names import find_people, folded
from setpiece.match.people import Person, PersonId
from setpiece.store.delivery import Urgency
from setpiece.store.forms import from_json, to_json
from setpiece.store.frames import Decision
from setpiece.store.matches import Match
from setpiece.store.requests import Stage, StoredRequest, add_request, find_request, move_request
from setpiece.store.requests import requests_of as stored_requests
from setpiece.store.workspace import Workspace
from setpiece.work.desk.desks import desk_named
from setpiece.work.desk.holdings import holdings
from setpiece.work.desk.queueing import QueueReport, queue_set
from setpiece.work.desk.terms import FREE, terms_of
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_acts, load_style

MOST_SHOWN = 12


class Shape(StrEnum):
    """The form of picture a desk asks for."""

    ANY = "any"
    UPRIGHT = "upright"
    LANDSCAPE = "landscape"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a desk rang for. `who` is a person's id, "" for nobody in particular."""

    who: str = ""
    what: str = ""
    shape: Shape = Shape.ANY
    by: Instant | None = None


@dataclass(frozen=True, slots=True)
class Request:
    """One request as it stands. `words` say who and what in plain words."""

    id: int
    desk: str
    wanted: Wanted
    stage: Stage
    made: Instant
    words: str
    ended: str = ""


@dataclass(frozen=True, slots=True)
class Fit:
    """A frame that fits a request, and why. `ready` says that its caption names what is wanted."""

    frame_id: str
    handle: str
    shape: Shape
    ready: bool
    why: str
    headline: str = ""


def ask_for(
    space: Workspace,
    of: Match,
    desk_name: str,
    caller: Caller,
    *,
    who: str = "",
    what: str = "",
    shape: Shape = Shape.ANY,
    by: Instant | None = None,
) -> Request:
    """Notes a request. `who` is a name, any part of it, or a shirt as `9r`; `what` plain words.

    Raises Choices when `who` may mean several, NotFound for a desk that is not there.
    """
    day = Matchday(space, of)
    desk = desk_named(space, desk_name)
    if not who.strip() and not what.strip():
        raise WrongUse("a request says who or what", thing=desk.name, next_step="Say 9r, or save.")
    person = _person(day, who, caller.now()) if who.strip() else None
    wanted = Wanted(person.id if person else "", what.strip(), shape, by)
    return _request(day, add_request(space, of, desk.name, to_json(wanted), caller.now()))


def requests(day: Matchday) -> tuple[Request, ...]:
    """Every request of the match; open ones first, the one wanted soonest on top."""
    found = [_request(day, stored) for stored in stored_requests(day.space, day.match)]
    open_first = (Stage.OPEN, Stage.ANSWERED)
    return tuple(
        sorted(
            found,
            key=lambda r: (r.stage not in open_first, (r.wanted.by or r.made).timestamp(), r.id),
        )
    )


def fitting(day: Matchday, request: Request) -> tuple[Fit, ...]:
    """The frames that fit, captioned ones that name it first, then the sharpest near it.

    What the desk has, what is spiked, killed or held, and what lies near an entry that calls
    for care is not shown.
    """
    has = holdings(day.outbox)
    terms = terms_of(day.space, day.match)
    style = load_style(day.space.folder, desk_named(day.space, request.desk).style)
    language = load_acts(day.space.folder).language(style.language)
    found: list[tuple[tuple[bool, int, float], Fit]] = []
    for frame_id, frame in day.frames.items():
        free = terms.get(frame_id, FREE)
        if (
            frame.decision in (Decision.SPIKE, Decision.HOLD)
            or frame.damaged
            or (frame_id, request.desk) in has
            or free.killed
            or free.only_for(request.desk)
            or frame_id not in day.times
        ):
            continue
        shape = shape_of(day, frame_id)
        if request.wanted.shape not in (Shape.ANY, shape):
            continue
        why = _why(day, frame_id, request.wanted)
        if not why or care_near(day.situation(frame_id), language):
            continue
        known = day.captions.get(frame_id)
        if known is not None and known.caption.held_for_care:
            continue
        ready = known is not None and why.startswith("captioned")
        rank = day.ranks[frame_id].rank if frame_id in day.ranks else 99
        newest = -day.times[frame_id].middle.timestamp()
        headline = known.caption.fields.headline if known is not None else ""
        found.append(
            ((not ready, rank, newest), Fit(frame_id, frame.handle, shape, ready, why, headline))
        )
    return tuple(fit for _, fit in sorted(found, key=lambda f: f[0])[:MOST_SHOWN])


def shape_of(day: Matchday, frame_id: str) -> Shape:
    """Upright or landscape, as the picture is seen; a square or an unknown one is any."""
    look = day.looks.get(frame_id)
    if look is None or look.width_px == look.height_px:
        return Shape.ANY
    return Shape.UPRIGHT if look.height_px > look.width_px else Shape.LANDSCAPE


def answer(
    space: Workspace, of: Match, number: int, frames: Sequence[str], caller: Caller
) -> QueueReport:
    """Queues these frames for the desk that asked, before everything ordinary.

    The request is closed by the first receipt. What the check holds is left out and named, and
    then the request stays open.
    """
    request = find_request(space, of, number)
    if request.stage in (Stage.CLOSED, Stage.DECLINED):
        raise WrongUse(f"this request is {request.stage}", thing=f"r{number}")
    if not frames:
        raise WrongUse(
            "a request is answered with a frame",
            thing=f"r{number}",
            next_step="Name one, as A-0231.",
        )
    report = queue_set(
        space,
        of,
        [request.desk],
        caller,
        frames=frames,
        urgency=Urgency.FIRST,
        request_id=number,
    )
    if report.queued or report.known:
        move_request(space, of, number, _stage(space, of, number, frames), ", ".join(frames))
    return report


def decline(space: Workspace, of: Match, number: int, reason: str) -> None:
    """Closes a request without a picture, with the reason."""
    find_request(space, of, number)
    if not reason.strip():
        raise WrongUse(
            "a request is declined with a reason", thing=f"r{number}", next_step="Say why."
        )
    move_request(space, of, number, Stage.DECLINED, reason.strip())


def _stage(space: Workspace, of: Match, number: int, frames: Sequence[str]) -> Stage:
    """Closed where the desk has one of these pictures already, else answered."""
    day = Matchday(space, of)
    desk = find_request(space, of, number).desk
    has = holdings(day.outbox)
    there = any((day.frame(name).id, desk) in has for name in frames)
    return Stage.CLOSED if there else Stage.ANSWERED


def _request(day: Matchday, stored: StoredRequest) -> Request:
    wanted = from_json(Wanted, stored.wanted)
    person = day.sheet.person(PersonId(wanted.who)) if wanted.who else None
    shape = wanted.shape.value if wanted.shape is not Shape.ANY else ""
    parts = (person.name if person else "", wanted.what, shape)
    words = ", ".join(p for p in parts if p)
    made = read_instant(stored.made)
    return Request(stored.id, stored.desk, wanted, stored.stage, made, words, stored.words)


def _person(day: Matchday, who: str, now: Instant) -> Person:
    """Who is meant: a shirt as it is worn now, or a name."""
    word = who.strip().lower()
    kit = day.sheet.kit(word[-1]) if word[:-1].isdecimal() and word[-1:].isalpha() else None
    if kit is not None and kit[1] is not None:
        wearing = day.fold.state_at(now).side(kit[1]).wearing(int(word[:-1]))
        fitting_people = [p for p in day.sheet.players(kit[1]) if p.number == int(word[:-1])]
        person = day.sheet.person(wearing) if wearing else None
        if person is not None:
            return person
        if len(fitting_people) == 1:
            return fitting_people[0]
    found = find_people(day.sheet, who)
    best = [f.person for f in found if f.score == found[0].score]
    if len(best) == 1:
        return best[0]
    raise Choices(
        "several people fit" if best else "nobody on the sheet fits",
        [f"{p.name}, {p.number or p.role.value}" for p in best],
        thing=who,
        next_step="Say the shirt, as 9r, or more of the name.",
    )


def _why(day: Matchday, frame_id: str, wanted: Wanted) -> str:
    """Why a frame fits in words, "" when it does not."""
    known = day.captions.get(frame_id)
    words = folded(wanted.what).split()
    if known is not None:
        people = {p.person for p in known.caption.facts.people}
        fields = known.caption.fields
        told = folded(f"{fields.headline} {fields.description} {' '.join(fields.keywords)}").split()
        named = not wanted.who or wanted.who in people
        if named and all(any(t.startswith(w) for t in told) for w in words):
            return "captioned with it"
        if named and wanted.who:
            return "captioned with her, not with all the words"
        return ""
    return _near(day, frame_id, wanted, words)


def _near(day: Matchday, frame_id: str, wanted: Wanted, words: Sequence[str]) -> str:
    """Whether an uncaptioned frame was made around an entry that concerns what is wanted."""
    for entry in day.fold.entries:
        if wanted.who and wanted.who not in (entry.person, entry.other):
            continue
        if not wanted.who and not any(entry.kind.value.startswith(w) for w in words):
            continue
        if day.times[frame_id].meets(around_goal(day.fold.when(entry))):
            label = day.fold.minute_of(entry)
            at = f" at {label}'" if label else ""
            return f"made around a {entry.kind.value}{at}, not captioned"
    return ""
