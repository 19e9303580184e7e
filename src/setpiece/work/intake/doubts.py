"""What may be wrong with frames though nothing is broken: settings and a date set by mistake."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Interval
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.cards import Trouble
from setpiece.work.matchday import Matchday

ANOTHER_DAY = timedelta(days=1)
"""Frames so far from the kick-off are of another day, or their camera's date is wrong."""


def doubts_of(space: Workspace, of: Match) -> tuple[Trouble, ...]:
    """Every doubt about the frames of a match, once for each camera: which frames, and what."""
    return doubts_in(Matchday(space, of))


def doubts_in(day: Matchday) -> tuple[Trouble, ...]:
    """The same of a match as it is read already."""
    of = day.match
    dated = day.times if of.fixture else {}
    about: dict[tuple[int | None, str], list[str]] = {}
    for frame in day.frames.values():
        words = list(setting_doubts(day.metadata[frame.id]))
        if of.fixture and frame.id in dated:
            words.append(date_doubt(dated[frame.id], of.fixture))
        for word in filter(None, words):
            about.setdefault((frame.camera_id, word), []).append(frame.handle)
    return tuple(Trouble(_counted(frames), words) for (_, words), frames in about.items())


def setting_doubts(metadata: CameraMetadata) -> tuple[str, ...]:
    """Settings that may be a mistake, in words, as far as the camera says so."""
    said = (
        (metadata.monochrome, "the camera is set to black and white"),
        (metadata.small_size, "the camera is set to a smaller picture size"),
        (metadata.crop_mode, "the camera uses a part of its sensor only: crop mode or zoom"),
    )
    return tuple(words for is_so, words in said if is_so)


def date_doubt(at: Interval, fixture: Fixture) -> str:
    """What is odd about the day a frame was made on, empty when nothing is."""
    off = at.middle - fixture.kick_off
    if abs(off) <= ANOTHER_DAY:
        return ""
    days = round(abs(off) / timedelta(days=1))
    when = "before" if off < timedelta(0) else "after"
    count = "1 day" if days == 1 else f"{days} days"
    return f"made {count} {when} the match, or the camera's date is wrong"


def _counted(handles: Iterable[str]) -> str:
    """The first frame by name, and how many more."""
    first, *more = handles
    return f"{first} and {len(more)} more" if more else first
