"""Deliver: renditions of the set for every desk, queued once, sent whole, each with its receipt.

The rendition is made and stored before it is queued, so that a try after a crash sends the very
same bytes. Whether an earlier try arrived is asked of the server, never assumed.
"""

from __future__ import annotations

import os
import random
import socket
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

import xxhash

from setpiece.captions.findings import Level
from setpiece.errors import AskPhotographer, BadFile, OutcomeUnknown, SetpieceError, TryAgain
from setpiece.match.instants import Instant, instant
from setpiece.pictures.iptc import write_fields
from setpiece.pictures.kind import HEAD_BYTES, kind_of
from setpiece.pictures.rendition import Edit, Recipe, render
from setpiece.send.sender import Sender, deliver_file, open_sender
from setpiece.store.copying import write_proved
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision, StoredFrame
from setpiece.store.matches import Match, match_folder
from setpiece.store.outbox import (
    LEASE_S,
    Delivery,
    Event,
    State,
    claim,
    deliveries,
    queue,
    record,
    renew,
)
from setpiece.store.workspace import Workspace
from setpiece.work.caption import DeskCaption, caption_for_desk
from setpiece.work.desks import Desk, desk_named, secret_for
from setpiece.work.job import Caller, go_on
from setpiece.work.matchday import Matchday

FIRST_WAIT_S, LONGEST_WAIT_S = 5.0, 300.0
"""Pauses between tries: they double, with jitter, up to the longest."""


@dataclass(frozen=True, slots=True)
class NotQueued:
    """A frame that did not go to a desk, and why, in words."""

    frame: str
    desk: str
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QueueReport:
    """What was put in the outbox: new ones, ones that were there before, and what was not."""

    queued: int = 0
    known: int = 0
    left_out: tuple[NotQueued, ...] = ()


@dataclass(slots=True)
class _Queued:
    new: int = 0
    known: int = 0
    left_out: list[NotQueued] = field(default_factory=list)
    names: list[tuple[str, str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class SendReport:
    """What a run of sending did, and what is still to go."""

    delivered: int = 0
    refused: int = 0
    waiting: int = 0
    troubles: tuple[str, ...] = ()
    seconds: float = 0.0


def queue_set(
    space: Workspace,
    of: Match,
    desk_names: Sequence[str],
    caller: Caller,
    *,
    frames: Iterable[str] | None = None,
) -> QueueReport:
    """Makes a rendition of every frame in use for each desk and queues it, each once.

    A frame without a caption is left out and named, and so is one with an error that was not
    overruled or a doubt that was not answered. With `frames`, only those.
    """
    day = Matchday(space, of)
    chosen = _chosen(day, frames)
    done = _Queued()
    for number, frame in enumerate(chosen):
        for name in desk_names:
            go_on(caller, f"{done.new} pictures queued")
            _queue_one(day, frame, desk_named(space, name), done, caller.now())
        caller.progress(number + 1, len(chosen), "Making renditions")
    return QueueReport(done.new, done.known, tuple(done.left_out))


def send_waiting(space: Workspace, of: Match, caller: Caller) -> SendReport:
    """Sends what is queued until nothing more can go now; receipts are kept one by one.

    A lost link leaves a delivery for its next try; a refusal waits for the photographer.
    """
    began = caller.now()
    owner = f"{socket.gethostname()}-{os.getpid()}"
    folder = match_folder(space, of)
    delivered = refused = 0
    troubles: list[str] = []
    senders: dict[str, Sender] = {}
    try:
        while (item := claim(space, of, owner, caller.now())) is not None:
            state, words = _send_one(space, item, folder, senders, caller)
            delivered += state is State.DELIVERED
            refused += state is State.REFUSED
            if words:
                troubles.append(f"{item.remote_name} to {item.desk}: {words}")
            go_on(caller, f"{delivered} pictures delivered")
    finally:
        for sender in senders.values():
            sender.close()
    left = [d for d in deliveries(space, of) if d.state not in _ENDED]
    return SendReport(
        delivered, refused, len(left), tuple(troubles), (caller.now() - began).total_seconds()
    )


_ENDED = (State.DELIVERED, State.WITHDRAWN, State.REFUSED)


def wait_s(attempts: int, chance: float) -> float:
    """Seconds until the next try after so many: doubling, jittered by `chance` in 0 to 1."""
    ceiling: float = min(LONGEST_WAIT_S, FIRST_WAIT_S * 2.0 ** min(attempts - 1, 10))
    return ceiling * (0.5 + chance / 2)


def _chosen(day: Matchday, names: Iterable[str] | None) -> list[StoredFrame]:
    if names is not None:
        return [day.frame(n) for n in names]
    order = [i for p in day.passages for i in p.frame_ids]
    used = [day.frames[i] for i in order if day.frames[i].decision is Decision.USE]
    return used + [
        f for f in day.frames.values() if f.decision is Decision.USE and f.id not in set(order)
    ]


def _queue_one(day: Matchday, frame: StoredFrame, desk: Desk, done: _Queued, now: Instant) -> None:
    try:
        caption = caption_for_desk(day, frame.id, desk, _names_taken(day, frame, desk, done))
    except AskPhotographer as error:
        done.left_out.append(NotQueued(frame.handle, desk.name, (str(error),)))
        return
    open_ones = [f.message for f in caption.findings if f.level is not Level.REMARK]
    if open_ones:
        done.left_out.append(NotQueued(frame.handle, desk.name, tuple(open_ones)))
        return
    made_from = _made_from(day, frame, caption)
    known = next((d for d in day.outbox if _same(d, frame, desk, caption, made_from)), None)
    if known:
        done.known += 1
        return
    try:
        _put(day, frame, desk, caption, made_from, now)
        done.new += 1
        done.names.append((desk.name, caption.file_name))
    except BadFile as error:
        done.left_out.append(NotQueued(frame.handle, desk.name, (str(error),)))


def _names_taken(day: Matchday, frame: StoredFrame, desk: Desk, done: _Queued) -> set[str]:
    """File names at the desk that belong to other pictures, or to other versions of this one."""
    known = day.captions.get(frame.id)
    version = known.version if known else 0
    there = {
        d.remote_name
        for d in day.outbox
        if d.desk == desk.name and (d.frame_id, d.caption_version) != (frame.id, version)
    }
    return there | {name for at, name in done.names if at == desk.name}


def _same(
    d: Delivery, frame: StoredFrame, desk: Desk, caption: DeskCaption, made_from: str
) -> bool:
    return (d.frame_id, d.desk, d.caption_version, d.made_from) == (
        frame.id,
        desk.name,
        caption.version,
        made_from,
    )


def _made_from(day: Matchday, frame: StoredFrame, caption: DeskCaption) -> str:
    """What the rendition is made from: the file's content and the desk's recipe."""
    content = next(f.content for f in day.files if f.path == frame.best_file)
    return f"{content} {caption.recipe}"


def _put(
    day: Matchday,
    frame: StoredFrame,
    desk: Desk,
    caption: DeskCaption,
    made_from: str,
    now: Instant,
) -> None:
    folder = match_folder(day.space, day.match)
    data = (folder / frame.best_file).read_bytes()
    recipe = Recipe(
        long_side_px=caption.recipe.long_side_px,
        quality=caption.recipe.quality,
        max_bytes=caption.recipe.max_bytes or None,
    )
    jpeg = render(data, kind_of(data[:HEAD_BYTES]), Edit(), recipe)
    picture = write_fields(jpeg, caption.fields)
    path = Path("set") / desk.name / caption.file_name
    write_proved(picture, folder / path)
    draft = Delivery(
        id=0,
        match_id=day.match.id,
        frame_id=frame.id,
        caption_version=caption.version,
        desk=desk.name,
        made_from=made_from,
        content=xxhash.xxh3_128_hexdigest(picture),
        path=path.as_posix(),
        remote_folder=desk.address.folder,
        remote_name=caption.file_name,
        size=len(picture),
        state=State.QUEUED,
        queued=now.isoformat(),
    )
    queue(day.space, day.match, draft)


def _send_one(
    space: Workspace,
    item: Delivery,
    folder: Path,
    senders: dict[str, Sender],
    caller: Caller,
) -> tuple[State, str]:
    """One try at one delivery: the state it ended in, and the trouble in words if any."""
    data = (folder / item.path).read_bytes()
    if xxhash.xxh3_128_hexdigest(data) != item.content:
        words = "the rendition was changed since it was checked"
        return record(space, item, Event.REFUSE, words=words).state, words
    try:
        sender = _sender(space, item.desk, senders, caller)
        desk = desk_named(space, item.desk)
        receipt = deliver_file(
            sender,
            data,
            item.remote_folder,
            item.remote_name,
            temporary_name=desk.address.temporary_name,
            progress=_Moving(space, item, caller),
            stopped=caller.stopped,
            resume_from_partial=item.settle_first,
        )
    except OutcomeUnknown as error:
        _forget(senders, item.desk)
        return _later(space, item, Event.LAST_BYTE_LOST, error, caller.now())
    except TryAgain as error:
        _forget(senders, item.desk)
        return _later(space, item, Event.LOST, error, caller.now())
    except AskPhotographer as error:
        return record(space, item, Event.REFUSE, words=str(error)).state, str(error)
    except SetpieceError as error:
        _forget(senders, item.desk)
        _later(space, item, Event.LOST, error, caller.now())
        raise
    return record(space, item, Event.ARRIVED, receipt=to_json(receipt), words="").state, ""


class _Moving:
    """Bytes of one delivery moving: shows progress and keeps the lease alive."""

    def __init__(self, space: Workspace, item: Delivery, caller: Caller) -> None:
        self._space, self._item, self._caller = space, item, caller
        self._renewed = caller.now()

    def __call__(self, done: int) -> None:
        name = f"Sending {self._item.remote_name} to {self._item.desk}"
        self._caller.progress(done, self._item.size, name)
        now = self._caller.now()
        if (now - self._renewed).total_seconds() > LEASE_S / 4:
            renew(self._space, self._item, now)
            self._renewed = now


def _sender(space: Workspace, name: str, senders: dict[str, Sender], caller: Caller) -> Sender:
    if name not in senders:
        desk = desk_named(space, name)
        sender = open_sender(desk.address, secret_for(desk, caller))
        senders[name] = sender.__enter__()
    return senders[name]


def _forget(senders: dict[str, Sender], name: str) -> None:
    if name in senders:
        senders.pop(name).close()


def _later(
    space: Workspace, item: Delivery, event: Event, error: SetpieceError, now: Instant
) -> tuple[State, str]:
    pause = wait_s(item.attempts, random.random())
    not_before = instant(now + timedelta(seconds=pause))
    moved = record(space, item, event, not_before=not_before.isoformat(), words=str(error))
    return moved.state, str(error)
