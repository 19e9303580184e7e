"""What is taken in first: marked frames, frames near the newest goal, then the newest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from setpiece.errors import WrongUse
from setpiece.frames import urgent
from setpiece.frames.camera_clock import UNFITTED_S, ClockFit, true_time, unfitted
from setpiece.frames.urgent import Waiting
from setpiece.match.entries import Kind, Standing, current
from setpiece.match.instants import Instant, Interval
from setpiece.match.match_clock import MatchClock
from setpiece.match.placing import place
from setpiece.store.frames import cameras, fits_of
from setpiece.store.matches import Match, log_of
from setpiece.store.workspace import Workspace
from setpiece.work.intake.first_listing import Listed


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a first quick pass takes in: frames that meet every condition given.

    `goal` means frames near the newest goal in the log; `most` is the number of files that are
    enough, the most urgent ones; they are wanted at once, so that further copies come later.
    """

    only_protected: bool = False
    since: Instant | None = None
    goal: bool = False
    most: int | None = None


EVERYTHING = Wanted()


def in_order(
    space: Workspace, of: Match, listed: Sequence[Listed], wanted: Wanted
) -> tuple[Listed, ...]:
    """The files this run takes in, the most urgent first.

    Raises WrongUse when frames near a goal are wanted and the log has none with a known time.
    """
    goals = goals_of(space, of)
    if wanted.goal and not goals:
        raise WrongUse(
            "the log has no goal whose time is known",
            thing=of.folder,
            next_step="Log it with `setpiece log add`, or take in without --goal.",
        )
    times = _Times(space, of)
    waiting = [
        Waiting(str(i), _mark_of(item), times.of(item), (item.of or item).metadata.serial)
        for i, item in enumerate(listed)
    ]
    chosen = urgent.quick_pass(
        waiting,
        only_protected=wanted.only_protected,
        since=wanted.since,
        goal=max(goals, key=lambda g: g.middle) if wanted.goal else None,
    )
    ordered = urgent.order(chosen, goals)[: wanted.most]
    return tuple(listed[int(w.key)] for w in ordered)


def goals_of(space: Workspace, of: Match) -> tuple[Interval, ...]:
    """When the goals in the log happened that were not disallowed, as far as it is known."""
    if of.fixture is None:
        return ()
    entries = current(log_of(space, of))
    clock = MatchClock(of.fixture, entries)
    placed = [
        place(e, clock)
        for e in entries
        if e.kind is Kind.GOAL and e.standing is not Standing.DISALLOWED
    ]
    return tuple(p.true for p in placed if p.true is not None)


def _mark_of(item: Listed) -> bool:
    return item.file.protected or bool(item.of and item.of.file.protected)


class _Times:
    """True times of listed files, by the clocks as they are fitted now.

    An order needs no certainty: a clock that was never compared counts as right within minutes,
    in the venue's zone where it is silent.
    """

    def __init__(self, space: Workspace, of: Match) -> None:
        self._offset_min = of.fixture.offset_min(of.fixture.kick_off) if of.fixture else 0
        fits = fits_of(space, of)
        self._fits: dict[tuple[str, str, str], ClockFit] = {
            (c.make, c.model, c.serial): fits[i] for i, c in cameras(space).items() if i in fits
        }
        guess = unfitted(venue_offset_min=self._offset_min)
        self._guess = replace(guess, uncertainty_s=UNFITTED_S)

    def of(self, item: Listed) -> Interval | None:
        """When it was made, None when its camera says nothing."""
        told = item.of or item
        if told.facts.camera_time is None:
            return None
        body = (told.metadata.make, told.metadata.model, told.metadata.serial)
        fit = self._fits.get(body, self._guess)
        return true_time(told.facts.camera_time, fit, self._offset_min)
