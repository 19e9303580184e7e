"""Verify: every file of the archive read again and held against its hash, and put right.

A scrub that is stopped goes on where it was; one left for a month begins again. What is wrong is
taken from another root, or from the workspace, where that copy has the listed hash; the bad file
is set aside.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from setpiece.errors import SetpieceError
from setpiece.match.instants import Instant, read_instant
from setpiece.store.archive import (
    NO_MATCH,
    Root,
    Scrub,
    copies_of,
    end_scrub,
    keep_scrub,
    scrub_of,
)
from setpiece.store.bag import (
    MANIFEST,
    PAYLOAD,
    TAG_MANIFEST,
    Harm,
    Harmed,
    finish,
    harm_of,
    harmed_tags,
    is_bag,
    listed,
    sha512_of,
    trusted,
    unlisted,
)
from setpiece.store.copying import copy_proved, write_proved
from setpiece.store.matches import Match, matches
from setpiece.store.workspace import Workspace
from setpiece.work.archive.filling import set_aside
from setpiece.work.archive.keep import WORKSPACE_BAG, bag_folder, is_there
from setpiece.work.job import Caller, go_on

STALE = timedelta(days=30)
"""A scrub that was begun longer ago begins again. Our choice."""

_KEPT_EVERY = 32


@dataclass(frozen=True, slots=True)
class Scrubbed:
    """What a scrub found in one bag: files read in this run, what was wrong, what was put right.

    `left` is what is still wrong. `why` says in words why it could not be read at all.
    """

    root: str
    match: str
    read: int = 0
    harmed: tuple[Harmed, ...] = ()
    repaired: tuple[str, ...] = ()
    left: tuple[Harmed, ...] = ()
    why: str = ""

    @property
    def good(self) -> bool:
        """Whether everything is as listed now."""
        return not self.left and not self.why


def verify(
    space: Workspace,
    roots: Sequence[Root],
    caller: Caller,
    *,
    only: Match | None = None,
    repair: bool = False,
) -> tuple[Scrubbed, ...]:
    """Reads every archived file of the roots, of one match or of all. Raises Stopped."""
    held = {(c.root_id, c.match_id) for c in copies_of(space)}
    names = {m.id: m.folder for m in matches(space)} | {NO_MATCH: WORKSPACE_BAG}
    wanted = [only.id] if only else sorted(names)
    done = []
    for root in roots:
        for match_id in wanted:
            if (root.id, match_id) not in held:
                continue
            name = names[match_id]
            if not is_there(root):
                done.append(Scrubbed(str(root.folder), name, why="the drive is not there"))
                continue
            scrubbed = _scrub(space, root, match_id, name, caller)
            if repair and scrubbed.harmed:
                others = [r for r in roots if r.id != root.id and is_there(r)]
                scrubbed = _repair(space, root, match_id, name, others, scrubbed)
            end_scrub(space, root, match_id, caller.now(), len(scrubbed.left))
            done.append(scrubbed)
    return tuple(done)


def _scrub(space: Workspace, root: Root, match_id: int, name: str, caller: Caller) -> Scrubbed:
    bag = bag_folder(root, name)
    if not is_bag(bag):
        gone = (Harmed(MANIFEST, Harm.MISSING),)
        return Scrubbed(str(root.folder), name, 0, gone, left=gone)
    with suppress(SetpieceError, OSError):  # a drive that cannot be written can be read
        finish(bag)
    tags = harmed_tags(bag)
    scrub = _going_on(space, root, match_id, caller.now())
    read = 0
    if not {MANIFEST, TAG_MANIFEST} & {h.path for h in tags}:
        payload = listed(bag)
        coming = sorted(p for p in payload if p > scrub.at)
        for read, path in enumerate(coming, 1):
            harm = harm_of(bag, path, payload[path])
            found = (*scrub.found, Harmed(path, harm)) if harm else scrub.found
            scrub = replace(scrub, at=path, found=found)
            if read % _KEPT_EVERY == 0 or caller.stopped():
                keep_scrub(space, root, match_id, scrub)
                go_on(caller, f"{read} files of {name} read in {root.folder}")
            caller.progress(read, len(coming), f"Reading {root.folder}")
        strangers = unlisted(bag, payload)
        harmed = (*tags, *scrub.found, *strangers)
    else:
        harmed = tags
    return Scrubbed(str(root.folder), name, read, harmed, left=harmed)


def _going_on(space: Workspace, root: Root, match_id: int, now: Instant) -> Scrub:
    """The scrub that was stopped, or a new one."""
    left = scrub_of(space, root, match_id)
    if left is not None and now - read_instant(left.began) < STALE:
        return left
    begun = Scrub(now.isoformat())
    keep_scrub(space, root, match_id, begun)
    return begun


def _repair(
    space: Workspace,
    root: Root,
    match_id: int,
    name: str,
    others: Sequence[Root],
    scrubbed: Scrubbed,
) -> Scrubbed:
    """Puts right what another copy still has; what was wrong is read again afterwards."""
    bag = bag_folder(root, name)
    harmed = scrubbed.harmed
    tags = [h for h in harmed if not h.path.startswith(PAYLOAD)]
    if tags:
        if not _tags_from_another(space, root, match_id, name, others):
            return scrubbed
        payload = listed(bag)
        found = [Harmed(p, x) for p in sorted(payload) if (x := harm_of(bag, p, payload[p]))]
        harmed = (*tags, *found, *unlisted(bag, payload))
    payload = listed(bag)
    for item in harmed:
        with suppress(SetpieceError, OSError):
            if item.harm is Harm.UNLISTED:
                set_aside(bag, item.path)
            elif item.path in payload:
                _replace(space, bag, item.path, payload[item.path], others)
    left = (
        *harmed_tags(bag),
        *(
            Harmed(h.path, x)
            for h in harmed
            if h.path in payload and (x := harm_of(bag, h.path, payload[h.path]))
        ),
        *unlisted(bag, payload),
    )
    still = {h.path for h in left}
    repaired = tuple(h.path for h in harmed if h.path not in still)
    return replace(scrubbed, harmed=harmed, repaired=repaired, left=left)


def _replace(space: Workspace, bag: Path, path: str, digest: str, others: Sequence[Root]) -> None:
    """Takes one file from wherever it still has the listed hash."""
    for source in _elsewhere(space, bag.name, path, others):
        if harm_of(source.parent, source.name, digest) is None:
            if (bag / path).exists():
                set_aside(bag, path)
            copied = copy_proved(source, bag / path)
            if sha512_of(copied.path) == digest:
                return


def _elsewhere(space: Workspace, name: str, path: str, others: Sequence[Root]) -> Iterator[Path]:
    """Where else a file of a bag may be: the other roots, then the workspace."""
    for root in others:
        yield bag_folder(root, name) / path
    home = space.folder if name == WORKSPACE_BAG else space.folder / name
    yield home / path.removeprefix(PAYLOAD)


def _tags_from_another(
    space: Workspace, root: Root, match_id: int, name: str, others: Sequence[Root]
) -> bool:
    """Takes the lists of a root's bag that is as new or newer; False where there is none."""
    made = {c.root_id: c.made for c in copies_of(space, match_id)}
    bag = bag_folder(root, name)
    for other in others:
        source = bag_folder(other, name)
        if made.get(other.id, "") < made[root.id]:
            continue
        try:
            trusted(source)
            tags = [*listed(source, TAG_MANIFEST), TAG_MANIFEST]
        except SetpieceError:
            continue
        for tag in tags:
            write_proved((source / tag).read_bytes(), bag / tag)
        return True
    return False
