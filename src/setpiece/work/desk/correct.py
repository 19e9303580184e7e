"""Corrections: captions and delivered pictures that a changed fact made wrong, put right.

A corrected picture is sent again to every desk that has it, labelled as a retransmission to
correct an error, saying what was wrong (the wire trade's rule; the words are ours). Nothing goes
without a keystroke: `wrong_now` only lists.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from setpiece.captions.caption import Caption
from setpiece.captions.changes import ChangedFact, FieldChange, changed, changed_facts
from setpiece.captions.fields import PictureFields
from setpiece.captions.naming import correction_name
from setpiece.captions.style import HouseStyle
from setpiece.errors import AskPhotographer, BadFile
from setpiece.store.delivery import Delivery, Kind, Reason, State, Urgency
from setpiece.store.forms import to_json
from setpiece.store.matches import Match
from setpiece.store.outbox import queue
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.desk.caption import caption_for_desk
from setpiece.work.desk.changed import TELLING, caption_sent, telling_fields
from setpiece.work.desk.desks import Desk, desk_named
from setpiece.work.desk.holdings import holdings
from setpiece.work.desk.preparing import WITHOUT_SCORE, Preparing, stored
from setpiece.work.desk.queueing import NotQueued
from setpiece.work.desk.words import corrected
from setpiece.work.job import Caller, go_on
from setpiece.work.matchday import CaptionOf, Matchday
from setpiece.work.style_files import load_acts, load_style


@dataclass(frozen=True, slots=True)
class Wrong:
    """A caption, or a picture at a desk, that no longer says what the facts say.

    `desk` and `file` are empty for a caption of the workspace. `question` says why only a person
    can put it right; `on_the_way` that a correction is queued already.
    """

    frame_id: str
    handle: str
    old: str
    new: str
    fields: tuple[FieldChange, ...]
    facts: tuple[ChangedFact, ...]
    question: str = ""
    desk: str = ""
    file: str = ""
    delivery: int = 0
    on_the_way: bool = False


@dataclass(frozen=True, slots=True)
class WrongNow:
    """Every caption that is wrong now, and every picture at a desk."""

    captions: tuple[Wrong, ...]
    at_desks: tuple[Wrong, ...]


@dataclass(frozen=True, slots=True)
class CorrectionReport:
    """How many captions were written anew, how many corrections queued, and what was not.

    `told_shortly` names corrections whose Instructions could not hold what was wrong: they only
    say that the text was.
    """

    captions: int = 0
    queued: int = 0
    left_out: tuple[NotQueued, ...] = ()
    told_shortly: tuple[str, ...] = ()


def wrong_now(day: Matchday) -> WrongNow:
    """What a changed fact, or a caption written anew, has made wrong; old and new side by side."""
    captions = [w for i, c in day.captions.items() if (w := _wrong_caption(day, i, c))]
    at_desks = [w for item in holdings(day.outbox).values() if (w := _wrong_there(day, item))]
    return WrongNow(tuple(captions), tuple(at_desks))


def send_corrections(
    space: Workspace,
    of: Match,
    caller: Caller,
    *,
    frames: Collection[str] = (),
    desks: Collection[str] = (),
    wrong: str = "",
) -> CorrectionReport:
    """Queues a correction for every desk that has a picture which is wrong now.

    With `frames` or `desks`, only those; `wrong` says in the photographer's own words what was
    wrong. Captions whose facts changed are written anew first. What the check holds, or only a
    person can write, is left out and named. `send_waiting` sends what was queued.
    """
    day = Matchday(space, of)
    wanted = {day.frame(name).id for name in frames}
    named = {desk_named(space, name).name for name in desks}
    written = _write_anew(day, wanted, caller)
    day = Matchday(space, of)
    prepared = Preparing(day, caller.now())
    queued, left_out, told_shortly = 0, [], []
    for item in wrong_now(day).at_desks:
        if (wanted and item.frame_id not in wanted) or (named and item.desk not in named):
            continue
        go_on(caller, f"{queued} corrections queued")
        try:
            new, shortly = _queue(prepared, item, wrong)
        except (AskPhotographer, BadFile) as error:
            left_out.append(NotQueued(item.handle, item.desk, (str(error),)))
            continue
        queued += new
        told_shortly += [f"{item.handle} at {item.desk}"] if new and shortly else []
    return CorrectionReport(written, queued, tuple(left_out), tuple(told_shortly))


def _write_anew(day: Matchday, wanted: Collection[str], caller: Caller) -> int:
    """New versions of the captions whose facts changed; those with a question stay."""
    count = 0
    for item in wrong_now(day).captions:
        if item.question or (wanted and item.frame_id not in wanted):
            continue
        line = day.captions[item.frame_id].caption.shorthand
        write_caption(day.space, day.match, item.frame_id, line, caller)
        count += 1
    return count


def _wrong_caption(day: Matchday, frame_id: str, known: CaptionOf) -> Wrong | None:
    """The frame's own caption against the facts."""
    if frame_id not in day.times:
        return None
    style = load_style(day.space.folder, known.caption.style)
    found = changed(
        {frame_id: known.caption}, day.situation, lambda _: style, load_acts(day.space.folder)
    )
    for change in found:
        fields = _telling(change.fields)
        if fields or change.question:
            old, new = change.old.fields, change.new.fields if change.new else PictureFields()
            return Wrong(
                frame_id,
                day.frames[frame_id].handle,
                old.description,
                new.description,
                fields,
                change.facts,
                change.question,
            )
    return None


def _wrong_there(day: Matchday, item: Delivery) -> Wrong | None:
    """What a desk has against the facts, and against the frame's newest caption."""
    sent, known = caption_sent(item), day.captions.get(item.frame_id)
    if sent is None or known is None or item.frame_id not in day.times:
        return None
    handle = day.frames[item.frame_id].handle
    now, facts, question = _now(day, item, known)
    fields = tuple(_differing(sent.fields, now.fields)) if now is not None else ()
    if not fields and not question:
        return None
    if now is not None:
        facts = tuple(_between(sent, now))
    return Wrong(
        item.frame_id,
        handle,
        sent.fields.description,
        now.fields.description if now is not None else "",
        fields,
        facts,
        question,
        item.desk,
        item.remote_name,
        item.id,
        any(
            d.corrects == item.id and d.state is not State.WITHDRAWN and d.kind is Kind.CORRECTION
            for d in day.outbox
        ),
    )


def _now(
    day: Matchday, item: Delivery, known: CaptionOf
) -> tuple[Caption | None, tuple[ChangedFact, ...], str]:
    """The caption as this desk would get it now; else what changed, and why a person must write.

    Text that was typed is not changed by itself: it stands until a fact in it has changed.
    """
    if known.caption.reading is None:
        facts = tuple(changed_facts(known.caption.facts, day.situation(item.frame_id)))
        if facts:
            return None, facts, "The text was typed: correct it by hand."
    desk = desk_named(day.space, item.desk)
    with_score = item.note != WITHOUT_SCORE
    try:
        made = caption_for_desk(day, item.frame_id, desk, with_score=with_score)
    except AskPhotographer as error:
        return None, (), str(error)
    return made.caption, (), ""


def _telling(fields: Collection[FieldChange]) -> tuple[FieldChange, ...]:
    return tuple(f for f in fields if f.field in TELLING)


def _differing(old: PictureFields, new: PictureFields) -> Iterator[FieldChange]:
    for name in telling_fields(old, new):
        yield FieldChange(name, _text(getattr(old, name)), _text(getattr(new, name)))


def _text(value: object) -> str:
    if isinstance(value, tuple):
        return "; ".join(_text(v) for v in value)
    return str(getattr(value, "name", "") or value or "")


def _between(old: Caption, new: Caption) -> Iterator[ChangedFact]:
    """What differs between two captions of one picture: who is shown, else who is told of."""
    shown = [{p.name for p in c.fields.persons} for c in (old, new)]
    told = [{p.name for p in c.facts.people} for c in (old, new)]
    was, is_now = shown if shown[0] != shown[1] else told
    yield from (ChangedFact("person", name, "") for name in sorted(was - is_now))
    yield from (ChangedFact("person", "", name) for name in sorted(is_now - was))
    for what in ("score", "minute", "date"):
        before, after = getattr(old.facts, what), getattr(new.facts, what)
        if before != after:
            yield ChangedFact(what, str(before or ""), str(after or ""))


def _queue(prepared: Preparing, item: Wrong, said: str) -> tuple[bool, bool]:
    """Queues the correction of one delivery: whether it is new, whether it only says that the text
    was wrong. Neither where one is on its way already."""
    if item.on_the_way:
        return False, False
    if item.question:
        raise AskPhotographer(item.question.rstrip("."), next_step="Caption it anew.")
    day = prepared.day
    frame, desk = day.frames[item.frame_id], desk_named(day.space, item.desk)
    has = next(d for d in day.outbox if d.id == item.delivery)
    made = prepared.of(frame, desk, taken=frozenset())
    if made.reason in (Reason.CHECK, Reason.CARE, Reason.REVIEW):
        raise AskPhotographer(". ".join(made.why), thing=frame.handle)
    style = load_style(day.space.folder, desk.style)
    fields, shortly = corrected(made.caption.fields, item.facts, said, style.language)
    name = _name(prepared, desk, made.caption.file_name, style)
    row = replace(
        prepared.row(frame, desk, made, Urgency.CORRECTION),
        made_from=f"{made.made_from} corrects {has.id}",
        remote_name=name,
        state=State.QUEUED,
        reason="",
        not_before="",
        words="",
        kind=Kind.CORRECTION,
        corrects=has.id,
        note=fields.instructions,
        caption=to_json(replace(made.caption.caption, fields=fields)),
    )
    caption = replace(made.caption, fields=fields)
    picture = prepared.picture(frame, replace(made, caption=caption))
    _, new = queue(day.space, day.match, stored(day.space, day.match, row, picture))
    return new, shortly


def _name(prepared: Preparing, desk: Desk, plain: str, style: HouseStyle) -> str:
    """The style's name for the new caption, marked as a correction, not taken at the desk."""
    taken = {d.remote_name for d in prepared.rows if d.desk == desk.name}
    count = 1
    while (name := correction_name(style, plain, count)) in taken:
        count += 1
    return name
