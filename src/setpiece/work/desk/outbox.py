"""What the photographer does to the outbox: withdraw, let go, send again, pause, enter by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import PurePosixPath

from setpiece.captions.naming import fixed_folder
from setpiece.errors import AskPhotographer, WrongUse
from setpiece.store.delivery import Delivery, Event, Kind, Reason, State, Urgency
from setpiece.store.forms import to_json
from setpiece.store.matches import Match
from setpiece.store.outbox import deliveries, find_delivery, queue, record
from setpiece.store.workspace import Workspace
from setpiece.work.desk.caption import caption_for_desk
from setpiece.work.desk.desks import desk_named
from setpiece.work.desk.holdings import holdings
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday

BY_HAND = "Entered by hand: it went straight from the camera"


def withdraw(space: Workspace, of: Match, number: int) -> Delivery:
    """Takes a delivery back before its first byte is at the desk under its name.

    A part that an earlier try left there is deleted with the next connection. Raises
    AskPhotographer, offering a kill, once the desk has it or may have it.
    """
    item = find_delivery(space, of, number)
    if item.state in (State.SENDING, State.UNKNOWN):
        raise AskPhotographer(
            "it is going out just now, or may have arrived",
            thing=f"{item.remote_name} to {item.desk}",
            next_step="Look again in a moment; if it arrived, `setpiece kill` it.",
        )
    if item.state is State.DELIVERED:
        raise AskPhotographer(
            "the desk has it: what was sent stays sent",
            thing=f"{item.remote_name} to {item.desk}",
            next_step="`setpiece kill FRAME --reason ...` tells every desk not to use it.",
        )
    return record(space, item, Event.WITHDRAW, leftover=item.attempts > 0)


def let_go(space: Workspace, of: Match, number: int, reason: str) -> Delivery:
    """Sends what a quota holds, on purpose and with the reason why.

    What a check or a care holds is answered at the caption, an embargo by its time.
    """
    item = find_delivery(space, of, number)
    if item.state is not State.WAITING or item.reason != Reason.QUOTA:
        raise WrongUse(
            f"only what a quota holds is let go; this is {item.state.value} {item.reason}".strip(),
            thing=item.remote_name,
            next_step="A finding is answered with `setpiece check --overrule`.",
        )
    note = f"Beyond the quota: {_given(reason, item)}"
    return record(space, item, Event.RELEASE, reason="", words="", note=note)


def send_again(space: Workspace, of: Match, number: int, reason: str, caller: Caller) -> Delivery:
    """Queues a delivery again on purpose, with the reason why.

    What was refused or withdrawn goes as it was. What was delivered goes a second time under a
    name of its own, for no file at a desk is ever replaced.
    """
    item = find_delivery(space, of, number)
    said = _given(reason, item)
    if item.state in (State.REFUSED, State.WITHDRAWN):
        if not item.path:
            raise WrongUse("it was never made", thing=item.remote_name, next_step="Send the frame.")
        note = f"Again: {said}"
        return record(
            space, item, Event.AGAIN, words="", not_before="", leftover=False, note=note, reason=""
        )
    if item.state is not State.DELIVERED or not item.path:
        raise WrongUse(
            f"it is {item.state.value}: there is nothing to send again", thing=item.remote_name
        )
    names = {d.remote_name for d in deliveries(space, of) if d.desk == item.desk}
    count = 2
    while (name := _numbered(item.remote_name, count)) in names:
        count += 1
    again = replace(
        item,
        made_from=f"{item.made_from} again {count}",
        remote_name=name,
        state=State.QUEUED,
        queued=caller.now().isoformat(),
        urgency=min(item.urgency, Urgency.FIRST),
        request_id=None,
        attempts=0,
        leased_by="",
        leased_until="",
        moved_bytes=0,
        words="",
        note=f"Again: {said}",
        receipt=None,
        ended="",
    )
    queued, _ = queue(space, of, again)
    return queued


def enter(
    space: Workspace, of: Match, frame_name: str, desk_name: str, file_name: str, caller: Caller
) -> Delivery:
    """Enters a picture that a desk got straight from the camera, so that corrections reach it.

    `file_name` is its name at the desk. The caption the desk is held to is the frame's own.
    """
    day = Matchday(space, of)
    frame, desk = day.frame(frame_name), desk_named(space, desk_name)
    if (frame.id, desk.name) in holdings(day.outbox):
        raise WrongUse(
            "the desk has this picture already",
            thing=f"{frame.handle}, {desk.name}",
            next_step="Send a correction instead.",
        )
    if PurePosixPath(file_name).name != file_name or not file_name:
        raise WrongUse(
            "this is no file name",
            thing=file_name,
            next_step="Give it without a folder, as lantern-0231.jpg.",
        )
    caption, version, folder = "", 0, fixed_folder(desk.address.folder)
    if frame.id in day.captions:
        made = caption_for_desk(day, frame.id, desk)
        caption, version, folder = to_json(made.caption), made.version, made.folder
    now = caller.now().isoformat()
    row = Delivery(
        id=0,
        match_id=of.id,
        frame_id=frame.id,
        caption_version=version,
        desk=desk.name,
        made_from="by hand",
        content="",
        path="",
        remote_folder=folder,
        remote_name=file_name,
        size=0,
        state=State.DELIVERED,
        queued=now,
        kind=Kind.PICTURE,
        caption=caption,
        note=BY_HAND,
        ended=now,
    )
    queued, _ = queue(space, of, row)
    return queued


def _given(reason: str, item: Delivery) -> str:
    if not reason.strip():
        raise WrongUse(
            "this is done on purpose, with a reason", thing=item.remote_name, next_step="Say why."
        )
    return reason.strip()


def _numbered(name: str, count: int) -> str:
    path = PurePosixPath(name)
    return f"{path.stem}-{count}{path.suffix}"
