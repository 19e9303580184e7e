"""Captions of a match: written from one line, checked, and given to each desk in its style."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from setpiece.captions.caption import Caption
from setpiece.captions.check import check
from setpiece.captions.compose import Creator, Marks, compose
from setpiece.captions.fields import PictureFields
from setpiece.captions.findings import Finding
from setpiece.captions.naming import file_name, folder_name
from setpiece.captions.style import HouseStyle, Recipe
from setpiece.captions.typed_over import typed_over
from setpiece.errors import AskPhotographer, NotFound, WrongUse
from setpiece.store.captions import add_caption, add_overrule, overruled
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.desk.desks import Desk
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


@dataclass(frozen=True, slots=True)
class DeskCaption:
    """A frame's caption in a desk's house style, ready for a rendition.

    `keep` names what of the camera's own data goes out beside the usual; `folder` is where the
    file goes at the desk.
    """

    version: int
    caption: Caption
    fields: PictureFields
    recipe: Recipe
    file_name: str
    ascii_iim: bool
    keep: frozenset[str]
    folder: str
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
    caption = _compose(day, frame.id, line, style)
    version = add_caption(space, of, frame.id, to_json(caption), caller.now())
    findings = _check(day, frame.id, caption, style)
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
        raise WrongUse("there is no such field", thing=", ".join(sorted(unknown)))
    fields = replace(known.caption.fields, **changed)  # type: ignore[arg-type]
    style, acts = load_style(space.folder, known.caption.style), load_acts(space.folder)
    caption = typed_over(known.caption, fields, day.situation(frame.id), style, acts)
    version = add_caption(space, of, frame.id, to_json(caption), caller.now())
    return Written(frame.id, frame.handle, version, caption, _check(day, frame.id, caption, style))


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
        found = _check(day, frame_id, known.caption, style)
        kept = reasons.get((frame_id, known.version), {})
        answer.append(
            Written(
                frame_id,
                handle,
                known.version,
                known.caption,
                tuple(f for f in found if not _set_aside(f, kept)),
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
        raise WrongUse("this cannot be overruled", thing=f"{written.handle}: {finding.message}")
    if not reason.strip():
        raise WrongUse("a finding is set aside with a reason", thing=written.handle)
    add_overrule(space, of, written.frame_id, written.version, code, reason, caller.now())


def caption_for_desk(
    day: Matchday,
    frame_id: str,
    desk: Desk,
    taken: Collection[str] = (),
    *,
    with_score: bool = True,
) -> DeskCaption:
    """The caption as this desk wants it, checked; what was overruled is not found again.

    A caption from shorthand is written again in the desk's style and language; text typed over
    a caption goes out as it was typed. `taken` are file names the desk knows from other
    pictures. Without `with_score` no score is written (a goal under review). Raises
    AskPhotographer where the facts no longer carry the line.
    """
    known = day.captions.get(frame_id)
    handle = day.frames[frame_id].handle
    if known is None:
        raise AskPhotographer("this frame has no caption", thing=handle, next_step="Caption it.")
    style = load_style(day.space.folder, desk.style)
    if not with_score:
        style = replace(style, score_with="never")
    caption = known.caption
    if caption.reading is not None:
        caption = _compose(day, frame_id, caption.shorthand, style)
    kept = overruled(day.space, day.match).get((frame_id, known.version), {})
    findings = tuple(f for f in _check(day, frame_id, caption, style) if not _set_aside(f, kept))
    frame = day.frames[frame_id]
    letter = day.cameras[frame.camera_id].letter if frame.camera_id in day.cameras else ""
    situation, number = day.situation(frame_id), frame.file_number
    return DeskCaption(
        version=known.version,
        caption=caption,
        fields=caption.fields,
        recipe=style.recipe,
        file_name=file_name(
            style, caption, situation, camera=letter, number=number, frame=frame_id, taken=taken
        ),
        folder=folder_name(
            desk.address.folder,
            style,
            caption,
            situation,
            camera=letter,
            number=number,
            frame=frame_id,
        ),
        ascii_iim=style.iim_ascii,
        keep=frozenset(style.keep),
        findings=findings,
    )


def _compose(day: Matchday, frame_id: str, line: str, style: HouseStyle) -> Caption:
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


def _check(
    day: Matchday, frame_id: str, caption: Caption, style: HouseStyle
) -> tuple[Finding, ...]:
    return check(caption, day.situation(frame_id), style, load_acts(day.space.folder))


def _set_aside(finding: Finding, reasons: dict[str, str]) -> bool:
    return finding.can_overrule and finding.code in reasons
