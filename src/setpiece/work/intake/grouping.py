"""Files to frames: after every run of taking in, all files of a match are looked at together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass

from setpiece.frames.identity import FileFacts, FrameGroup, FrameKey, handle, join
from setpiece.match.instants import Instant
from setpiece.pictures.metadata import CameraMetadata
from setpiece.store.files import StoredFile, files_of
from setpiece.store.forms import from_json
from setpiece.store.frames import (
    Camera,
    FrameDraft,
    camera_for,
    frames_of,
    held_elsewhere,
    save_frames,
)
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace


@dataclass(frozen=True, slots=True)
class Grouped:
    """How many frames hold a picture, and which are new or have another best file now.

    `changed` gives the path of the best file by frame id.
    """

    frames: int
    changed: dict[str, str]


def group_frames(space: Workspace, of: Match, at: Instant) -> Grouped:
    """Brings the frames of a match up to date with its files.

    A frame keeps the id it first had, so its caption and receipts stay with it.
    """
    files = files_of(space, of)
    by_facts = {f.facts: f for f in files}
    before = {f.id: f for f in frames_of(space, of)}
    groups = _joined(space, of, files, before.keys())
    cameras: dict[tuple[str, str, str], Camera] = {}
    drafts = []
    changed = {}
    for group in groups:
        draft = _draft(space, group, by_facts, cameras)
        old = before.get(draft.id)
        if (
            old is None
            or (old.best_file, old.damaged, old.protected, old.note)
            != (draft.best_file, draft.damaged, draft.protected, draft.note)
            or any(by_facts[f].frame_id != draft.id for f in group.files)
        ):
            drafts.append(draft)
        if old is None or old.best_file != draft.best_file:
            changed[draft.id] = draft.best_file
    if drafts:
        save_frames(space, of, drafts, at)
    return Grouped(sum(1 for g in groups if g.has_picture), changed)


def _joined(
    space: Workspace, of: Match, files: tuple[StoredFile, ...], before: Collection[str]
) -> tuple[FrameGroup, ...]:
    """The frames, none under the id that it has in another match which it was taken into too."""
    existing = _existing(files)
    new = [f.facts for f in files if f.frame_id is None]
    groups = join(existing, new)
    elsewhere: set[str] = set()
    while met := held_elsewhere(space, of, [g.id for g in groups if g.id not in before]):
        elsewhere |= met
        groups = join(existing, new, elsewhere)
    return groups


def _existing(files: tuple[StoredFile, ...]) -> list[FrameGroup]:
    members: dict[str, list[FileFacts]] = defaultdict(list)
    for f in files:
        if f.frame_id is not None:
            members[f.frame_id].append(f.facts)
    return [
        FrameGroup(frame_id, FrameKey.of(inside[0]), tuple(inside))
        for frame_id, inside in members.items()
    ]


def _draft(
    space: Workspace,
    group: FrameGroup,
    files: dict[FileFacts, StoredFile],
    cameras: dict[tuple[str, str, str], Camera],
) -> FrameDraft:
    best = files[group.best]
    told = next((f for f in group.files if f.camera_time), group.best)
    metadata = from_json(CameraMetadata, files[told].metadata)
    body = (metadata.make, metadata.model, metadata.serial)
    if any(body) and body not in cameras:
        cameras[body] = camera_for(space, *body)
    camera = cameras.get(body)
    number = group.key.file_number if group.key.file_number is not None else told.file_number
    return FrameDraft(
        id=group.id,
        handle=handle(camera.letter, number) if camera else best.name,
        camera_id=camera.id if camera else None,
        camera_time=told.camera_time,
        file_number=number,
        metadata=files[told].metadata,
        best_file=best.path,
        protected=any(files[f].protected for f in group.files),
        damaged=group.best.damaged,
        note="; ".join(group.doubts),
        contents=tuple(f.content for f in group.files if f.is_picture),
        former_ids=group.former_ids,
        attachments=tuple(files[f].path for f in group.files if not f.is_picture),
    )
