"""What the debrief is worked out from, gathered from the workspace."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from zoneinfo import ZoneInfo

from setpiece.errors import SetpieceError
from setpiece.frames.place import Place
from setpiece.match.entries import Entry, EntryId, Kind, Standing, history
from setpiece.match.instants import Instant, instant
from setpiece.match.people import Side
from setpiece.pictures.distance import focus_distance_m
from setpiece.plan.debrief.desk_time import desk_times, median_to_desk_s
from setpiece.plan.debrief.facts import (
    CorrectionFact,
    DeliveryFact,
    EarlierFact,
    EntryFact,
    FrameFact,
    MatchFacts,
)
from setpiece.plan.debrief.words import entry_words
from setpiece.store.delivery import Delivery, State
from setpiece.store.delivery import Kind as Sent
from setpiece.store.frames import Decision
from setpiece.store.matches import matches
from setpiece.store.steps import Steps, steps_of
from setpiece.work.debrief.coverage import coverage_fact
from setpiece.work.debrief.kicks import kick_facts
from setpiece.work.debrief.money import money_fact
from setpiece.work.desk.changed import caption_sent
from setpiece.work.matchday import Matchday
from setpiece.work.settings import read_settings

MOST_EARLIER = 8
_HEAD_BYTES = 1 << 17  # what a camera writes about a picture stands before its pixels


def facts_of(day: Matchday) -> MatchFacts:
    """Everything known of a match that the debrief asks for."""
    fixture, sheet = day.fixture, day.sheet
    home, away = (sheet.side(s).short_name or sheet.side(s).name for s in Side)
    local = fixture.kick_off.astimezone(ZoneInfo(fixture.time_zone))
    event = ", ".join(p for p in (fixture.competition, fixture.stage) if p)
    ground = ", ".join(p for p in (fixture.venue, fixture.city) if p)
    kits = [next((k.hex_colour for k in sheet.side(s).kits if not k.goalkeeper), "") for s in Side]
    return MatchFacts(
        home=home,
        away=away,
        score=str(day.fold.last().score),
        folio=" – ".join(p for p in (event, ground) if p),
        day=f"{local:%A}, {local.day} {local:%B %Y}",
        photographer=read_settings(day.space).photographer,
        lengths_s=_lengths(day),
        frames=_frames(day),
        entries=tuple(_entry(day, e) for e in day.fold.entries),
        deliveries=delivery_facts(day),
        kicks=kick_facts(day),
        corrections=_corrections(day),
        coverage=coverage_fact(day),
        earlier=_earlier(day),
        money=money_fact(day.space, day.match),
        colours=(kits[0], kits[1]),
    )


def _lengths(day: Matchday) -> dict[int, float]:
    """How long each period was played, by its whistles; else as far as frames reach."""
    lengths: dict[int, float] = {}
    starts = {e.period: day.fold.when(e).middle for e in day.fold.entries
              if e.kind is Kind.KICK_OFF and e.period}  # fmt: skip
    for entry in day.fold.entries:
        if entry.kind is Kind.PERIOD_END and entry.period in starts:
            length_s = (day.fold.when(entry).middle - starts[entry.period]).total_seconds()
            lengths[entry.period] = max(60.0, length_s)
    for period in starts:
        if period is not None and period not in lengths:
            reached = [p.state.elapsed_s for p in day.places.values() if p.state.period == period]
            lengths[period] = max([60.0, *(s for s in reached if s is not None)])
    return lengths


def _frames(day: Matchday) -> tuple[FrameFact, ...]:
    passages = {i: p.frame_ids for p in day.passages for i in p.frame_ids}
    return tuple(
        replace(
            _frame(day, i, place, alone=_alone(day, i, passages.get(i, ()))),
            distance_m=_distance_m(day, i),
        )
        for i, place in sorted(day.places.items(), key=lambda pair: pair[1].at.middle)
    )


def _alone(day: Matchday, frame_id: str, passage: Sequence[str]) -> bool:
    camera = day.frames[frame_id].camera_id
    return sum(day.frames[i].camera_id == camera for i in passage) < 2


def _distance_m(day: Matchday, frame_id: str) -> float | None:
    """How far away the lens was focused, from the head of the frame's file."""
    return _distance_in(day.space.folder / day.match.folder / day.frames[frame_id].best_file)


@lru_cache(maxsize=1 << 14)
def _distance_in(path: Path) -> float | None:
    """Files that were taken in never change, so each is read once."""
    try:
        with path.open("rb") as stream:
            return focus_distance_m(stream.read(_HEAD_BYTES))
    except OSError:  # the file has gone to the archive
        return None


def _frame(day: Matchday, frame_id: str, place: Place, *, alone: bool) -> FrameFact:
    stored, told = day.frames[frame_id], day.metadata[frame_id]
    ranked = day.ranks.get(frame_id)
    playing = place.state.label is not None
    return FrameFact(
        id=frame_id,
        handle=stored.handle,
        camera=day.letter_of(frame_id) or "–",
        at=place.at.middle,
        period=place.state.period if playing else None,
        elapsed_s=place.state.elapsed_s if playing else None,
        softer_px=None if alone or ranked is None else ranked.softer_px,
        damaged=stored.damaged,
        lens=told.lens,
        focal_length_mm=told.focal_length_mm,
        f_number=told.f_number,
        exposure_s=told.exposure_s,
        iso=told.iso,
        used=stored.decision is Decision.USE,
    )


def _entry(day: Matchday, entry: Entry) -> EntryFact:
    minute = day.fold.minute_of(entry)
    when = day.fold.when(entry)
    state = day.fold.state_at(when.middle)
    ends = entry.kind is Kind.PERIOD_END
    return EntryFact(
        number=int(entry.id),
        kind=entry.kind,
        words=entry_words(entry, day.sheet, day.fold.score_made_by(entry.id)),
        at=when,
        minute="" if ends or minute is None else str(minute),
        period=entry.period or (state.period if state.label else None),
        elapsed_s=state.elapsed_s if state.label else None,
        side=entry.side.value if entry.side else "",
        counts=entry.standing is not Standing.DISALLOWED,
    )


# ----- the way to the desks -----


def delivery_facts(day: Matchday) -> tuple[DeliveryFact, ...]:
    """Every picture that a desk has, with the steps of its way; corrections are not among them.

    One whose end was never written down tells nothing of its way and is left out.
    """
    steps = steps_of(day.space, day.match)
    arrived = [d for d in day.outbox if d.state is State.DELIVERED and d.ended]
    chosen = [d for d in arrived if d.kind is Sent.PICTURE]
    return tuple(_delivery(day, d, steps) for d in chosen if d.frame_id in day.times)


def _delivery(day: Matchday, item: Delivery, steps: Steps) -> DeliveryFact:
    frame = day.frames[item.frame_id]
    shot = day.times[frame.id].middle
    sent = _read(item.ended)
    event = _read(item.happened) if item.happened else None
    caption = caption_sent(item)
    entry = _standing_now(day, caption.facts.entries) if caption else None
    minute = day.fold.minute_of(entry) if entry else day.places[frame.id].state.label
    decided = steps.chosen.get(frame.id)
    return DeliveryFact(
        frame=frame.id,
        handle=frame.handle,
        desk=item.desk,
        words=caption.fields.headline if caption else frame.handle,
        minute=str(minute) if minute else "",
        shot=shot,
        sent=sent,
        event=min(event, shot) if event is not None and entry is not None else None,
        entry=int(entry.id) if entry else None,
        card=steps.taken_in.get(frame.id),
        chosen=decided if decided is not None and decided <= sent else None,
        captioned=steps.captioned.get((frame.id, item.caption_version)),
    )


def _standing_now(day: Matchday, entries: Sequence[EntryId]) -> Entry | None:
    """The entry that stands today in place of the first one a caption spoke of."""
    standing = {e.id: e for e in day.fold.entries}
    for number in entries:
        for version in reversed(history(day.log, number)):
            if version.id in standing:
                return standing[version.id]
    return None


def _read(text: str) -> Instant:
    return instant(datetime.fromisoformat(text))


# ----- what went out wrong -----


def _corrections(day: Matchday) -> tuple[CorrectionFact, ...]:
    by_id = {d.id: d for d in day.outbox}
    groups: dict[str, list[Delivery]] = {}
    for item in day.outbox:
        if item.kind in (Sent.CORRECTION, Sent.KILL) and item.state is State.DELIVERED:
            groups.setdefault(item.frame_id, []).append(item)
    return tuple(_correction(day, i, items, by_id) for i, items in groups.items())


def _correction(
    day: Matchday, frame_id: str, items: Sequence[Delivery], by_id: dict[int, Delivery]
) -> CorrectionFact:
    last = items[-1]
    first = by_id.get(last.corrects or 0)
    waited = [
        (_read(i.ended) - _read(by_id[i.corrects].ended)).total_seconds()
        for i in items
        if i.corrects in by_id and by_id[i.corrects].ended
    ]
    was, now, cause = _difference(first, last)
    label = day.places[frame_id].state.label if frame_id in day.places else None
    return CorrectionFact(
        handle=day.frames[frame_id].handle,
        minute=str(label) if label else "",
        was=was,
        now=now,
        desks=tuple(dict.fromkeys(i.desk for i in items)),
        kill=last.kind is Sent.KILL,
        wrong_for_s=max(waited, default=None),
        cause=cause,
    )


def _difference(first: Delivery | None, last: Delivery) -> tuple[str, str, str]:
    """What a corrected caption named, what it names now, and what made it wrong."""
    if first is None or last.kind is Sent.KILL:
        return "", "", "withdrawn by a kill" if last.kind is Sent.KILL else ""
    old, new = caption_sent(first), caption_sent(last)
    if old is None or new is None:
        return "", "", ""
    before = [p.name for p in old.facts.people]
    after = [p.name for p in new.facts.people]
    was = ", ".join(n for n in before if n not in after)
    now = ", ".join(n for n in after if n not in before)
    if old.facts.score != new.facts.score and not was:
        was, now = str(old.facts.score or ""), str(new.facts.score or "")
    if old.facts.entries != new.facts.entries:
        return was, now, "the log was put right"
    return was, now, "the caption was written anew"


# ----- other matches -----


def _earlier(day: Matchday) -> tuple[EarlierFact, ...]:
    """The matches before this one that went to a desk, oldest first."""
    found: list[EarlierFact] = []
    for other in matches(day.space):
        before = other.fixture is not None and other.fixture.kick_off < day.fixture.kick_off
        if not before or len(found) == MOST_EARLIER:
            continue
        try:
            fact = _other(Matchday(day.space, other))
        except SetpieceError:  # a match without sheet or log says nothing
            continue
        if fact is not None:
            found.append(fact)
    return tuple(sorted(found, key=lambda e: e.day))


def _other(day: Matchday) -> EarlierFact | None:
    sent = delivery_facts(day)
    if not sent:
        return None
    goals = {int(e.id) for e in day.fold.entries if e.kind is Kind.GOAL}
    first = [w.total_s for n, w in desk_times(sent).first.items() if n in goals]
    home, away = (day.sheet.side(s).short_name or day.sheet.side(s).name for s in Side)
    return EarlierFact(
        day=day.fixture.local_date(day.fixture.kick_off).isoformat(),
        words=f"{home} v {away}",
        frames=len(day.frames),
        delivered=len(sent),
        median_s=median_to_desk_s(sent),
        goal_s=max(first, default=None),
    )
