"""The folder sender: a folder of this computer or one mounted from another."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from setpiece.errors import LinkLost, NotFound, WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.send.desk import DeskAddress
from setpiece.send.link import Patience
from setpiece.send.sender import Sender, name_taken
from setpiece.send.trouble import Doing, border

_CHUNK = 256 * 1024


class FolderSender(Sender):
    """Delivers into a folder; paths are relative to it. Never makes the receiving folder itself,
    because a missing one is a disk that is not mounted."""

    def __init__(self, address: DeskAddress) -> None:
        self._address = address
        self._root = address.path or Path()
        self._words = ""

    def connect(self) -> None:
        """Looks whether the folder is there."""
        if not self._root.is_dir():
            raise NotFound(
                "the desk's folder is not there",
                thing=str(self._root),
                next_step="Mount the disk or the share, or correct the path.",
            )
        self._words = f"{self._root} is there"

    def log_in(self) -> None:
        """A folder has no log-in."""

    def list_names(self, folder: str) -> list[str]:
        """Names in the folder, sorted."""
        with border(Doing.LIST, self._address.spelled(folder)):
            return sorted(entry.name for entry in self._place(folder).iterdir())

    def make_folder(self, folder: str) -> None:
        """Makes the folder and those above it, up to the desk's own."""
        place = self._place(folder)
        if place.is_dir():
            return
        with border(Doing.MAKE_FOLDER, self._address.spelled(folder)):
            place.mkdir(parents=True, exist_ok=True)
            while place != self._root:
                place = place.parent
                _settle_folder(place)

    def size(self, path: str) -> int | None:
        """Size in bytes, None when there is no such file."""
        with border(Doing.SIZE, self._address.spelled(path)):
            try:
                size = self._place(path).stat().st_size
            except (FileNotFoundError, NotADirectoryError):
                self._still_there()
                return None
        self._words = f"{size} bytes"
        return size

    def modified(self, path: str) -> Instant | None:
        """The file's time, by the clock of whatever computer holds the disk."""
        with border(Doing.SIZE, self._address.spelled(path)):
            try:
                seconds = self._place(path).stat().st_mtime
            except FileNotFoundError:
                return None
        return instant(datetime.fromtimestamp(seconds, UTC))

    def matching(self, path: str, data: bytes) -> int:
        """How many bytes there are the beginning of `data`, compared byte by byte."""
        with border(Doing.SIZE, self._address.spelled(path)):
            try:
                there = self._place(path).read_bytes()
            except FileNotFoundError:
                return 0
        return len(there) if data.startswith(there) else 0

    def upload(
        self,
        data: bytes,
        path: str,
        *,
        resume_from: int,
        progress: Callable[[int], None],
        stopped: Callable[[], bool],
    ) -> int:
        """Writes and flushes to the disk."""
        thing = self._address.spelled(path)
        self._still_there()
        patience = Patience(self._address.timeout_s, stopped, thing)
        place = self._place(path)
        with border(Doing.WRITE, thing), place.open("r+b" if resume_from else "wb") as file:
            file.seek(resume_from)
            for start in range(resume_from, len(data), _CHUNK):
                patience.look()
                file.write(data[start : start + _CHUNK])
                patience.moved()
                progress(min(start + _CHUNK, len(data)))
            file.truncate()
            file.flush()
            os.fsync(file.fileno())
        self._words = f"{len(data)} bytes written"
        return resume_from

    def rename(self, old: str, new: str) -> None:
        """Renames and flushes the folder. Raises Refused rather than replace a file."""
        thing = self._address.spelled(new)
        there = self.size(new)
        if there is not None:
            raise name_taken(thing, there)
        with border(Doing.RENAME, thing):
            self._place(old).rename(self._place(new))
            _settle_folder(self._place(new).parent)

    def delete(self, path: str) -> None:
        """Deletes the file; nothing happens when it is not there."""
        with border(Doing.DELETE, self._address.spelled(path)):
            self._place(path).unlink(missing_ok=True)

    def close(self) -> None:
        """Nothing is open."""

    @property
    def server_words(self) -> str:
        """What was seen last; a folder says nothing itself."""
        return self._words

    def _place(self, path: str) -> Path:
        parts = PurePosixPath(path.lstrip("/")).parts
        if ".." in parts:
            raise WrongUse("a path cannot leave the desk's folder", thing=path)
        return self._root.joinpath(*parts)

    def _still_there(self) -> None:
        """A share that was unmounted meanwhile shows no file: that is no answer."""
        if not self._root.is_dir():
            raise LinkLost(
                "the desk's folder is gone", thing=str(self._root), next_step="Mount it again."
            )


def _settle_folder(folder: Path) -> None:
    """Flushes a folder's own entry, where the system can (Windows cannot open folders)."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
