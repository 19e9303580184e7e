"""Finds frames of a match by words: of captions, entries, names, decisions and minutes."""

from __future__ import annotations

from setpiece.frames.urgent import around_goal
from setpiece.match.entries import Kind, Standing
from setpiece.match.instants import Interval
from setpiece.match.names import folded
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday


def find_frames(day: Matchday, text: str, words: Wording) -> tuple[str, ...]:
    """The frames in whose caption, or in what is known of them, every word begins a word.

    `goal` alone finds the frames around the newest goal that counts. Newest frames first.
    """
    wanted = folded(text).split()
    if not wanted:
        return ()
    goal = _newest_goal(day) if wanted == ["goal"] else None
    found = [
        i
        for i in day.frames
        if (_near(day, i, goal) if goal else _has(wanted, _told(day, i, words)))
    ]
    at = {i: day.times[i].middle.timestamp() if i in day.times else 0.0 for i in found}
    return tuple(sorted(found, key=lambda i: at[i], reverse=True))


def _newest_goal(day: Matchday) -> Interval | None:
    goals = [
        day.fold.when(e)
        for e in day.fold.entries
        if e.kind is Kind.GOAL and e.standing is not Standing.DISALLOWED
    ]
    return around_goal(max(goals, key=lambda g: g.middle)) if goals else None


def _near(day: Matchday, frame_id: str, goal: Interval) -> bool:
    return frame_id in day.times and day.times[frame_id].meets(goal)


def _told(day: Matchday, frame_id: str, words: Wording) -> list[str]:
    frame, known = day.frames[frame_id], day.captions.get(frame_id)
    place = day.places.get(frame_id)
    parts = [frame.handle, frame.note]
    if frame.decision:
        parts += [frame.decision.value, words(f"thumb.said-{frame.decision.value}")]
    if place and place.state.label:
        parts.append(str(place.state.label))
    if known:
        parts += [known.caption.shorthand, known.caption.fields.headline]
        parts += [known.caption.fields.description, *known.caption.fields.keywords]
    return [w for part in parts for w in folded(part).split()]


def _has(wanted: list[str], told: list[str]) -> bool:
    return all(any(word.startswith(w) for word in told) for w in wanted)
