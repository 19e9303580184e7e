"""Kills: a picture that must not be used, and the notice to every desk that has it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import PurePosixPath
from zoneinfo import ZoneInfo

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant
from setpiece.store.delivery import Delivery, Event, Kind, State, Urgency
from setpiece.store.matches import Match
from setpiece.store.outbox import queue, record
from setpiece.store.workspace import Workspace
from setpiece.work.desk.changed import caption_sent
from setpiece.work.desk.desks import desk_named
from setpiece.work.desk.holdings import holdings
from setpiece.work.desk.preparing import stored
from setpiece.work.desk.terms import PictureTerms, set_terms, terms_of
from setpiece.work.desk.words import kill_text
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday
from setpiece.work.settings import read_settings
from setpiece.work.style_files import load_style


@dataclass(frozen=True, slots=True)
class KillReport:
    """Desks a notice is queued for, deliveries withdrawn, and desks it may be reaching just now.

    Those get their notice when the picture has arrived there.
    """

    notices: tuple[str, ...] = ()
    withdrawn: int = 0
    reaching: tuple[str, ...] = ()


def kill(
    space: Workspace,
    of: Match,
    frame_name: str,
    reason: str,
    caller: Caller,
    *,
    replacement: str = "",
) -> KillReport:
    """Kills a picture: nothing of it goes any more, and every desk that has it gets a notice.

    `replacement` is the frame that follows in its place, if any. Raises WrongUse without a
    reason. `send_waiting` sends the notices, before anything else.
    """
    if not reason.strip():
        raise WrongUse("a kill has a reason", thing=frame_name, next_step="Say why.")
    day = Matchday(space, of)
    frame = day.frame(frame_name)
    instead = day.frame(replacement).handle if replacement else ""
    said = f"{reason.strip()}\n{instead}" if instead else reason.strip()
    set_terms(space, of, frame.id, caller, killed=said)
    own = [d for d in day.outbox if d.frame_id == frame.id and d.kind is not Kind.KILL]
    withdrawn = 0
    for item in own:
        if item.state in (State.QUEUED, State.WAITING, State.REFUSED):
            record(space, item, Event.WITHDRAW, leftover=item.attempts > 0)
            withdrawn += 1
    reaching = sorted({d.desk for d in own if d.state in (State.SENDING, State.UNKNOWN)})
    notices = notices_due(space, of, caller)
    return KillReport(notices, withdrawn, tuple(reaching))


def notices_due(space: Workspace, of: Match, caller: Caller) -> tuple[str, ...]:
    """Queues the notices of killed pictures that some desk has and was not told of; the desks.

    Called again after sending, it also reaches desks that a killed picture was on its way to.
    """
    killed = {i: t for i, t in terms_of(space, of).items() if t.killed}
    if not killed:
        return ()
    day = Matchday(space, of)
    told = {d.corrects for d in day.outbox if d.kind is Kind.KILL}
    desks = []
    for (frame_id, desk), item in holdings(day.outbox).items():
        if frame_id in killed and item.id not in told:
            row = _notice(day, item, killed[frame_id], caller.now())
            queue(space, of, row)
            desks.append(desk)
    return tuple(desks)


def _notice(day: Matchday, item: Delivery, terms: PictureTerms, now: Instant) -> Delivery:
    reason, _, instead = terms.killed.partition("\n")
    style = load_style(day.space.folder, desk_named(day.space, item.desk).style)
    sent = caption_sent(item)
    names = [
        d.remote_name
        for d in day.outbox
        if (d.frame_id, d.desk) == (item.frame_id, item.desk)
        and d.state is State.DELIVERED
        and d.kind is not Kind.KILL
    ]
    zone = day.fixture.time_zone
    text = kill_text(
        names,
        sent.fields.headline if sent else "",
        reason,
        instead,
        time=f"{now.astimezone(ZoneInfo(zone)):%Y-%m-%d %H:%M} {zone}",
        photographer=read_settings(day.space).photographer,
        language=style.language,
    )
    stem = PurePosixPath(item.remote_name).stem
    row = replace(
        item,
        id=0,
        made_from=f"kill {item.id}",
        remote_name=f"KILL_{stem}"[: style.file_name_most - 4] + ".txt",
        state=State.QUEUED,
        queued=now.isoformat(),
        kind=Kind.KILL,
        urgency=Urgency.KILL,
        caption="",
        looked=None,
        corrects=item.id,
        request_id=None,
        attempts=0,
        leased_by="",
        leased_until="",
        moved_bytes=0,
        words="",
        note=reason,
        receipt=None,
        ended="",
    )
    return stored(day.space, day.match, row, text.encode())
