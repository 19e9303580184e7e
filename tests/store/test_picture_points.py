"""Points of pictures that are kept."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from setpiece.errors import BadFile
from setpiece.store.picture_points import FILE, KeptPoints, PointStore

ONE = KeptPoints("b", "1", "frames/b.jpg", 640, 427, b"12345678", bytes(128), bytes(32))


def test_points_are_kept_changed_and_dropped(tmp_path: Path) -> None:
    """What was put comes back, in the order asked; a second put replaces; a drop forgets."""
    store = PointStore(tmp_path / "cuttings")
    store.put([ONE, replace(ONE, name="a")])
    store.put([replace(ONE, stamp="2")])
    assert store.stamps() == {"a": "1", "b": "2"}
    assert [k.name for k in store.of(["b", "missing", "a"])] == ["b", "a"]
    assert [k.name for k in store.every()] == ["a", "b"]
    store.drop(["a"])
    assert store.of(["a"]) == []
    store.close()
    again = PointStore(tmp_path / "cuttings")
    assert again.of(["b"]) == [replace(ONE, stamp="2")]
    again.close()


def test_a_broken_file_is_told(tmp_path: Path) -> None:
    """A file that is no database is named, with what to do."""
    (tmp_path / FILE).write_bytes(b"this is no database" * 100)
    with pytest.raises(BadFile, match="made again"):
        PointStore(tmp_path)
