"""Penalties and free kicks of a match: what was told of them, and what the plan says of them.

What the photographer tells (which frames hold ball and kicker, where the ball lay, from which
seat) is kept as `debrief/kicks.json` in the match's folder: an open file, archived with the match.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from setpiece.errors import BadFile, NotFound, WrongUse
from setpiece.match.entries import Entry, How, Kind, history
from setpiece.plan.camera import Seat
from setpiece.plan.debrief.facts import KickFact
from setpiece.plan.debrief.kicks import (
    USUAL_SPEED_M_S,
    Planned,
    camera_at,
    planned,
    rate_of,
    spread,
)
from setpiece.plan.debrief.words import entry_words
from setpiece.plan.flight import Kick, free_kick, penalty
from setpiece.plan.ground import Ground
from setpiece.plan.pitch import End
from setpiece.store.copying import write_proved
from setpiece.store.frames import StoredFrame
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.before.plan import ground_of, has_ground
from setpiece.work.find.rows import is_upright
from setpiece.work.matchday import Matchday

FILE = "debrief/kicks.json"
AROUND_S = 3.0
"""Frames so far from the entry are looked at; a burst of a kick is shorter."""

_PENALTIES = (Kind.PENALTY_TAKEN, Kind.PENALTY_SAVED, Kind.PENALTY_MISSED, Kind.SHOOT_OUT_KICK)


@dataclass(frozen=True, slots=True)
class KickTold:
    """What was told of one kick. `start` is where the ball lay, from that goal; `seat` a name."""

    end: str = ""
    start: tuple[float, float] | None = None
    seat: str = ""
    speed_m_s: float | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """Everything told: whether a frame holds ball and kicker, and kicks by their first entry."""

    marked: dict[str, bool] = field(default_factory=dict)
    kicks: dict[int, KickTold] = field(default_factory=dict)


def told(space: Workspace, of: Match) -> Told:
    """What was told of the kicks of a match. Raises BadFile for a file that is not ours."""
    path = match_folder(space, of) / FILE
    if not path.is_file():
        return Told()
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        kicks = {int(k): _read_kick(v) for k, v in data.get("kicks", {}).items()}
        return Told({str(k): bool(v) for k, v in data.get("marked", {}).items()}, kicks)
    except (ValueError, TypeError, AttributeError, IndexError) as error:
        raise BadFile(
            "what was told of the kicks cannot be read",
            thing=str(path),
            next_step="Correct it, or move it away and tell again.",
        ) from error


def _read_kick(values: dict[str, Any]) -> KickTold:
    start, speed = values.get("start"), values.get("speed_m_s")
    return KickTold(
        end=str(values.get("end", "")),
        start=(float(start[0]), float(start[1])) if start else None,
        seat=str(values.get("seat", "")),
        speed_m_s=float(speed) if speed else None,
    )


def _save(space: Workspace, of: Match, value: Told) -> None:
    document = {
        "marked": value.marked,
        "kicks": {str(k): asdict(v) for k, v in value.kicks.items()},
    }
    text = json.dumps(document, ensure_ascii=False, indent=1, sort_keys=True)
    write_proved(text.encode() + b"\n", match_folder(space, of) / FILE)


def mark(space: Workspace, of: Match, names: Sequence[str], *, holds: bool = True) -> int:
    """Keeps that frames hold ball and kicker, or do not. Gives how many. Raises NotFound."""
    day, known = Matchday(space, of), told(space, of)
    if not names:
        return 0
    frames = [day.frame(name).id for name in names]
    _save(space, of, replace(known, marked=known.marked | dict.fromkeys(frames, holds)))
    return len(frames)


def tell_kick(space: Workspace, of: Match, number: int, value: KickTold) -> str:
    """Keeps where a kick was struck and from where it was photographed; the kick in words.

    What is not given stays as told before. Raises NotFound for an entry that is no kick, WrongUse
    for an end or a seat there is not.
    """
    day = Matchday(space, of)
    entry = next((e for e in day.fold.entries if e.id == number), None)
    if entry is None or not kind_of(entry):
        raise NotFound(
            "the log has no such penalty or free kick",
            thing=f"e{number}",
            next_step="See `setpiece log list`.",
        )
    if value.end and value.end not in set(End):
        raise WrongUse("a kick is at the near goal or the far one", thing=value.end)
    if value.seat and (ground := _ground(space, of)):
        ground.seat(value.seat)
    known, root = told(space, of), _root(day, entry)
    before = known.kicks.get(root, KickTold())
    given = {k: v for k, v in asdict(value).items() if v not in ("", None)}
    _save(space, of, replace(known, kicks=known.kicks | {root: replace(before, **given)}))
    return entry_words(entry, day.sheet, day.fold.score_made_by(entry.id))


def entry_number(text: str) -> int:
    """The number of an entry typed as `e19` or `19`. Raises WrongUse."""
    digits = text.strip().lower().removeprefix("e")
    if not digits.isdecimal():
        raise WrongUse("this is no entry of the log", thing=text, next_step="Write e19.")
    return int(digits)


def kind_of(entry: Entry) -> str:
    """`penalty`, `free kick`, or empty for any other entry."""
    if entry.kind in _PENALTIES or (entry.kind is Kind.GOAL and entry.how is How.PENALTY):
        return "penalty"
    return "free kick" if entry.kind is Kind.GOAL and entry.how is How.FREE_KICK else ""


def _ground(space: Workspace, of: Match) -> Ground | None:
    """The ground of the match's plan, None where no file was put there."""
    return ground_of(space, of) if has_ground(space, of) else None


def kick_facts(day: Matchday) -> tuple[KickFact, ...]:
    """Every penalty and free kick of the log that somebody photographed, in order."""
    known, ground = told(day.space, day.match), _ground(day.space, day.match)
    facts = []
    for entry in day.fold.entries:
        kind = kind_of(entry)
        if kind and (burst := _burst(day, entry, known)):
            facts.append(_fact(day, entry, kind, burst, known, ground))
    return tuple(facts)


def _root(day: Matchday, entry: Entry) -> int:
    return int(history(day.log, entry.id)[0].id)


def _burst(day: Matchday, entry: Entry, known: Told) -> list[StoredFrame]:
    """The frames of one camera around the kick: of the one with most marks, then most frames."""
    when = day.fold.when(entry)
    near: dict[int, list[StoredFrame]] = {}
    for frame in day.frames.values():
        at = day.times.get(frame.id)
        if at is None or frame.camera_id is None:
            continue
        apart_s = (at.middle - when.middle).total_seconds()
        if abs(apart_s) <= AROUND_S + when.width_s / 2:
            near.setdefault(frame.camera_id, []).append(frame)
    return max(
        near.values(),
        key=lambda of: (sum(known.marked.get(f.id, False) for f in of), len(of)),
        default=[],
    )


def _fact(
    day: Matchday, entry: Entry, kind: str, burst: list[StoredFrame], known: Told,
    ground: Ground | None,
) -> KickFact:  # fmt: skip
    burst.sort(key=lambda f: (day.times[f.id].middle, f.file_number or 0))
    when = day.fold.when(entry).middle
    stamps = [(day.times[f.id].middle - when).total_seconds() for f in burst]
    resolution_s = max(f.camera_time.resolution_s if f.camera_time else 0.0 for f in burst)
    offsets = spread(stamps, resolution_s)
    told_of = any(f.id in known.marked for f in burst)
    held = [s for f, s in zip(burst, offsets, strict=True) if known.marked.get(f.id)]
    zero = held[0] if held else 0.0
    metadata = day.metadata[burst[len(burst) // 2].id]
    rate = rate_of(offsets)
    told_kick = known.kicks.get(_root(day, entry), KickTold())
    plan = seat = None
    if ground is not None and ground.seats and metadata.focal_length_mm and rate:
        seat = ground.seat(told_kick.seat) if told_kick.seat else ground.seats[0]
        plan = _planned(seat, ground, kind, told_kick, metadata.focal_length_mm,
                        metadata.exposure_s or 0.0, rate, upright=is_upright(metadata))  # fmt: skip
    minute = day.fold.minute_of(entry)
    score = day.fold.score_made_by(entry.id)
    return KickFact(
        entry=entry.id,
        minute=str(minute) if minute else "",
        words=entry_words(entry, day.sheet, score),
        kind=kind,
        camera=day.letter_of(burst[0].id),
        offsets_s=tuple(round(s - zero, 4) for s in offsets),
        focal_length_mm=metadata.focal_length_mm,
        frames_per_s=rate,
        flight_s=plan.flight_s if plan else None,
        window_s=plan.window_s if plan else None,
        planned=plan.mean if plan else None,
        marked=tuple(round(s - zero, 4) for s in held) if told_of else None,
        better=plan.better if plan else (),
        goal=score is not None,
        seat=seat.name if plan and seat else "",
    )


def _planned(
    seat: Seat, ground: Ground, kind: str, known: KickTold, focal_mm: float, exposure_s: float,
    rate: float, *, upright: bool,
) -> Planned | None:  # fmt: skip
    """What the plan says; None where it was not told where the ball lay or at which goal."""
    speed = known.speed_m_s or USUAL_SPEED_M_S[kind]
    camera = camera_at(seat, focal_mm, exposure_s, rate, upright=upright)
    if not known.end:
        return None
    end = End(known.end)
    kick: Kick
    if kind == "penalty":
        kick = penalty(speed, pitch=ground.pitch, end=end)
    elif known.start is not None:
        kick = free_kick(*known.start, speed, pitch=ground.pitch, end=end)
    else:
        return None
    return planned(camera, kick)
