"""What an archive holds of a match beside its files: what was said of them, in open forms.

frames/...            the originals as they came off the card, never changed
frames/....xmp        one XMP sidecar a frame: its caption and what is known of it
set/, sent/, ...      what was made for desks
frames.json           one row a frame: camera, true time, minute, score, decision
fixture.json, log.json, sheet.json
record/*.jsonl        the database's rows of this match, one file a table
about.txt             what this folder is, for whoever finds it
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from zoneinfo import ZoneInfo

from setpiece.captions.fields import PictureFields
from setpiece.errors import NotFound, SetpieceError
from setpiece.match.log_exchange import write_log_json
from setpiece.match.sheet_exchange import write_sheet_json
from setpiece.pictures.iptc import sidecar
from setpiece.store.bag import PAYLOAD, files_below, safe
from setpiece.store.forms import to_json
from setpiece.store.frames import StoredFrame
from setpiece.store.matches import PLACES, Match, match_folder
from setpiece.store.outbox import State
from setpiece.store.records import match_records, workspace_records
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.intake.cards import Trouble
from setpiece.work.matchday import Matchday

RECORD = f"{PAYLOAD}record/"

_ABOUT = """\
This folder holds the pictures of one football match and everything that was said of them.
It is a bag (BagIt 1.0, RFC 8493): manifest-sha512.txt lists every file with its SHA-512.

frames/      the files as the cameras wrote them, byte for byte
  NAME.xmp   beside a picture: its caption (IPTC Photo Metadata in XMP)
set/ sent/   what was made for picture desks
frames.json  one row a frame: camera, true time, match minute, score
fixture.json, sheet.json, log.json   the match, its people, what happened
record/      the rows of the database that this match had, one JSON object a line
"""
_ABOUT_SPACE = """\
This folder holds what belongs to no single match: settings, house styles, desks (never their
passwords) and the ledger. It is a bag (BagIt 1.0, RFC 8493).
record/ has the rows of the database, one JSON object a line.
"""


@dataclass(frozen=True, slots=True)
class Kept:
    """A file of the workspace that is archived: its place in the bag, and where it is now.

    `content` is the hash it was taken in with, empty for what Setpiece itself made.
    """

    path: str
    source: Path
    content: str = ""
    size: int | None = None


@dataclass(frozen=True, slots=True)
class FrameFacts:
    """One frame as `frames.json` has it. Times are ISO 8601 in UTC; "" where not known."""

    id: str
    handle: str
    files: tuple[str, ...]
    camera: str = ""
    camera_time: str = ""
    earliest: str = ""
    latest: str = ""
    phase: str = ""
    minute: str = ""
    score: str = ""
    decision: str = ""
    protected: bool = False
    damaged: bool = False
    note: str = ""
    shorthand: str = ""
    caption_version: int | None = None
    delivered_to: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FramesDocument:
    """`frames.json`."""

    match: str
    frames: tuple[FrameFacts, ...]


def kept_files(space: Workspace, of: Match) -> tuple[list[Kept], list[Trouble]]:
    """Every file of a match that is archived as it is, and those whose names no bag can hold."""
    folder = match_folder(space, of)
    day = Matchday(space, of)
    taken = {f.path: f for f in day.files}
    kept = [Kept(f"{PAYLOAD}{p}", folder / p, f.content, f.size) for p, f in sorted(taken.items())]
    for place in PLACES:
        for path in sorted(files_below(folder / place)):
            relative = path.relative_to(folder).as_posix()
            if relative not in taken and (place != "frames" or path.suffix == ".txt"):
                kept.append(Kept(f"{PAYLOAD}{relative}", path))
    return _fit(kept)


def kept_of_workspace(
    space: Workspace, matches: Iterable[Match]
) -> tuple[list[Kept], list[Trouble]]:
    """The files of the workspace that belong to no match: settings, styles, receipts, invoices."""
    others = {m.folder for m in matches} | {"previews"}
    kept = []
    for path in sorted(space.folder.iterdir()):
        if path.name in others or path.name.startswith((DATABASE, ".")):
            continue
        for file in [path] if path.is_file() else sorted(files_below(path)):
            kept.append(Kept(PAYLOAD + file.relative_to(space.folder).as_posix(), file))
    return _fit(kept)


def _fit(kept: list[Kept]) -> tuple[list[Kept], list[Trouble]]:
    why = "no other system can hold this name: it is not archived"
    return (
        [k for k in kept if safe(k.path)],
        [Trouble(k.path, why) for k in kept if not safe(k.path)],
    )


def said_of_match(
    space: Workspace, of: Match, taken: Iterable[str]
) -> tuple[dict[str, bytes], list[Trouble]]:
    """What was said of a match, as files of its bag; `taken` are the paths that files have."""
    day = Matchday(space, of)
    said = {PAYLOAD + "about.txt": _ABOUT.encode()}
    said |= {f"{RECORD}{n}.jsonl": t.encode() for n, t in match_records(space, of).items() if t}
    if of.fixture is not None:
        said[PAYLOAD + "fixture.json"] = (to_json(of.fixture) + "\n").encode()
    said[PAYLOAD + "log.json"] = write_log_json(day.log).encode()
    if _has_sheet(day):
        said[PAYLOAD + "sheet.json"] = write_sheet_json(day.sheet).encode()
    by_frame = _by_frame(day)
    facts = tuple(_facts(day, f, *by_frame[f.id]) for f in day.frames.values())
    said[PAYLOAD + "frames.json"] = to_json(FramesDocument(of.folder, facts)).encode()
    troubles = []
    names = {path.lower() for path in taken}
    for frame in day.frames.values():
        path = _sidecar_name(frame, names)
        names.add(path.lower())
        try:
            said[path] = sidecar(_fields(day, frame))
        except SetpieceError as error:
            troubles.append(Trouble(frame.handle, f"no sidecar: {error.what}"))
    return said, troubles


def said_of_workspace(space: Workspace) -> dict[str, bytes]:
    """What belongs to no match, as files of a bag."""
    records = {f"{RECORD}{n}.jsonl": t.encode() for n, t in workspace_records(space).items() if t}
    return {PAYLOAD + "about.txt": _ABOUT_SPACE.encode()} | records


def _sidecar_name(frame: StoredFrame, names: set[str]) -> str:
    """`NAME.xmp` beside the picture, or `NAME.JPG.xmp` where that is taken."""
    picture = PurePosixPath(PAYLOAD + frame.best_file)
    short = picture.with_suffix(".xmp").as_posix()
    return f"{picture}.xmp" if short.lower() in names else short


def _has_sheet(day: Matchday) -> bool:
    try:
        return bool(day.sheet)
    except NotFound:
        return False


def _is_placed(day: Matchday) -> bool:
    """Whether the match has what places its frames: a fixture and a sheet."""
    return day.match.fixture is not None and _has_sheet(day)


def _by_frame(day: Matchday) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """The files of each frame, and the desks that have it."""
    files: dict[str, list[str]] = {i: [] for i in day.frames}
    desks: dict[str, set[str]] = {i: set() for i in day.frames}
    for file in day.files:
        if file.frame_id in files:
            files[file.frame_id].append(file.path)
    for item in day.outbox:
        if item.state is State.DELIVERED and item.frame_id in desks:
            desks[item.frame_id].add(item.desk)
    return {i: (tuple(files[i]), tuple(sorted(desks[i]))) for i in day.frames}


def _facts(
    day: Matchday, frame: StoredFrame, files: tuple[str, ...], desks: tuple[str, ...]
) -> FrameFacts:
    camera = day.cameras.get(frame.camera_id or -1)
    at = day.times.get(frame.id) if day.match.fixture is not None else None
    place = day.places.get(frame.id) if at and _is_placed(day) else None
    label = place.state.label if place else None
    known = day.captions.get(frame.id)
    return FrameFacts(
        id=frame.id,
        handle=frame.handle,
        files=files,
        camera=" ".join((camera.make, camera.model, camera.serial)) if camera else "",
        camera_time=frame.camera_time.reading.isoformat() if frame.camera_time else "",
        earliest=at.start.isoformat() if at else "",
        latest=at.end.isoformat() if at else "",
        phase=place.state.phase.value if place else "",
        minute=str(label) if label else "",
        score=str(place.state.score) if place else "",
        decision=frame.decision.value,
        protected=frame.protected,
        damaged=frame.damaged,
        note=frame.note,
        shorthand=known.caption.shorthand if known else "",
        caption_version=known.version if known else None,
        delivered_to=desks,
    )


def _fields(day: Matchday, frame: StoredFrame) -> PictureFields:
    """The caption's fields; what it leaves open and is known is filled in."""
    known = day.captions.get(frame.id)
    fields = known.caption.fields if known else PictureFields()
    fixture = day.match.fixture
    rating = day.metadata[frame.id].rating
    if fields.rating is None and rating is not None and 0 <= rating <= 5:
        fields = replace(fields, rating=rating)
    if day.match.folder not in fields.event_ids:
        fields = replace(fields, event_ids=(*fields.event_ids, day.match.folder))
    if fixture is None:
        return replace(fields, guid=fields.guid or frame.id)
    at = day.times.get(frame.id)
    own = at.middle.astimezone(ZoneInfo(fixture.time_zone)) if at else None
    return replace(
        fields,
        guid=fields.guid or frame.id,
        event_name=fields.event_name or f"{fixture.home} – {fixture.away}",
        date_created=fields.date_created or own,
    )
