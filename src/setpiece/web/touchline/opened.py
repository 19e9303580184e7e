"""The opened frame: its facts as a credit sentence, its caption as printed, the check in words."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.instants import Interval
from setpiece.pictures.look import Look
from setpiece.store.frames import StoredFrame
from setpiece.web.touchline.checked import Finding, errors_of, findings_of, holds
from setpiece.web.touchline.crops import crop_text, crop_words, edit_of
from setpiece.web.touchline.report import passage_frames, passage_of
from setpiece.web.touchline.thumbs import (
    MOST,
    Thumb,
    look_mark,
    picture_of,
    place_words,
    sharpest_of,
    thumb,
)
from setpiece.web.wording import Wording
from setpiece.work.matchday import Matchday


@dataclass(frozen=True, slots=True)
class CaptionShown:
    """A caption as it would be printed, with the line it was typed as."""

    headline: str
    description: str
    typed: str
    version: int
    findings: tuple[Finding, ...]
    holds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Opened:
    """One opened frame with the frames before and after it in its passage.

    `earlier` and `later` count those of the passage that are not shown. `previous` and `next`
    are frame ids, empty at the ends of the passage.
    """

    frame_id: str
    handle: str
    passage_id: str
    picture: str
    full: str
    sharpest: str
    crop: str
    width_px: int
    height_px: int
    place: str
    credit: str
    doubts: str
    trouble: str
    decision: str
    caption: CaptionShown | None
    before: tuple[Thumb, ...]
    after: tuple[Thumb, ...]
    earlier: int
    later: int
    previous: str
    next: str
    label: str
    alt: str


def opened(day: Matchday, frame_id: str, words: Wording) -> Opened:
    """The view of one frame of the match."""
    passage = passage_of(day, frame_id)
    frame_ids = passage_frames(day)[passage]
    at = frame_ids.index(frame_id)
    best = sharpest_of(day, frame_ids)
    before, after = frame_ids[max(0, at - MOST) : at], frame_ids[at + 1 : at + 1 + MOST]
    frame, look = day.frames[frame_id], day.looks.get(frame_id)
    place = day.places.get(frame_id)
    return Opened(
        frame_id=frame_id,
        handle=frame.handle,
        passage_id=passage,
        picture=picture_of(day, frame_id, "m"),
        full=f"/match/{day.match.folder}/full/{frame_id}.jpg?look={look_mark(frame.look or '')}",
        sharpest=_sharpest(look),
        crop=crop_text(edit_of(day, frame_id).crop),
        width_px=look.width_px if look else 0,
        height_px=look.height_px if look else 0,
        place=place_words(day, frame_id, words),
        credit=_credit(day, frame, at, frame_ids, words),
        doubts=(
            words("report.not-sure", doubts="; ".join(map(words.told, place.doubts)))
            if place and place.doubts
            else ""
        ),
        trouble=_trouble(day, frame, words),
        decision=frame.decision.value,
        caption=_caption(day, frame_id, words),
        before=tuple(thumb(day, i, best, errors_of(day, i, words), words) for i in before),
        after=tuple(thumb(day, i, best, errors_of(day, i, words), words) for i in after),
        earlier=at - len(before),
        later=len(frame_ids) - at - 1 - len(after),
        previous=frame_ids[at - 1] if at else "",
        next=frame_ids[at + 1] if at + 1 < len(frame_ids) else "",
        label=words("opened.label", handle=frame.handle),
        alt=_alt(day, frame, words),
    )


def _sharpest(look: Look | None) -> str:
    """The middle of the sharpest part, as shares of width and height."""
    if look is None or look.focus is None:
        return "0.5 0.5"
    x, y, width, height = look.focus.sharpest_tile
    return f"{x + width / 2:.4f} {y + height / 2:.4f}"


def _alt(day: Matchday, frame: StoredFrame, words: Wording) -> str:
    """What is in the picture as far as anybody said, for who cannot see it."""
    known = day.captions.get(frame.id)
    told = known.caption.fields.alt_text or known.caption.fields.headline if known else ""
    return told or words("opened.label", handle=frame.handle)


def _caption(day: Matchday, frame_id: str, words: Wording) -> CaptionShown | None:
    known = day.captions.get(frame_id)
    if known is None:
        return None
    return CaptionShown(
        headline=known.caption.fields.headline,
        description=known.caption.fields.description,
        typed=known.caption.shorthand,
        version=known.version,
        findings=(found := findings_of(day, frame_id, words)),
        holds=() if any(f.tone for f in found) else holds(day, known.caption, words),
    )


def _trouble(day: Matchday, frame: StoredFrame, words: Wording) -> str:
    look = day.looks.get(frame.id)
    if look is None:
        return ""
    if not look.picture:
        return words("opened.no-picture", why=words.told(look.why))
    return words("opened.damaged", why=words.told(look.why)) if look.damaged and look.why else ""


def _credit(
    day: Matchday, frame: StoredFrame, at: int, frame_ids: tuple[str, ...], words: Wording
) -> str:
    sentences = [
        _where(day, frame.id, at, frame_ids, words),
        ", ".join([*_gear(day, frame, words), _when(day, frame, words)]),
        words(f"opened.decided-{frame.decision.value}" if frame.decision else "opened.undecided"),
    ]
    if cropped := crop_words(day, frame.id, words):
        sentences.append(cropped)
    if frame.protected:
        sentences.append(words("opened.protected"))
    return " ".join(f"{s}." for s in sentences if s)


def _where(
    day: Matchday, frame_id: str, at: int, frame_ids: tuple[str, ...], words: Wording
) -> str:
    if len(frame_ids) == 1:
        return words("opened.only")
    place = words.place_in(at + 1, len(frame_ids))
    if sharpest_of(day, frame_ids) == frame_id:
        return words("opened.sharpest", place=place)
    ranked = day.ranks.get(frame_id)
    return words("opened.reason", place=place, reason=ranked.reason) if ranked else place


def _gear(day: Matchday, frame: StoredFrame, words: Wording) -> list[str]:
    told = day.metadata[frame.id]
    camera = day.cameras.get(frame.camera_id) if frame.camera_id is not None else None
    said = [words("opened.camera", letter=camera.letter) if camera else words("opened.no-camera")]
    if told.focal_length_mm:
        said.append(words("opened.focal", mm=f"{told.focal_length_mm:g}"))
    if told.exposure_s:
        time = exposure_words(told.exposure_s)
        if told.f_number:
            said.append(words("opened.exposure", time=time, f=f"{told.f_number:g}"))
        else:
            said.append(words("opened.time-only", time=time))
    return said


def _when(day: Matchday, frame: StoredFrame, words: Wording) -> str:
    at = day.times.get(frame.id)
    if at is None:
        return words("opened.no-time")
    fit = day.fits.get(frame.camera_id) if frame.camera_id is not None else None
    sure = at.width_s / 2
    time = words.clock(at.middle, day.fixture.time_zone, tenths=sure < 0.5)
    said = words("opened.at", time=time, within=within(at, words))
    if fit is None or not fit.fitted:
        said += ", " + words("opened.not-compared")
    return said


def within(at: Interval, words: Wording) -> str:
    """How sure a time is, in words: half the interval's width."""
    half_s = at.width_s / 2
    if half_s < 0.15:
        return words("opened.within-tenth")
    if half_s < 1:
        return words("opened.within-tenths", n=round(half_s * 10))
    if half_s < 60:
        return words.count("opened.within-seconds", max(1, round(half_s)))
    return words.count("opened.within-minutes", round(half_s / 60))


def exposure_words(exposure_s: float) -> str:
    """`1/1600`, or `0.5` and longer as seconds."""
    if exposure_s < 0.3:
        return f"1/{round(1 / exposure_s)}"
    return f"{exposure_s:g}"
