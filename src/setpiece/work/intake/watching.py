"""A watched folder: what comes into it is taken in as soon as it is whole."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from watchfiles import Change, watch

from setpiece.errors import Busy, NotFound
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake.take import TakeReport, take_in
from setpiece.work.job import Caller

TICK_MS = 1000
"""A file whose size and time stood still for so long is taken to be whole."""

Target = Callable[[], Match | None]
Told = Callable[[TakeReport], None]


def take_in_as_it_comes(
    space: Workspace,
    target: Target,
    folders: Sequence[Path],
    caller: Caller,
    told: Told,
    *,
    rests: Callable[[], bool] = lambda: False,
) -> None:
    """Takes in what the folders hold, and then whatever comes, until the caller stops.

    `target` names the match each time; `told` gets the report of every run. While another run
    goes on, or while it `rests`, what came waits. Raises NotFound for a folder that is not there.
    """
    for folder in folders:
        if not folder.is_dir():
            raise NotFound(
                "there is no such folder to watch", thing=str(folder), next_step="Check the path."
            )
    growing = Growing()
    growing.add(p for f in folders for p in f.rglob("*"))
    for changes in watch(
        *folders, step=100, debounce=TICK_MS, rust_timeout=TICK_MS, yield_on_timeout=True
    ):
        if caller.stopped():
            return
        growing.add(Path(path) for change, path in changes if change is not Change.deleted)
        whole = growing.whole()
        if not whole:
            continue
        if rests():
            growing.add(whole)
            continue
        try:
            told(take_in(space, target(), whole, caller))
        except Busy:
            growing.add(whole)
        except NotFound:  # it was moved away again
            continue


class Growing:
    """Files that are coming: each is whole when it stood still from one look to the next."""

    def __init__(self) -> None:
        self._seen: dict[Path, tuple[int, int] | None] = {}

    def add(self, paths: Iterable[Path]) -> None:
        """Looks at these files too."""
        for path in paths:
            self._seen.setdefault(path, None)

    def whole(self) -> list[Path]:
        """The files that stood still since the last look; they are looked at no more."""
        whole = []
        for path, before in list(self._seen.items()):
            now = _state(path)
            if now is None:
                del self._seen[path]
            elif now == before:
                whole.append(path)
                del self._seen[path]
            else:
                self._seen[path] = now
        return whole


def _state(path: Path) -> tuple[int, int] | None:
    """Size and time of a plain file, None for anything else."""
    with contextlib.suppress(OSError):
        if path.is_file() and not path.is_symlink() and not path.name.startswith("."):
            facts = path.stat()
            return facts.st_size, facts.st_mtime_ns
    return None
