"""What desks ring for and hear from us: requests, answers, corrections, kills, and the set sent."""

from __future__ import annotations

import re
from dataclasses import dataclass

from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.match.names import find_people
from setpiece.store.outbox import desks
from setpiece.store.requests import Stage
from setpiece.store.workspace import Workspace
from setpiece.work.desk.request import Request, Shape, fitting, requests
from setpiece.work.matchday import Matchday

_SHIRT = re.compile(r"\d{1,3}[a-z]")
_BY = re.compile(r"\bby\s+(\d{1,2}[:.]\d{2}(?:[:.]\d{2})?)\s*$", re.IGNORECASE)
_NUMBER = re.compile(r"r?(\d+)")


@dataclass(frozen=True, slots=True)
class Rang:
    """A request as typed: `north 9r upright by 16:50`."""

    desk: str
    who: str
    what: str
    shape: Shape
    by: Instant | None


@dataclass(frozen=True, slots=True)
class ToSend:
    """What `send` is to send: to which desks, and which frames (None: the set).

    `goal` is the newest goal by its proposal; only `now` sends it.
    """

    desks: tuple[str, ...]
    frames: tuple[str, ...] | None
    corrections: bool = False
    goal: bool = False
    now: bool = False


def read_send(text: str, day: Matchday, opened: str) -> ToSend:
    """What follows `send`. Raises NotFound for a desk that is not there."""
    known = {d.name.lower(): d.name for d in desks(day.space)}
    wanted = text.split()
    names = tuple(known[w.lower()] for w in wanted if w.lower() in known)
    others = [w for w in wanted if w.lower() not in (*known, *_WHAT)]
    if not known or others:
        listed = ", ".join(known.values())
        raise NotFound(
            "no desk has that name" if known else "there is no desk yet",
            thing=others[0] if others else "",
            next_step=f"Known: {listed}." if known else "Add one: setpiece desk add.",
        )
    said = {w.lower() for w in wanted}
    return ToSend(
        desks=names or tuple(known.values()),
        frames=(opened,) if "here" in said else None,
        corrections="corrections" in said,
        goal="goal" in said,
        now="now" in said,
    )


_WHAT = ("goal", "now", "here", "set", "to", "corrections")


def read_ask(text: str, day: Matchday) -> Rang:
    """A request as it is typed while the desk is on the line. Raises WrongUse or NotFound."""
    desk, rest = _desk(text, day.space)
    by = None
    if found := _BY.search(rest):
        time = found[1].replace(".", ":")
        by = day.read_time(time if time.count(":") == 2 else f"{time}:00")
        rest = rest[: found.start()]
    kept, shape = [], Shape.ANY
    for word in rest.split():
        if word.lower() in (Shape.UPRIGHT, Shape.LANDSCAPE):
            shape = Shape(word.lower())
        else:
            kept.append(word)
    who = kept.pop(0) if kept and _names(kept[0], day) else ""
    return Rang(desk, who, " ".join(kept), shape, by)


def _names(word: str, day: Matchday) -> bool:
    """Whether a word is a shirt or part of a name on the sheet."""
    return bool(_SHIRT.fullmatch(word.lower()) or find_people(day.sheet, word))


def _desk(text: str, space: Workspace) -> tuple[str, str]:
    """The desk whose name the text begins with, and what follows it."""
    names = sorted((d.name for d in desks(space)), key=len, reverse=True)
    for name in names:
        if text.lower() == name.lower() or text.lower().startswith(name.lower() + " "):
            return name, text[len(name) :].strip()
    raise NotFound(
        "no desk has that name",
        thing=text.split(" ", 1)[0],
        next_step=f"Known: {', '.join(names)}." if names else "Add one: setpiece desk add.",
    )


def open_requests(day: Matchday) -> tuple[Request, ...]:
    """The requests that wait for an answer, the one wanted soonest first."""
    return tuple(r for r in requests(day) if r.stage is Stage.OPEN)


def which_request(text: str, day: Matchday) -> tuple[Request, str]:
    """The open request that a number names, else the first; and what follows the number."""
    waiting = open_requests(day)
    first, _, rest = text.partition(" ")
    if found := _NUMBER.fullmatch(first.lower()):
        for request in waiting:
            if str(request.id) == found[1]:
                return request, rest.strip()
        raise NotFound("no open request has that number", thing=first)
    if not waiting:
        raise NotFound("no desk is waiting for an answer")
    return waiting[0], text.strip()


def answering(text: str, day: Matchday, opened: str) -> tuple[Request, tuple[str, ...]]:
    """The request and the frames that answer it: those named, else the opened one, else the first
    that fits and is captioned. Raises WrongUse when there is none."""
    request, rest = which_request(text, day)
    if rest:
        return request, tuple(day.frame(name).id for name in rest.split())
    fits = fitting(day, request)
    ready = [f.frame_id for f in fits if f.ready]
    if opened and opened in {f.frame_id for f in fits}:
        return request, (opened,)
    if ready:
        return request, (ready[0],)
    raise WrongUse(
        "no captioned frame fits this request",
        thing=f"r{request.id} {request.words}",
        next_step="Open one and type: answer A-0231.",
    )
