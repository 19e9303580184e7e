"""Fit the clocks again, and say which captioned frames stand at another minute or score now."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.errors import AskPhotographer
from setpiece.frames.place import Place
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.clocks.fit import CameraClock, fit_clocks
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class Moved:
    """A captioned frame whose place in the match changed, before and after in words."""

    handle: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Refit:
    """Every camera's clock, and the captioned frames that moved: check them again."""

    clocks: tuple[CameraClock, ...]
    moved: tuple[Moved, ...]


def refit(
    space: Workspace, of: Match, caller: Caller, *, card_within_s: float | None = None
) -> Refit:
    """Fits the clocks and compares where captioned frames stand. Arguments as `fit_clocks`."""
    before = _captioned(space, of)
    clocks = fit_clocks(space, of, caller, card_within_s=card_within_s)
    after = _captioned(space, of)
    moved = [
        Moved(handle, _words(before[handle]), _words(place))
        for handle, place in after.items()
        if handle in before and _words(before[handle]) != _words(place)
    ]
    return Refit(clocks, tuple(moved))


def _captioned(space: Workspace, of: Match) -> dict[str, Place]:
    """Where captioned frames stand now, by handle; none before there are sheet and log."""
    day = Matchday(space, of)
    if not day.captions:
        return {}
    try:
        return {day.frames[i].handle: day.places[i] for i in day.captions if i in day.places}
    except AskPhotographer:
        return {}


def _words(place: Place) -> str:
    label = f"{place.state.label}'" if place.state.label else place.state.phase.value
    doubts = f" ({'; '.join(place.doubts)})" if place.doubts else ""
    return f"{label} at {place.state.score}{doubts}"
