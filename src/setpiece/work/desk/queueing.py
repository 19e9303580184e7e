"""Into the outbox: renditions of the set for every desk, each once; what waits, and for what.

The rendition is made and stored before it is queued, so that a try after a crash sends the very
same bytes. What is queued or waits is looked at again whenever a fact has changed.
"""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from setpiece.errors import AskPhotographer, Busy, GiveUp, NoSpace, ReadOnly, WrongUse
from setpiece.store.delivery import Delivery, Event, Kind, Reason, State, Urgency
from setpiece.store.frames import Decision, StoredFrame
from setpiece.store.leases import looked_at, to_look_at
from setpiece.store.matches import Match
from setpiece.store.outbox import queue, record
from setpiece.store.workspace import Workspace
from setpiece.work.desk.changed import matters
from setpiece.work.desk.desks import Desk, desk_named
from setpiece.work.desk.holdings import holdings
from setpiece.work.desk.preparing import Prepared, Preparing
from setpiece.work.job import Caller, go_on
from setpiece.work.matchday import Matchday

_NO_FILE_YET = (Reason.CHECK, Reason.CARE, Reason.REVIEW, Reason.DECISION)
"""While these hold a picture, its caption will change: its rendition is made afterwards."""

_REPLACED = (State.QUEUED, State.WAITING, State.REFUSED)


@dataclass(frozen=True, slots=True)
class NotQueued:
    """A frame that does not go to a desk now, and why, in words. `waits` says for what."""

    frame: str
    desk: str
    why: tuple[str, ...]
    waits: str = ""


@dataclass(frozen=True, slots=True)
class QueueReport:
    """What was put in the outbox: new ones, ones that were there before, and what was not.

    What is left out with `waits` is in the outbox and goes when that ends; the rest is not.
    """

    queued: int = 0
    known: int = 0
    left_out: tuple[NotQueued, ...] = ()


def queue_set(
    space: Workspace,
    of: Match,
    desk_names: Sequence[str],
    caller: Caller,
    *,
    frames: Iterable[str] | None = None,
    urgency: int = Urgency.ORDINARY,
    request_id: int | None = None,
) -> QueueReport:
    """Makes a rendition of every frame in use for each desk and queues it, each once.

    With `frames`, only those. A caption with an error that was not overruled, or a doubt that
    was not answered, waits in the outbox and is named; so is what an embargo, a quota or a
    review holds. A frame without a caption is left out, and so is one that the desk has already
    in another version: that is a correction's matter.
    """
    prepared = Preparing(Matchday(space, of), caller.now())
    chosen = _chosen(prepared.day, frames)
    desks = [desk_named(space, name) for name in desk_names]
    run = _Queueing(prepared, urgency, request_id)
    for number, frame in enumerate(chosen):
        for desk in desks:
            go_on(caller, f"{run.new} pictures queued")
            run.add(frame, desk)
        caller.progress(number + 1, len(chosen), "Making renditions")
    return QueueReport(run.new, run.known, tuple(run.left_out))


def look_again(
    space: Workspace, of: Match, caller: Caller, *, reasons: Collection[Reason] = ()
) -> int:
    """Holds what is queued or waits against the facts of now; how many deliveries changed.

    That is where facts changed since, where an embargo is over, and what waits for `reasons`.
    What has no reason to wait any more is queued, what has one now waits, and what would be
    another picture or caption now is made anew. What is under way is left alone.
    """
    rows = to_look_at(space, of, caller.now(), reasons=reasons)
    if not rows:
        return 0
    prepared = Preparing(Matchday(space, of), caller.now())
    changed = 0
    for row in rows:
        with contextlib.suppress(WrongUse, Busy):  # it has moved on meanwhile
            changed += _look_again(prepared, row)
    looked_at(space, [row.id for row in rows], prepared.looked)
    return changed


def _chosen(day: Matchday, names: Iterable[str] | None) -> list[StoredFrame]:
    if names is not None:
        return [day.frame(n) for n in names]
    order = [i for p in day.passages for i in p.frame_ids]
    used = [day.frames[i] for i in order if day.frames[i].decision is Decision.USE]
    return used + [
        f for f in day.frames.values() if f.decision is Decision.USE and f.id not in set(order)
    ]


class _Queueing:
    """One run of queueing."""

    def __init__(self, prepared: Preparing, urgency: int, request_id: int | None) -> None:
        self._prepared = prepared
        self._urgency = urgency
        self._request_id = request_id
        self.new = 0
        self.known = 0
        self.left_out: list[NotQueued] = []

    def add(self, frame: StoredFrame, desk: Desk) -> None:
        """Queues one frame for one desk, or says why not."""
        own = [
            d
            for d in self._prepared.rows
            if (d.frame_id, d.desk) == (frame.id, desk.name) and d.kind is not Kind.KILL
        ]
        under_way = next((d for d in own if d.state in (State.SENDING, State.UNKNOWN)), None)
        if under_way is not None:
            self.known += 1
            return
        try:
            made = self._prepared.of(frame, desk)
            if self._is_there(frame, desk, made):
                return
            self._put(frame, desk, made, [d for d in own if d.state in _REPLACED])
        except (NoSpace, ReadOnly):
            raise  # no other frame would fare better
        except (AskPhotographer, Busy, GiveUp) as error:
            self.left_out.append(NotQueued(frame.handle, desk.name, (str(error),)))

    def _is_there(self, frame: StoredFrame, desk: Desk, made: Prepared) -> bool:
        """Whether the desk has this picture; says so where it has it otherwise."""
        has = holdings(self._prepared.rows).get((frame.id, desk.name))
        if has is None:
            return False
        if matters(has, made.caption.fields):
            why = "The desk has it with another caption: see `setpiece correct list`"
            self.left_out.append(NotQueued(frame.handle, desk.name, (why,)))
        else:
            self.known += 1
        return True

    def _put(self, frame: StoredFrame, desk: Desk, made: Prepared, earlier: list[Delivery]) -> None:
        row = self._prepared.row(frame, desk, made, self._urgency)
        row = replace(row, request_id=self._request_id)
        same = next((d for d in earlier if _same(d, row)), None)
        if same is None:
            if made.reason not in _NO_FILE_YET:
                row = self._prepared.with_file(row, frame, made)
            space, of = self._prepared.day.space, self._prepared.day.match
            queued, new = queue(space, of, row, instead_of=[d.id for d in earlier])
            gone = {d.id for d in earlier} | {queued.id}
            self._prepared.rows = [d for d in self._prepared.rows if d.id not in gone] + [queued]
        else:
            new = False
        if made.reason:
            self.left_out.append(NotQueued(frame.handle, desk.name, made.why, made.reason))
        elif new:
            self.new += 1
        else:
            self.known += 1


def _same(a: Delivery, b: Delivery) -> bool:
    return (a.caption_version, a.made_from) == (b.caption_version, b.made_from)


def _look_again(prepared: Preparing, row: Delivery) -> bool:
    """Looks at one delivery that is queued or waits; whether anything changed."""
    day = prepared.day
    if row.kind is Kind.KILL:
        return False
    frame = day.frames[row.frame_id]
    desk = desk_named(day.space, row.desk)
    try:
        made = prepared.of(frame, desk, counted=row)
    except AskPhotographer as error:
        return _wait(prepared, row, Reason.CHECK, str(error))
    if row.kind is Kind.CORRECTION:
        return _look_at_correction(prepared, row, made)
    if made.reason:
        until = made.until.isoformat() if made.until else ""
        return _wait(prepared, row, made.reason, ". ".join(made.why), until)
    fresh = replace(prepared.row(frame, desk, made, row.urgency), request_id=row.request_id)
    if not _same(row, fresh):
        fresh = prepared.with_file(fresh, frame, made)
        queue(day.space, day.match, fresh, instead_of=[row.id])
        return True
    if row.state is State.QUEUED:
        return False
    if not row.path:
        fresh = prepared.with_file(fresh, frame, made)
        file = {"path": fresh.path, "content": fresh.content, "size": fresh.size}
    else:
        file = {}
    record(day.space, row, Event.RELEASE, reason="", words="", not_before="", **file)
    return True


def _look_at_correction(prepared: Preparing, row: Delivery, made: Prepared) -> bool:
    """A correction whose own facts changed before it went waits for a person."""
    if made.reason is not None and made.reason not in (Reason.EMBARGO, Reason.QUOTA):
        return _wait(prepared, row, made.reason, ". ".join(made.why))
    if matters(row, made.caption.fields):
        words = "The facts have changed since: withdraw it, and see `setpiece correct list`"
        return _wait(prepared, row, Reason.CHECK, words)
    if row.state is State.QUEUED:
        return False
    record(prepared.day.space, row, Event.RELEASE, reason="", words="", not_before="")
    return True


def _wait(
    prepared: Preparing, row: Delivery, reason: Reason, words: str, not_before: str = ""
) -> bool:
    if row.state is State.WAITING and (row.reason, row.words) == (reason, words):
        return False
    columns = {"reason": reason.value, "words": words, "not_before": not_before}
    record(prepared.day.space, row, Event.WAIT, **columns)
    return True
