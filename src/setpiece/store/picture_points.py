"""The points of archive pictures, kept so that a drive in a drawer can still be searched.

One SQLite file beside the index: about 40 kB a picture. It can be deleted and made again from the
pictures. `stamp` tells which state of a picture's file the points are of.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from setpiece.errors import BadFile, ReadOnly
from setpiece.store.copying import writing

FILE = "points.db"

_TABLE = """
CREATE TABLE IF NOT EXISTS picture (
    name TEXT PRIMARY KEY, stamp TEXT NOT NULL, place TEXT NOT NULL, width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL, points BLOB NOT NULL, descriptors BLOB NOT NULL, looks BLOB NOT NULL
) WITHOUT ROWID"""


@dataclass(frozen=True, slots=True)
class KeptPoints:
    """One picture's points: float32 pairs, descriptors of 128 bytes, a hash of 32.

    `name` is the frame's id or a path; `place` is where its picture lies. `width_px` and
    `height_px` are of the picture the points were found in.
    """

    name: str
    stamp: str
    place: str
    width_px: int
    height_px: int
    points: bytes
    descriptors: bytes
    looks: bytes


class PointStore:
    """The file of kept points in a folder. Close it when done."""

    def __init__(self, folder: Path) -> None:
        with writing(folder):
            folder.mkdir(parents=True, exist_ok=True)
        self.path = folder / FILE
        with self._translated():
            self._raw = sqlite3.connect(self.path, timeout=10.0)
            self._raw.execute("PRAGMA journal_mode=WAL")
            self._raw.execute(_TABLE)

    @contextmanager
    def _translated(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.OperationalError as error:
            raise ReadOnly(
                f"the kept points cannot be used ({error})",
                thing=str(self.path),
                next_step="Check the folder's permissions and the room on the drive.",
            ) from error
        except sqlite3.DatabaseError as error:
            raise BadFile(
                f"the kept points cannot be read ({error})",
                thing=str(self.path),
                next_step="Delete the file; it is made again from the pictures.",
            ) from error

    def stamps(self) -> dict[str, str]:
        """Every picture's name and stamp."""
        with self._translated():
            return dict(self._raw.execute("SELECT name, stamp FROM picture ORDER BY name"))

    def put(self, values: Iterable[KeptPoints]) -> None:
        """Keeps pictures, in place of what was kept under their names; one transaction."""
        rows = [
            (v.name, v.stamp, v.place, v.width_px, v.height_px, v.points, v.descriptors, v.looks)
            for v in values
        ]
        with self._translated(), self._raw:
            self._raw.executemany("REPLACE INTO picture VALUES (?, ?, ?, ?, ?, ?, ?, ?)", rows)

    def drop(self, names: Iterable[str]) -> None:
        """Forgets pictures."""
        with self._translated(), self._raw:
            self._raw.executemany("DELETE FROM picture WHERE name = ?", ((n,) for n in names))

    def every(self) -> Iterator[KeptPoints]:
        """Every picture in the order of names."""
        with self._translated():
            for row in self._raw.execute("SELECT * FROM picture ORDER BY name"):
                yield KeptPoints(*row)

    def of(self, names: Sequence[str]) -> list[KeptPoints]:
        """The pictures of those names that are kept, in their order."""
        found = {}
        with self._translated():
            for name in names:
                row = self._raw.execute("SELECT * FROM picture WHERE name = ?", (name,)).fetchone()
                if row is not None:
                    found[name] = KeptPoints(*row)
        return [found[n] for n in names if n in found]

    def close(self) -> None:
        """Lets go of the file."""
        self._raw.close()
