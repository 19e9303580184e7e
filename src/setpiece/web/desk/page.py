"""The page of the desks: what each has, in the order it got it, and what must be put right."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.instants import read_instant
from setpiece.send.desk import DeskAddress
from setpiece.store.delivery import Delivery, Kind, State
from setpiece.store.forms import from_json
from setpiece.store.outbox import desks
from setpiece.web.touchline.margin import receipt_of, state_words, title_of
from setpiece.web.touchline.thumbs import picture_of, place_words
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday

_TONES = {
    State.DELIVERED: "right",
    State.REFUSED: "wrong",
    State.UNKNOWN: "doubt",
    State.WAITING: "doubt",
}
_NEXT = (State.REFUSED, State.UNKNOWN, State.WAITING, State.QUEUED)


@dataclass(frozen=True, slots=True)
class Line:
    """One delivery in words. `tone` always stands beside the state's own word."""

    frame_id: str
    picture: str
    title: str
    place: str
    file: str
    state: str
    tone: str
    kind: str
    words: str
    said: str
    note: str
    next_step: str


@dataclass(frozen=True, slots=True)
class DeskShown:
    """One desk and its deliveries, those to be put right apart."""

    name: str
    address: str
    style: str
    has: str
    put_right: tuple[Line, ...]
    lines: tuple[Line, ...]


def desks_shown(day: Matchday, words: Wording) -> tuple[DeskShown, ...]:
    """Every desk of the workspace, with what this match sent it."""
    shown = []
    for desk in desks(day.space):
        own = [d for d in day.outbox if d.desk == desk.name and d.state is not State.WITHDRAWN]
        wrong = [d for d in own if d.state in (State.REFUSED, State.UNKNOWN)]
        arrived = [d for d in own if d.state is State.DELIVERED]
        waiting = [d for d in own if d not in wrong and d not in arrived]
        has = words.count("desk.has", len(arrived)) if arrived else words("desk.has-none")
        if waiting:
            has += ", " + words.count("desk.on-the-way", len(waiting))
        shown.append(
            DeskShown(
                name=desk.name,
                address=from_json(DeskAddress, desk.address).spelled(),
                style=words("desk.style", style=desk.style),
                has=has,
                put_right=tuple(_line(day, d, words) for d in wrong),
                lines=tuple(_line(day, d, words) for d in sorted(arrived, key=_arrival) + waiting),
            )
        )
    return tuple(shown)


def _arrival(delivery: Delivery) -> tuple[str, int]:
    receipt = receipt_of(delivery)
    time = receipt.server_time.isoformat() if receipt and receipt.server_time else delivery.queued
    return time, delivery.id


def _line(day: Matchday, delivery: Delivery, words: Wording) -> Line:
    frame_id = delivery.frame_id if delivery.frame_id in day.frames else ""
    return Line(
        frame_id=frame_id,
        picture=picture_of(day, frame_id, "s") if frame_id else "",
        title=title_of(day, delivery.frame_id),
        place=place_words(day, frame_id, words) if frame_id else "",
        file=delivery.remote_name,
        state=state_words(delivery, words),
        kind="" if delivery.kind is Kind.PICTURE else words(f"desk.{delivery.kind.value}"),
        tone=_TONES.get(delivery.state, ""),
        words=_how(day, delivery, words),
        said=_said(delivery, words),
        note=delivery.note,
        next_step=_next_step(delivery, words),
    )


def _said(delivery: Delivery, words: Wording) -> str:
    """The desk's own words, or what holds it back."""
    if not delivery.words or delivery.state is State.WAITING:
        return words.told(delivery.words)
    return words("desk.said", words=words.told(delivery.words))


def _next_step(delivery: Delivery, words: Wording) -> str:
    if delivery.state is State.WAITING and words.known(f"desk.next-{delivery.reason}"):
        return words(f"desk.next-{delivery.reason}", number=delivery.id)
    return words(f"desk.{delivery.state.value}-next") if delivery.state in _NEXT else ""


def _how(day: Matchday, delivery: Delivery, words: Wording) -> str:
    receipt = receipt_of(delivery)
    if receipt is None:
        tries = words.count("desk.tries", delivery.attempts) if delivery.attempts else ""
        queued = words.clock(read_instant(delivery.queued), day.fixture.time_zone)
        return ", ".join(p for p in (queued, tries) if p)
    size = size_words(receipt.size)
    if receipt.server_time is None:
        return words("desk.no-server-time", size=size)
    time = words.clock(receipt.server_time, day.fixture.time_zone)
    if receipt.seconds < 1:
        return words("desk.receipt", size=size, time=time)
    return words("desk.receipt-took", size=size, seconds=f"{receipt.seconds:.0f}", time=time)


def size_words(size: int) -> str:
    """`1.4 MB`, `380 kB`."""
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(size, 0) / 1e3:.0f} kB"
