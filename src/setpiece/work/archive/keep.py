"""Archive: every file of a match, and all that was said of it, proved in one root or several.

A root is a folder on a drive; in it every match is a bag of its own (`store/bag.py`). A file is
copied once and never overwritten; what is known is not read again. A run that is stopped keeps
what it copied, and the next goes on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from setpiece import __version__
from setpiece.errors import BadFile, NotFound, SetpieceError, Stopped, WrongUse
from setpiece.match.instants import Instant
from setpiece.store import archive as kept
from setpiece.store.archive import NO_MATCH, Root, newest_news, note_copy
from setpiece.store.bag import change, finish, is_bag, size_of, trusted
from setpiece.store.copying import sweep, write_proved, writing
from setpiece.store.lock import alone
from setpiece.store.matches import Match, matches
from setpiece.store.rebuilding import revision_of
from setpiece.store.workspace import Workspace
from setpiece.work.archive.contents import (
    Kept,
    kept_files,
    kept_of_workspace,
    said_of_match,
    said_of_workspace,
)
from setpiece.work.archive.filling import Filling, copy_in, say
from setpiece.work.intake.cards import Trouble
from setpiece.work.job import Caller
from setpiece.work.settings import read_settings

WORKSPACE_BAG = "setpiece-workspace"
"""The bag in every root for what belongs to no match."""

MARKER, LOCK = "setpiece-archive.txt", ".archiving.lock"
ARCHIVED, SCHEMA = "Setpiece-Archived", "Setpiece-Schema"
_MARKER_TEXT = b"Setpiece archives matches in this folder, each as a bag (BagIt 1.0, RFC 8493).\n"


@dataclass(frozen=True, slots=True)
class Archived:
    """What a run did to one bag. `why` says in words what kept it from being whole."""

    root: str
    match: str
    files: int = 0
    copied: int = 0
    size: int = 0
    troubles: tuple[Trouble, ...] = ()
    why: str = ""


def set_root(space: Workspace, folder: Path, at: Instant, *, elsewhere: bool = False) -> Root:
    """Sets a folder as a root of the archive. Raises NotFound, or WrongUse inside the workspace."""
    if not folder.is_dir():
        raise NotFound(
            "there is no such folder", thing=str(folder), next_step="Is the drive there?"
        )
    place = folder.resolve()
    if place.is_relative_to(space.folder.resolve()):
        raise WrongUse(
            "an archive inside the workspace goes when the workspace goes",
            thing=str(folder),
            next_step="Choose a folder on another drive.",
        )
    write_proved(_MARKER_TEXT, place / MARKER)
    return kept.add_root(space, place, at, elsewhere=elsewhere)


def is_there(root: Root) -> bool:
    """Whether the root's drive is there, not an empty folder in its stead."""
    return (root.folder / MARKER).is_file()


def bag_folder(root: Root, name: str) -> Path:
    """Where a root keeps a match, by its folder's name."""
    return root.folder / name


def archive_match(
    space: Workspace, of: Match, roots: Sequence[Root], caller: Caller
) -> tuple[Archived, ...]:
    """Brings the match, and what belongs to no match, up to date in every root.

    A root that is not there or is full is named and the others go on. Raises Stopped, Busy.
    """
    if not roots:
        raise NotFound(
            "the archive has no root yet",
            thing=str(space.folder.resolve()),
            next_step="Set one: setpiece archive root /media/drive/archive",
        )
    done = []
    for root in roots:
        for match in (of, None):
            done.append(_archived(space, match, root, caller))
    return tuple(done)


def _archived(space: Workspace, of: Match | None, root: Root, caller: Caller) -> Archived:
    name = of.folder if of else WORKSPACE_BAG
    if not is_there(root):
        return Archived(str(root.folder), name, why="the drive is not there")
    try:
        with alone(root.folder / LOCK, "archiving"):
            return bring_up_to_date(space, of, root, caller)
    except Stopped:
        raise
    except SetpieceError as error:  # another root may still hold it all
        return Archived(str(root.folder), name, why=str(error))


def bring_up_to_date(space: Workspace, of: Match | None, root: Root, caller: Caller) -> Archived:
    """Brings one bag of a root up to date; of no match, the bag of the workspace.

    What was copied before it is stopped stays listed.
    """
    name, match_id = (of.folder, of.id) if of else (WORKSPACE_BAG, NO_MATCH)
    bag = bag_folder(root, name)
    news = newest_news(space).get(match_id, 0)
    filling = _filling(bag)
    files, troubles = _files_of(space, of)
    filling.troubles += troubles
    try:
        copy_in(files, bag, filling, caller)
    except SetpieceError:
        with suppress(SetpieceError):  # the first trouble is the one to tell
            _write(space, of, bag, filling.in_place, {}, caller.now())
        raise
    said, troubles = _said(space, of, filling.payload)
    filling.troubles += troubles
    for path, data in said.items():
        say(path, data, filling)
    filling.keep_others(bag)
    if filling.payload != filling.known or filling.contents:
        _write(space, of, bag, filling.payload, filling.contents, caller.now())
    size = size_of(bag, filling.payload)
    note_copy(
        space,
        root,
        match_id,
        caller.now(),
        device=str(root.folder.stat().st_dev),
        files=len(filling.payload),
        size=size,
        news=news,
    )
    return Archived(
        str(root.folder), name, len(filling.payload), filling.copied, size, tuple(filling.troubles)
    )


def _filling(bag: Path) -> Filling:
    """What the bag lists already; nothing where its lists are not to be trusted."""
    if not is_bag(bag):
        return Filling({})
    finish(bag)
    sweep(bag)
    try:
        return Filling(trusted(bag))
    except BadFile as error:
        words = f"{error.what}: every file was read again and listed anew"
        return Filling({}, troubles=[Trouble(str(bag), words)], afresh=True)


def _files_of(space: Workspace, of: Match | None) -> tuple[list[Kept], list[Trouble]]:
    return kept_files(space, of) if of else kept_of_workspace(space, matches(space))


def _said(
    space: Workspace, of: Match | None, taken: Mapping[str, str]
) -> tuple[dict[str, bytes], list[Trouble]]:
    return said_of_match(space, of, taken) if of else (said_of_workspace(space), [])


def _write(
    space: Workspace,
    of: Match | None,
    bag: Path,
    payload: Mapping[str, str],
    contents: Mapping[str, bytes],
    at: Instant,
) -> None:
    f = of.fixture if of else None
    what = f"{f.home} – {f.away}, {f.competition}" if f else ""
    info = [
        ("Source-Organization", read_settings(space).photographer),
        ("External-Identifier", of.folder if of else WORKSPACE_BAG),
        ("External-Description", what),
        ("Bagging-Date", f"{at:%Y-%m-%d}"),
        ("Bag-Software-Agent", f"Setpiece {__version__}"),
        (ARCHIVED, at.isoformat()),
        (SCHEMA, revision_of(space)),
    ]
    with writing(bag):
        bag.mkdir(parents=True, exist_ok=True)
    change(bag, payload, contents, [(k, v) for k, v in info if v])
