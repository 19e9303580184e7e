"""The goal in one line: captioned, checked, rendered and sent before anything ordinary."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from pathlib import Path

from setpiece.errors import AskPhotographer, WrongUse
from setpiece.match.entries import EntryId
from setpiece.match.pinning import Taken, pinned
from setpiece.store.delivery import Urgency
from setpiece.store.files import files_of
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.desk.deliver import SendReport, send_waiting
from setpiece.work.desk.goal_proposal import GoalProposal, Part, Proposed
from setpiece.work.desk.queueing import NotQueued, QueueReport, queue_set
from setpiece.work.intake.take import take_in
from setpiece.work.intake.urgency import Wanted
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday

ENOUGH = 20
"""So many frames are taken in for a goal's first pictures. Our choice: looking takes the time."""


@dataclass(frozen=True, slots=True)
class GoalSent:
    """What was proposed, and what became of it; nothing while it was only looked at."""

    proposal: GoalProposal
    queued: QueueReport = field(default_factory=QueueReport)
    sent: SendReport = field(default_factory=SendReport)


def take_in_goal(space: Workspace, of: Match, sources: Sequence[Path], caller: Caller) -> None:
    """Takes in what a goal needs from cards: frames near it that are protected, else some of the
    strike and of every burst after it.

    The rest stays on the card for the next run of taking in. Raises what `take_in` raises.
    """
    before = {f.source for f in files_of(space, of)}
    protected = Wanted(only_protected=True, goal=True, most=ENOUGH)
    take_in(space, of, sources, caller, wanted=protected)
    if before == {f.source for f in files_of(space, of)}:
        take_in(space, of, sources, caller, wanted=Wanted(goal=True, most=ENOUGH))


def send_goal(
    space: Workspace,
    of: Match,
    proposal: GoalProposal,
    desk_names: Sequence[str],
    caller: Caller,
    *,
    lines: Mapping[Part, str] | None = None,
    without: Collection[Part] = (),
) -> GoalSent:
    """Captions the frames of a proposal that was looked at, checks and sends them first.

    As `queue_goal`, and sends: the strike goes out while the others are still being made.
    """
    going: list[Future[SendReport]] = []
    with ThreadPoolExecutor(1, thread_name_prefix="goal") as sending:

        def begin() -> None:
            going.append(sending.submit(send_waiting, space, of, caller))

        queued = queue_goal(
            space, of, proposal, desk_names, caller, lines=lines, without=without, first=begin
        )
    sent = [run.result() for run in going]
    sent.append(send_waiting(space, of, caller))
    return GoalSent(proposal, queued, _all_sent(sent))


def queue_goal(
    space: Workspace,
    of: Match,
    proposal: GoalProposal,
    desk_names: Sequence[str],
    caller: Caller,
    *,
    lines: Mapping[Part, str] | None = None,
    without: Collection[Part] = (),
    first: Callable[[], None] = lambda: None,
) -> QueueReport:
    """Captions the frames of a proposal, checks them and puts them first in the outbox.

    The strike's frame pins the entry unless another does. `lines` stand in place of those
    proposed; parts in `without` are not sent. A caption that stands is kept as it is. What the
    check holds is left out and named. `first` is called once the first picture is queued.
    """
    wanted = [p for p in proposal.frames if p.part not in without]
    if not wanted:
        raise WrongUse("nothing of the goal is left to send", thing=f"e{proposal.entry}")
    _pin(space, of, proposal, caller)
    queued: list[QueueReport] = []
    begun = False
    for shown in wanted:
        line = (lines or {}).get(shown.part, shown.line)
        queued.append(_queue(space, of, shown, line, desk_names, caller))
        if queued[-1].queued and not begun:
            begun = True
            first()
    return _together(queued)


def _queue(
    space: Workspace,
    of: Match,
    shown: Proposed,
    line: str,
    desk_names: Sequence[str],
    caller: Caller,
) -> QueueReport:
    """One part of the goal into the outbox."""
    known = Matchday(space, of).captions.get(shown.frame_id)
    try:
        if known is None or known.caption.shorthand != line:
            write_caption(space, of, shown.frame_id, line, caller)
    except AskPhotographer as error:
        return QueueReport(left_out=(NotQueued(shown.handle, "", (str(error),)),))
    decide(space, of, shown.frame_id, Decision.USE)
    return queue_set(space, of, desk_names, caller, frames=[shown.frame_id], urgency=Urgency.FIRST)


def _together(reports: Sequence[QueueReport]) -> QueueReport:
    return QueueReport(
        sum(r.queued for r in reports),
        sum(r.known for r in reports),
        tuple(n for r in reports for n in r.left_out),
    )


def _all_sent(reports: Sequence[SendReport]) -> SendReport:
    """What several runs of sending did; what is left is what the last one left."""
    return replace(
        reports[-1],
        delivered=sum(r.delivered for r in reports),
        refused=sum(r.refused for r in reports),
        troubles=tuple(dict.fromkeys(t for r in reports for t in r.troubles)),
        seconds=sum(r.seconds for r in reports),
    )


def _pin(space: Workspace, of: Match, proposal: GoalProposal, caller: Caller) -> None:
    """Pins the goal to its strike, unless a frame pins it already."""
    day = Matchday(space, of)
    entry = day.fold.entry(proposal.entry)
    strike = next((p for p in proposal.frames if p.part is Part.STRIKE), None)
    if entry is None or entry.frame or strike is None:
        return
    made = pinned(entry, Taken(strike.frame_id, day.times[strike.frame_id]))
    number = EntryId(len(day.log) + 1)
    new = replace(made, id=number, typed=caller.now(), supersedes=entry.id)
    add_entries(space, of, [new])
