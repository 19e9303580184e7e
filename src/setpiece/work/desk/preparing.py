"""One frame for one desk: its caption there, its file, and what it must wait for."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import xxhash

from setpiece.captions.check_sending import Delivered, check_sending
from setpiece.captions.fields import PictureFields, over_long
from setpiece.captions.findings import Finding, Level
from setpiece.captions.style import Recipe as StyleRecipe
from setpiece.errors import AskPhotographer
from setpiece.match.instants import Instant
from setpiece.pictures.iptc import write_fields
from setpiece.pictures.kind import HEAD_BYTES, kind_of
from setpiece.pictures.rendition import Edit, Recipe, render
from setpiece.store.copying import write_proved
from setpiece.store.delivery import Delivery, Kind, Reason, State
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision, StoredFrame
from setpiece.store.matches import Match, match_folder
from setpiece.store.news import newest_number
from setpiece.store.workspace import Workspace
from setpiece.work.desk.caption import DeskCaption, caption_for_desk
from setpiece.work.desk.desks import Desk, UnderReview
from setpiece.work.desk.holdings import holdings
from setpiece.work.desk.terms import FREE, PictureTerms, terms_of
from setpiece.work.desk.worth import OF_AN_EVENT
from setpiece.work.edits import edits_of
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_style

SET = "set"
"""The folder of a match that holds what was made for the desks."""

WITHOUT_SCORE = "Sent without a score: its goal was under review"

_REVIEW = "goal under review"
_CARE = "people to protect"
_COUNTS = (State.QUEUED, State.SENDING, State.UNKNOWN, State.DELIVERED)
"""States that count towards a quota."""


@dataclass(frozen=True, slots=True)
class Prepared:
    """A frame's caption for a desk. `reason` is what it must wait for, None to go at once.

    `why` says so in words; `until` is when an embargo ends. `made_from` tells everything that
    the file is made from.
    """

    caption: DeskCaption
    edit: Edit
    made_from: str
    with_score: bool = True
    reason: Reason | None = None
    until: Instant | None = None
    why: tuple[str, ...] = ()


class Preparing:
    """Prepares frames of a match as it stands at one moment; knows what the outbox holds.

    `rows` is the outbox; whoever adds to it adds here too.
    """

    def __init__(self, day: Matchday, now: Instant) -> None:
        self.day = day
        self.now = now
        self.looked = newest_number(day.space)  # before anything is read
        self.rows: list[Delivery] = list(day.outbox)
        self.terms = terms_of(day.space, day.match)
        self.edits = edits_of(day.space, day.match)

    @cached_property
    def folder(self) -> Path:
        """The match's folder."""
        return match_folder(self.day.space, self.day.match)

    def of(
        self,
        frame: StoredFrame,
        desk: Desk,
        *,
        counted: Delivery | None = None,
        taken: Collection[str] | None = None,
    ) -> Prepared:
        """The frame for the desk. Raises AskPhotographer where it can never go there as it is.

        `counted` is the delivery in the outbox that this is about, which stands in no quota
        twice. `taken` are the file names it must not have, by default those in use there.
        """
        names = self._names_taken(frame, desk) if taken is None else taken
        caption, with_score = self._caption(frame, desk, names)
        found = caption.findings
        terms = self.terms.get(frame.id, FREE)
        caption = replace(caption, fields=self._dressed(caption.fields, desk, terms))
        found += self._too_long(caption)
        edit = self.edits.get(frame.id, Edit())
        made_from = self._made_from(frame, caption, edit)
        sending = self._sending(frame, desk, terms, counted)
        for finding in sending:
            if finding.code in ("picture killed", "exclusive"):
                raise AskPhotographer(finding.message, thing=frame.handle)
        reason, why = _reason(frame, found, sending)
        until = _until(desk, terms) if reason is Reason.EMBARGO else None
        return Prepared(caption, edit, made_from, with_score, reason, until, why)

    def _caption(
        self, frame: StoredFrame, desk: Desk, taken: Collection[str]
    ) -> tuple[DeskCaption, bool]:
        """The caption in the desk's style, and whether it may hold a score.

        A desk may want goals under review without it; what it got so stays so, for that is no
        error to correct.
        """
        caption = caption_for_desk(self.day, frame.id, desk, taken)
        if caption.caption.reading is None:
            return caption, True
        has = holdings(self.rows).get((frame.id, desk.name))
        plain = has is not None and has.note == WITHOUT_SCORE
        wanted = desk.settings.under_review is UnderReview.WITHOUT_SCORE
        if not plain and not (wanted and _has(caption.findings, _REVIEW)):
            return caption, True
        caption = caption_for_desk(self.day, frame.id, desk, taken, with_score=False)
        kept = tuple(f for f in caption.findings if f.code != _REVIEW)
        return replace(caption, findings=kept if wanted else caption.findings), False

    def row(self, frame: StoredFrame, desk: Desk, made: Prepared, urgency: int) -> Delivery:
        """The delivery to put in the outbox, without its file."""
        caption, place = made.caption, self.day.places.get(frame.id)
        happened, weight = self._event(frame, caption)
        return Delivery(
            id=0,
            match_id=self.day.match.id,
            frame_id=frame.id,
            caption_version=caption.version,
            desk=desk.name,
            made_from=made.made_from,
            content="",
            path="",
            remote_folder=caption.folder,
            remote_name=caption.file_name,
            size=0,
            state=State.WAITING if made.reason else State.QUEUED,
            queued=self.now.isoformat(),
            kind=Kind.PICTURE,
            urgency=urgency,
            reason=made.reason or "",
            not_before=made.until.isoformat() if made.until else "",
            words=". ".join(made.why),
            note="" if made.with_score else WITHOUT_SCORE,
            period=place.state.period if place else None,
            happened=happened.isoformat(),
            weight=weight,
            caption=to_json(replace(caption.caption, fields=caption.fields)),
            looked=self.looked,
        )

    def with_file(self, row: Delivery, frame: StoredFrame, made: Prepared) -> Delivery:
        """The delivery with its rendition made and proved on disk. Raises BadFile."""
        picture = self.picture(frame, made)
        return stored(self.day.space, self.day.match, row, picture)

    def picture(self, frame: StoredFrame, made: Prepared, long_side_px: int | None = None) -> bytes:
        """The rendition's bytes; with `long_side_px` no larger than that."""
        data = (self.folder / frame.best_file).read_bytes()
        recipe = recipe_of(made.caption.recipe, long_side_px)
        kind = kind_of(data[:HEAD_BYTES])
        jpeg = render(data, kind, made.edit, recipe)
        caption = made.caption
        return write_fields(
            jpeg,
            caption.fields,
            keep=caption.keep,
            original=data,
            ascii_iim=caption.ascii_iim,
        )

    def _dressed(self, fields: PictureFields, desk: Desk, terms: PictureTerms) -> PictureFields:
        """The fields with what binds this picture, told in the desk's language."""
        language = load_style(self.day.space.folder, desk.style).language
        zone = self.day.fixture.time_zone
        return terms.dressed(fields, language, _until(desk, terms), zone)

    def _names_taken(self, frame: StoredFrame, desk: Desk) -> set[str]:
        """Names at the desk that belong to other pictures, or that it has of this one."""
        return {
            d.remote_name
            for d in self.rows
            if d.desk == desk.name
            and (d.frame_id != frame.id or d.state in (State.DELIVERED, State.SENDING))
            and not (d.state is State.WITHDRAWN and d.attempts == 0)
        }

    def _too_long(self, caption: DeskCaption) -> tuple[Finding, ...]:
        """Fields that the picture's own terms made longer than they may be."""
        known = {spec.name for spec, _ in over_long(caption.caption.fields)}
        return tuple(
            Finding(Level.ERROR, "over-long field", f"{spec.name} is too long: {text}", spec.name)
            for spec, text in over_long(caption.fields)
            if spec.name not in known
        )

    def _made_from(self, frame: StoredFrame, caption: DeskCaption, edit: Edit) -> str:
        content = next(f.content for f in self.day.files if f.path == frame.best_file)
        fields = xxhash.xxh3_64_hexdigest(to_json(caption.fields))
        cropped = "" if edit == Edit() else f" {edit}"
        plain = " ASCII" if caption.ascii_iim else ""
        plain += f" with {' '.join(sorted(caption.keep))}" if caption.keep else ""
        return f"{content} {caption.recipe}{cropped}{plain} {fields}"

    def _sending(
        self, frame: StoredFrame, desk: Desk, terms: PictureTerms, counted: Delivery | None
    ) -> tuple[Finding, ...]:
        """What the check says of sending this frame there now."""
        situation = self.day.situation(frame.id)
        period = situation.state.period
        sent = [
            d
            for d in self.rows
            if d.desk == desk.name and d.kind is Kind.PICTURE and d.state in _COUNTS
        ]
        free = counted is not None and counted.state is State.QUEUED  # it has its place already
        delivered = Delivered(
            in_match=0 if free else sum(d.period not in _EXTRA_TIME for d in sent),
            in_half=0 if free or period is None else sum(d.period == period for d in sent),
            in_extra_time=0 if free else sum(d.period in _EXTRA_TIME for d in sent),
            embargo_until=_until(desk, terms),
            exclusive_to=terms.only_for(desk.name),
            desk=desk.name,
            killed=bool(terms.killed),
        )
        style = load_style(self.day.space.folder, desk.style)
        return tuple(check_sending(situation, style, self.now, delivered))

    def _event(self, frame: StoredFrame, caption: DeskCaption) -> tuple[Instant, float]:
        """When what the picture shows happened, and what it is worth fresh."""
        fold = self.day.fold
        for entry_id in caption.caption.facts.entries:
            entry = fold.entry(entry_id)
            if entry is not None:
                return fold.when(entry).middle, OF_AN_EVENT
        return self.day.times[frame.id].middle, 1.0


_EXTRA_TIME = (3, 4)


def recipe_of(style: StyleRecipe, long_side_px: int | None = None) -> Recipe:
    """The house style's recipe for the pictures room; with `long_side_px` no larger than that."""
    longest = style.long_side_px
    if long_side_px is not None:
        longest = min(longest, long_side_px) if longest else long_side_px
    return Recipe(longest, style.quality, style.max_bytes or None)


def stored(space: Workspace, of: Match, row: Delivery, data: bytes) -> Delivery:
    """The delivery with these bytes as its file, proved on disk under a name of its own."""
    folder = match_folder(space, of)
    content = xxhash.xxh3_128_hexdigest(data)
    path = Path(SET) / row.desk / row.remote_name
    whole = folder / path
    if whole.exists() and xxhash.xxh3_128_hexdigest(whole.read_bytes()) != content:
        path = path.with_name(f"{path.stem}-{content[:8]}{path.suffix}")
    write_proved(data, folder / path)
    return replace(row, content=content, path=path.as_posix(), size=len(data))


def _until(desk: Desk, terms: PictureTerms) -> Instant | None:
    """When both embargoes, the desk's and the picture's, are over."""
    times = (desk.settings.embargo_until, terms.embargo_until)
    return max((t for t in times if t is not None), default=None)


def _has(found: Sequence[Finding], code: str) -> bool:
    return any(f.code == code and f.level is not Level.REMARK for f in found)


def _reason(
    frame: StoredFrame, found: Sequence[Finding], sending: Sequence[Finding]
) -> tuple[Reason | None, tuple[str, ...]]:
    """What the frame must wait for, and why in words; a person's matters first."""
    if frame.decision in (Decision.HOLD, Decision.SPIKE):
        said = "on hold" if frame.decision is Decision.HOLD else "spiked"
        return Reason.DECISION, (f"The frame is {said}",)
    open_ones = [f for f in found if f.level is not Level.REMARK]
    why = tuple(f.message for f in open_ones)
    if open_ones:
        codes = {f.code for f in open_ones}
        if _CARE in codes:
            return Reason.CARE, why
        return (Reason.REVIEW if codes == {_REVIEW} else Reason.CHECK), why
    for code, reason in (("embargo", Reason.EMBARGO), ("quota", Reason.QUOTA)):
        why = tuple(f.message for f in sending if f.code == code)
        if why:
            return reason, why
    return None, ()
