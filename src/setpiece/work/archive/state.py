"""How safe each match is: three copies, two drives, one of them kept elsewhere.

The rule of 3-2-1 is common practice. The workspace counts as a copy while it holds the files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from setpiece.store.archive import ArchiveCopy, Root, copies_of, newest_news, roots
from setpiece.store.files import files_of
from setpiece.store.matches import Match, matches
from setpiece.store.workspace import Workspace

COPIES, DRIVES, ELSEWHERE = 3, 2, 1


@dataclass(frozen=True, slots=True)
class HeldAt:
    """What one root holds of a match. `behind`: something changed since it was archived."""

    root: str
    elsewhere: bool
    files: int
    made: str
    checked: str
    wrong: int
    behind: bool


@dataclass(frozen=True, slots=True)
class Safety:
    """One match: whole copies, the drives they are on, how many of them elsewhere.

    `lacking` says in words what the rule still asks for; empty when it is met.
    """

    match: str
    copies: int
    drives: int
    elsewhere: int
    held: tuple[HeldAt, ...]
    lacking: tuple[str, ...]

    @property
    def met(self) -> bool:
        """Whether the rule is met."""
        return not self.lacking


def safety(space: Workspace, only: Match | None = None) -> tuple[Safety, ...]:
    """The state of every match, or of one, newest first."""
    known = {r.id: r for r in roots(space)}
    news = newest_news(space)
    chosen = [only] if only else matches(space)
    return tuple(
        _of_match(space, m, known, copies_of(space, m.id), news.get(m.id, 0)) for m in chosen
    )


def _of_match(
    space: Workspace,
    of: Match,
    known: dict[int, Root],
    copies: Sequence[ArchiveCopy],
    news: int,
) -> Safety:
    held = tuple(
        HeldAt(
            str(known[c.root_id].folder),
            known[c.root_id].elsewhere,
            c.files,
            c.made,
            c.checked,
            c.wrong,
            c.news < news,
        )
        for c in copies
        if c.root_id in known
    )
    whole = [c for c in copies if c.root_id in known and not c.wrong]
    drives = {c.device for c in whole}
    here = _is_here(space, of)
    if here:
        drives.add(str(space.folder.stat().st_dev))
    count = len(whole) + here
    away = sum(known[c.root_id].elsewhere for c in whole)
    return Safety(of.folder, count, len(drives), away, held, _lacking(count, drives, away, held))


def _lacking(count: int, drives: set[str], away: int, held: Sequence[HeldAt]) -> tuple[str, ...]:
    words = []
    if count < COPIES:
        words.append(f"{COPIES - count} more {'copy' if COPIES - count == 1 else 'copies'}")
    if len(drives) < DRIVES:
        words.append("a copy on another drive")
    if away < ELSEWHERE:
        words.append("a copy kept elsewhere")
    if behind := [h.root for h in held if h.behind]:
        words.append(f"what changed since, in {', '.join(behind)}")
    if wrong := [h.root for h in held if h.wrong]:
        words.append(f"a repair in {', '.join(wrong)}")
    return tuple(words)


def _is_here(space: Workspace, of: Match) -> bool:
    """Whether the workspace holds every file of the match, by size."""
    folder = space.folder / of.folder
    try:
        return all((folder / f.path).stat().st_size == f.size for f in files_of(space, of))
    except OSError:
        return False
