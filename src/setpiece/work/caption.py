"""Captions of a match: written from one line, typed over, checked, overruled."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from setpiece.captions.caption import Caption
from setpiece.captions.check import check
from setpiece.captions.compose import Creator, Marks, compose
from setpiece.captions.fields import PictureFields
from setpiece.captions.findings import Finding
from setpiece.captions.style import HouseStyle
from setpiece.captions.typed_over import typed_over
from setpiece.errors import NotFound, WrongUse
from setpiece.store.captions import add_caption, add_overrule, overruled
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday
from setpiece.work.settings import read_settings
from setpiece.work.style_files import load_acts, load_style


@dataclass(frozen=True, slots=True)
class Written:
    """A caption as written, and what the check finds in it."""

    frame_id: str
    handle: str
    version: int
    caption: Caption
    findings: tuple[Finding, ...]


def write_caption(
    space: Workspace, of: Match, frame_name: str, line: str, caller: Caller
) -> Written:
    """Writes a frame's caption from one line of shorthand and keeps it as a new version.

    Raises ShorthandError or Choices where the line leaves a question; then nothing is kept.
    """
    day = Matchday(space, of)
    frame = day.frame(frame_name)
    style = load_style(space.folder, read_settings(space).style)
    caption = composed(day, frame.id, line, style)
    version = add_caption(space, of, frame.id, to_json(caption), caller.now())
    findings = checked(day, frame.id, caption, style)
    return Written(frame.id, frame.handle, version, caption, findings)


def retype(space: Workspace, of: Match, frame_name: str, caller: Caller, **changed: str) -> Written:
    """Keeps fields typed over a caption (`headline`, `description`, ...) as a new version."""
    day = Matchday(space, of)
    frame = day.frame(frame_name)
    known = day.captions.get(frame.id)
    if known is None:
        raise NotFound(
            "this frame has no caption yet", thing=frame.handle, next_step="Caption it first."
        )
    unknown = set(changed) - set(PictureFields.__dataclass_fields__)
    if unknown:
        raise WrongUse(
            "there is no such field",
            thing=", ".join(sorted(unknown)),
            next_step=f"Fields: {', '.join(PictureFields.__dataclass_fields__)}.",
        )
    fields = replace(known.caption.fields, **changed)  # type: ignore[arg-type]
    style, acts = load_style(space.folder, known.caption.style), load_acts(space.folder)
    caption = typed_over(known.caption, fields, day.situation(frame.id), style, acts)
    version = add_caption(space, of, frame.id, to_json(caption), caller.now())
    return Written(frame.id, frame.handle, version, caption, checked(day, frame.id, caption, style))


def check_frames(day: Matchday, names: Iterable[str] = ()) -> tuple[Written, ...]:
    """What the check finds in captions: of the frames named, else of every frame captioned."""
    chosen = [day.frame(n).id for n in names] or [
        i for i in day.captions if day.frames[i].decision is not Decision.SPIKE
    ]
    reasons = overruled(day.space, day.match)
    answer = []
    for frame_id in chosen:
        handle = day.frames[frame_id].handle
        if frame_id not in day.captions:
            raise NotFound(
                "this frame has no caption yet", thing=handle, next_step="Caption it first."
            )
        known = day.captions[frame_id]
        style = load_style(day.space.folder, known.caption.style)
        found = checked(day, frame_id, known.caption, style)
        kept = reasons.get((frame_id, known.version), {})
        answer.append(
            Written(
                frame_id,
                handle,
                known.version,
                known.caption,
                not_overruled(found, kept),
            )
        )
    return tuple(answer)


def overrule(
    space: Workspace, of: Match, frame_name: str, code: str, reason: str, caller: Caller
) -> None:
    """Sets an error aside, or answers a doubt, for this version of a caption, with the reason."""
    day = Matchday(space, of)
    (written,) = check_frames(day, [frame_name])
    finding = next((f for f in written.findings if f.code == code), None)
    if finding is None:
        raise NotFound(
            "the check has no such finding here",
            thing=f"{written.handle} {code}",
            next_step="See `setpiece check`.",
        )
    if not finding.can_overrule:
        raise WrongUse(
            "this cannot be overruled",
            thing=f"{written.handle}: {finding.message}",
            next_step="Correct the caption, or the fact that it contradicts.",
        )
    if not reason.strip():
        raise WrongUse(
            "a finding is set aside with a reason", thing=written.handle, next_step="Say why."
        )
    add_overrule(space, of, written.frame_id, written.version, code, reason, caller.now())


def composed(day: Matchday, frame_id: str, line: str, style: HouseStyle) -> Caption:
    """The caption that a line gives for a frame, in a style. Raises ShorthandError, Choices."""
    settings = read_settings(day.space)
    creator = Creator(settings.photographer, "Photographer", settings.photographer)
    metadata = day.metadata[frame_id]
    handle = day.frames[frame_id].handle
    marks = Marks(guid=frame_id, supplier_image_id=handle, rating=metadata.rating)
    return compose(
        line,
        day.situation(frame_id),
        style,
        load_acts(day.space.folder),
        creator=creator,
        marks=marks,
    )


def checked(
    day: Matchday, frame_id: str, caption: Caption, style: HouseStyle
) -> tuple[Finding, ...]:
    """What the check finds in a caption, overruled or not."""
    return check(caption, day.situation(frame_id), style, load_acts(day.space.folder))


def not_overruled(findings: Iterable[Finding], reasons: Collection[str]) -> tuple[Finding, ...]:
    """The findings that still stand; `reasons` has the codes that were set aside."""
    return tuple(f for f in findings if not (f.can_overrule and f.code in reasons))
