"""Further copies on other drives, and whether a card may be wiped.

A place is marked by a small file: when its drive is not there, an empty folder in its stead is
not taken for it.
"""

from __future__ import annotations

import stat
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from setpiece.errors import BadFile, NotFound, SetpieceError, Stopped
from setpiece.match.instants import Instant
from setpiece.store.copies import (
    CopyPlace,
    ToCopy,
    add_copies,
    add_place,
    copies_at,
    drop_copies,
    not_there_yet,
    places,
)
from setpiece.store.copying import copy_proved, reads_back, sweep, write_proved
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.cards import Trouble, is_folder, printable
from setpiece.work.intake.first_listing import Listing
from setpiece.work.intake.shelving import Held
from setpiece.work.job import Caller, go_on

MARKER = "setpiece-copies.txt"
_MARKER_TEXT = b"Setpiece keeps a further copy of every file it takes in here.\n"
_NOTED_TOGETHER = 16
_SHOWN = 3


@dataclass(frozen=True, slots=True)
class CopiesAt:
    """A place for further copies after a run: files copied now, and files still missing there.

    `why` says in words what is wrong, empty when all is well.
    """

    folder: str
    copied: int
    missing: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class CardVerdict:
    """Whether a card may be wiped; `why_not` lists every reason against it, in words."""

    source: str
    may_be_wiped: bool
    words: str
    why_not: tuple[str, ...] = ()


def set_place(space: Workspace, folder: Path, at: Instant) -> CopyPlace:
    """Sets a folder on another drive as a place for further copies. Raises NotFound."""
    if not folder.is_dir():
        raise NotFound(
            "there is no such folder", thing=str(folder), next_step="Is the drive there?"
        )
    write_proved(_MARKER_TEXT, folder / MARKER)
    return add_place(space, folder.resolve(), at)


def on_same_disk(space: Workspace, place: CopyPlace) -> bool:
    """Whether a place is on the workspace's own disk, where it guards against little."""
    return place.folder.stat().st_dev == space.folder.stat().st_dev


def copy_further(space: Workspace, of: Match, folder: Path, caller: Caller) -> tuple[CopiesAt, ...]:
    """Copies what every place does not hold yet; a place that is not there is named.

    `folder` is the match's. What is copied is noted as it goes, so that a stop loses nothing.
    """
    return tuple(_copy_to(space, of, folder, place, caller) for place in places(space))


def prove_again(
    space: Workspace, of: Match, held: Sequence[Held], caller: Caller
) -> tuple[Trouble, ...]:
    """Reads the further copies of the cards' files again.

    One that is not what was taken in is named and forgotten, so that it is made again.
    """
    troubles = []
    there = [(p, copies_at(space, of, p)) for p in places(space) if _is_there(p)]
    for done, item in enumerate(held):
        go_on(caller, f"{done} further copies proved again")
        caller.progress(done, len(held), "Proving again")
        for place, copies in there:
            path = copies.get(item.path)
            if path and not reads_back(place.folder / path, item.content):
                drop_copies(space, place, of, [item.path])
                words = "this further copy did not read back: it is made again"
                troubles.append(Trouble(str(place.folder / path), words))
    return tuple(troubles)


def verdicts(
    space: Workspace,
    of: Match,
    folder: Path,
    sources: Sequence[Path],
    listing: Listing,
    held: Sequence[Held],
    troubles: Sequence[Trouble],
) -> tuple[CardVerdict, ...]:
    """For each card or folder whether it may be wiped after this run."""
    known = places(space)
    at_places = [(p, copies_at(space, of, p) if _is_there(p) else {}) for p in known]
    answer = []
    for source in (s for s in sources if s in listing.sources or is_folder(s)):
        mine = [h for h in held if h.listed.file.source == source]
        reasons = _open_questions(source, listing, mine, troubles)
        if not mine and not reasons:
            reasons.append("nothing of it was taken in")
        if not known:
            reasons.append("no second drive is set (`setpiece copies add FOLDER`)")
        reasons += _counted(_lacking(mine, folder, {h.path: h.path for h in mine}), "not here")
        for place, copies in at_places:
            reasons += _counted(_lacking(mine, place.folder, copies), f"not in {place.folder}")
        answer.append(_verdict(source, known, reasons))
    return tuple(answer)


def _verdict(source: Path, known: Sequence[CopyPlace], reasons: Sequence[str]) -> CardVerdict:
    name = printable(source)
    if reasons:
        return CardVerdict(
            name, False, f"Do not wipe {name} yet: {'; '.join(reasons)}.", tuple(reasons)
        )
    kept = ", ".join(str(p.folder) for p in known)
    count = "twice" if len(known) == 1 else f"{len(known) + 1} times"
    return CardVerdict(
        name,
        True,
        f"Every file of {name} is held {count}, in the workspace and in {kept}: "
        "the card may be wiped.",
    )


def _open_questions(
    source: Path, listing: Listing, held: Sequence[Held], troubles: Sequence[Trouble]
) -> list[str]:
    """What of a card is not in the workspace, or was not read in this run."""
    here = {h.listed.file.path for h in held}
    name = printable(source)
    gone = [t.what for t in troubles if t.path == name]
    odd = [t.path for t in troubles if t.path != name and Path(t.path).is_relative_to(name)]
    left = [f.printable for f in listing.left if f.source == source]
    waiting = [
        x.file.printable
        for x in listing.files
        if x.file.source == source and x.file.path not in here and x.file.printable not in odd
    ]
    unread = [h.listed.file.printable for h in held if not h.read_now]
    return [
        *gone,
        *_counted(odd, "with trouble"),
        *_counted(left, "on the card only, no picture"),
        *_counted(waiting, "not taken in yet"),
        *_counted(unread, "known by name, size and time but not read (use --prove)"),
    ]


def _lacking(held: Sequence[Held], root: Path, paths: Mapping[str, str]) -> list[str]:
    """The files that `root` does not hold whole, by where they lie on the card."""
    return [
        h.listed.file.printable
        for h in held
        if h.path not in paths or not _has_size(root / paths[h.path], h.listed.file.size)
    ]


def _counted(names: Sequence[str], what: str) -> list[str]:
    """One reason for any number of files, the first few by name; none for none."""
    if not names:
        return []
    shown = ", ".join(Path(n).name for n in names[:_SHOWN])
    more = ", ..." if len(names) > _SHOWN else ""
    return [f"{len(names)} {'file' if len(names) == 1 else 'files'} {what}: {shown}{more}"]


def _copy_to(
    space: Workspace, of: Match, folder: Path, place: CopyPlace, caller: Caller
) -> CopiesAt:
    waiting = not_there_yet(space, of, place)
    if not _is_there(place):
        return CopiesAt(str(place.folder), 0, len(waiting), "the drive is not there")
    target = place.folder / of.folder
    done: list[tuple[int, str]] = []
    copied, why = 0, ""
    try:
        sweep(target)
        for number, item in enumerate(waiting):
            go_on(caller, f"{copied} further copies made")
            caller.progress(number, len(waiting), f"Copying to {place.folder}")
            try:
                done.append((item.file_id, _copied(item, folder, target, place)))
                copied += 1
            except BadFile as error:
                why = str(error)
            if len(done) >= _NOTED_TOGETHER:
                add_copies(space, place, done, caller.now())
                done = []
        caller.progress(len(waiting), len(waiting), f"Copying to {place.folder}")
    except Stopped:
        raise
    except SetpieceError as error:  # the workspace holds it all: say it and go on without
        why = error.what
    finally:
        add_copies(space, place, done, caller.now())
    return CopiesAt(str(place.folder), copied, len(waiting) - copied, why)


def _copied(item: ToCopy, folder: Path, target: Path, place: CopyPlace) -> str:
    """Copies one file and gives its path at the place."""
    proof = copy_proved(folder / item.path, target / item.path)
    if proof.content != item.content:
        proof.path.unlink()
        raise BadFile("the workspace's own copy is not what was taken in", thing=item.path)
    return proof.path.relative_to(place.folder).as_posix()


def _is_there(place: CopyPlace) -> bool:
    try:
        return stat.S_ISREG((place.folder / MARKER).stat().st_mode)
    except OSError:
        return False


def _has_size(path: Path, size: int) -> bool:
    try:
        return path.stat().st_size == size
    except OSError:
        return False
