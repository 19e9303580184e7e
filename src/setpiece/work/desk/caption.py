"""A frame's caption as one desk wants it: in its style and language, under its names, checked."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from setpiece.captions.caption import Caption
from setpiece.captions.fields import PictureFields
from setpiece.captions.findings import Finding
from setpiece.captions.naming import file_name, folder_name
from setpiece.captions.style import Recipe
from setpiece.errors import AskPhotographer
from setpiece.store.captions import overruled
from setpiece.work.caption import checked, composed, not_overruled
from setpiece.work.desk.desks import Desk
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_style


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
        caption = composed(day, frame_id, caption.shorthand, style)
    kept = overruled(day.space, day.match).get((frame_id, known.version), {})
    findings = not_overruled(checked(day, frame_id, caption, style), kept)
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
