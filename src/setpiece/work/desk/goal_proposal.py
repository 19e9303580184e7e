"""Frames of a goal, proposed: strike, celebration, reaction, and the lines the log gives them.

Frames are proposed by time, burst, camera and sharpness alone; who is in them nobody can know but
the photographer, who looks at the proposal before it goes. None is proposed that is held for
care or lies near an entry that calls for care.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from setpiece.captions.check_words import care_near
from setpiece.errors import NotFound
from setpiece.frames.urgent import AFTER_GOAL_S, KNOWN_WITHIN_S
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.people import PersonId, Side
from setpiece.match.pinning import BURST_GAP_S, Taken, proposed_pins
from setpiece.store.frames import Decision
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_acts

_LINES = {
    How.PLAY: "scores",
    How.HEADER: "scores header",
    How.PENALTY: "scores penalty",
    How.FREE_KICK: "scores free kick",
    How.OWN_GOAL: "scores own goal",
}


class Part(StrEnum):
    """What a picture of a goal shows."""

    STRIKE = "strike"
    CELEBRATION = "celebration"
    REACTION = "reaction"


@dataclass(frozen=True, slots=True)
class Proposed:
    """A frame for one part of the goal, the line it is or would be captioned with, and why."""

    part: Part
    frame_id: str
    handle: str
    line: str
    why: str


@dataclass(frozen=True, slots=True)
class GoalProposal:
    """The goal meant and the frames proposed; `words` tell the goal for the photographer."""

    entry: EntryId
    words: str
    frames: tuple[Proposed, ...]


def propose_goal(day: Matchday, entry_number: int | None = None) -> GoalProposal:
    """Frames for the newest goal that was not disallowed, or for that entry.

    Raises NotFound without such a goal, or when no frame was made around it.
    """
    entry = _goal(day, entry_number)
    taken = _may_be_shown(day, entry)
    strike_at = _strike_at(day, entry, taken)
    if strike_at is None:
        raise NotFound(
            "there is no frame of this goal to propose",
            thing=f"e{entry.id}",
            next_step="Take in the card; what lies near an injury you choose by hand.",
        )
    bursts = _bursts(day, taken)
    parts = _parts(day, bursts, strike_at)
    lines = _lines(day, entry)
    found = [
        Proposed(part, i, day.frames[i].handle, _written(day, i) or lines[part], why)
        for part, (i, why) in parts.items()
    ]
    scorer = day.sheet.person(entry.person) if entry.person else None
    label = day.fold.minute_of(entry)
    score = day.fold.score_made_by(entry.id)
    words = f"e{entry.id} goal {scorer.name if scorer else ''} {label or ''}' {score or ''}"
    return GoalProposal(entry.id, " ".join(words.split()), tuple(found))


def _goal(day: Matchday, number: int | None) -> Entry:
    goals = [
        e
        for e in day.fold.entries
        if e.kind is Kind.GOAL
        and e.standing is not Standing.DISALLOWED
        and (number is None or e.id == number)
    ]
    if not goals:
        raise NotFound(
            "the log has no such goal" if number is not None else "the log has no goal that counts",
            thing=f"e{number}" if number is not None else day.match.folder,
            next_step="Log it: goal 9r.",
        )
    return max(goals, key=lambda e: (day.fold.when(e).end, e.id))


def _may_be_shown(day: Matchday, entry: Entry) -> list[Taken]:
    """Frames made around the goal that nobody needs to decide about, in order of time."""
    when = day.fold.when(entry)
    language = load_acts(day.space.folder).language("en")
    found = []
    for frame_id, at in day.times.items():
        frame, known = day.frames[frame_id], day.captions.get(frame_id)
        before_s = (when.start - at.middle).total_seconds()
        if before_s > KNOWN_WITHIN_S or (at.middle - when.end).total_seconds() > AFTER_GOAL_S:
            continue
        if frame.damaged or frame.decision in (Decision.HOLD, Decision.SPIKE):
            continue
        if known is not None and known.caption.held_for_care:
            continue
        if not care_near(day.situation(frame_id), language):
            found.append(Taken(frame_id, at))
    return sorted(found, key=lambda t: (t.at.middle, t.frame_id))


def _strike_at(day: Matchday, entry: Entry, taken: Sequence[Taken]) -> Taken | None:
    """The frame that tells when the goal fell: the one that pins it, else the likeliest."""
    if entry.frame in day.times:
        return Taken(entry.frame, day.times[entry.frame])
    when = day.fold.when(entry)
    if not taken:
        return None
    pins = proposed_pins(when, taken) if when.width_s > KNOWN_WITHIN_S else ()
    if pins:
        return next(t for t in taken if t.frame_id == pins[0])
    return min(taken, key=lambda t: abs((t.at.middle - when.middle).total_seconds()))


def _bursts(day: Matchday, taken: Sequence[Taken]) -> list[list[Taken]]:
    """The frames of each camera, parted where it paused; in order of their first frame."""
    bursts: list[list[Taken]] = []
    last: dict[str, list[Taken]] = {}
    for frame in taken:
        letter = day.letter_of(frame.frame_id)
        burst = last.get(letter)
        if burst and (frame.at.middle - burst[-1].at.middle).total_seconds() <= BURST_GAP_S:
            burst.append(frame)
        else:
            last[letter] = [frame]
            bursts.append(last[letter])
    return bursts


def _parts(
    day: Matchday, bursts: Sequence[list[Taken]], strike: Taken
) -> dict[Part, tuple[str, str]]:
    """The frame of each part, and why; a part that no burst is left for is missing."""
    found: dict[Part, tuple[str, str]] = {}
    around = [
        t
        for burst in bursts
        for t in burst
        if abs((t.at.middle - strike.at.middle).total_seconds()) <= BURST_GAP_S
    ] or [strike]
    best = _sharpest(day, around)
    found[Part.STRIKE] = best.frame_id, f"{_seconds(best, strike)}, {_reason(day, best)}"
    later = [
        b for b in bursts if (b[0].at.middle - strike.at.middle).total_seconds() > BURST_GAP_S / 2
    ]
    same = day.letter_of(strike.frame_id)
    for part in (Part.CELEBRATION, Part.REACTION):
        if not later:
            break
        own = [b for b in later if day.letter_of(b[0].frame_id) == same]
        other = [b for b in later if b not in own]
        burst = ((own or other) if part is Part.CELEBRATION else (other or own))[0]
        best = _sharpest(day, burst)
        found[part] = best.frame_id, f"{_seconds(best, strike)}, {_reason(day, best)}"
        later = [b for b in later if b is not burst]
    return found


def _sharpest(day: Matchday, frames: Sequence[Taken]) -> Taken:
    def softness(frame: Taken) -> tuple[float, float]:
        rank = day.ranks.get(frame.frame_id)
        return (rank.softer_px if rank else 1e9), frame.at.middle.timestamp()

    return min(frames, key=softness)


def _seconds(frame: Taken, strike: Taken) -> str:
    after_s = (frame.at.middle - strike.at.middle).total_seconds()
    return f"{after_s:+.1f} s"


def _reason(day: Matchday, frame: Taken) -> str:
    rank = day.ranks.get(frame.frame_id)
    return rank.reason if rank else "not looked at yet"


def _written(day: Matchday, frame_id: str) -> str:
    """The line that the photographer captioned a frame with, "" for none."""
    known = day.captions.get(frame_id)
    return known.caption.shorthand if known is not None else ""


def _lines(day: Matchday, entry: Entry) -> dict[Part, str]:
    """What the log lets each part be captioned with; nobody is named but the scorer."""
    side = entry.side or Side.HOME
    against = Side.AWAY if side is Side.HOME else Side.HOME
    state = day.fold.state_at(day.fold.when(entry).end)
    kit = {s: state.side(s).kit or _first_kit(day, s) for s in Side}
    own = entry.how is How.OWN_GOAL
    scorer = _shirt(day, entry.person, against if own else side, kit)
    act = _LINES.get(entry.how, "scores")
    celebrates = f"{scorer} celebrates" if scorer and not own else f"{kit[side]} players celebrate"
    return {
        Part.STRIKE: f"{scorer or f'someone {kit[side]}'} {act}",
        Part.CELEBRATION: celebrates,
        Part.REACTION: f"{kit[against]} players react",
    }


def _first_kit(day: Matchday, side: Side) -> str:
    kits = [k.letter for k in day.sheet.side(side).kits if not k.goalkeeper]
    return kits[0] if kits else ""


def _shirt(day: Matchday, person_id: PersonId | None, side: Side, kit: Mapping[Side, str]) -> str:
    """The scorer as shorthand says her: shirt and kit, or by name where she wears no number."""
    person = day.sheet.person(person_id) if person_id else None
    if person is None:
        return ""
    if person.number is None or not kit[side] or person.role.value == "goalkeeper":
        return person.name
    return f"{person.number}{kit[side]}"
