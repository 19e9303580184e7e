"""Lists of a bag: written, read back, and refused when they are not ours."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import BadFile
from setpiece.store import bag
from setpiece.store.bag import MANIFEST, NEXT, change, finish, listed, safe, sha512, trusted

NAMES = st.text(st.characters(codec="utf-8", exclude_characters="/\\\0"), min_size=1, max_size=20)


@given(st.lists(NAMES, unique=True, max_size=5))
def test_any_path_is_read_back_as_it_was_listed(names: list[str]) -> None:
    """Percent signs and line ends in a path survive the list (RFC 8493, 2.1.3)."""
    for name in names:
        path = f"data/{name}"
        assert bag._decoded(bag._encoded(path)) == path
        assert "\n" not in bag._encoded(path)


@pytest.mark.parametrize(
    "text",
    [
        b"no list\n",
        b"0" * 128 + b"  data/x",
        (b"0" * 128 + b"  data/x\n") * 2,
        b"0" * 128 + b"  ../x\n",
        b"0" * 128 + b"  data/../../x\n",
        b"0" * 128 + b"  C:/x\n",
        b"0" * 128 + b"  data/\xff\n",
        b"A" * 128 + b"  data/x\n",
    ],
)
def test_a_list_that_is_not_ours_is_refused(tmp_path: Path, text: bytes) -> None:
    """A cut line, a path twice, one that leaves the bag, or large hex is a BadFile."""
    (tmp_path / MANIFEST).write_bytes(text)
    with pytest.raises(BadFile):
        listed(tmp_path)


def test_paths_that_leave_the_bag_are_not_safe() -> None:
    """Only plain relative paths are followed."""
    assert safe("data/frames/A-100SPA/SPA_0001.JPG")
    assert not any(safe(p) for p in ("/x", "data//x", "data/./x", "..", "data\\x", "c:/x"))


def test_an_undecided_change_is_cleared_away(tmp_path: Path) -> None:
    """New contents without a new manifest leave the old bag as it was."""
    change(tmp_path, {"data/x": sha512(b"one")}, {"data/x": b"one"}, [])
    (tmp_path / f"data/x{NEXT}").write_bytes(b"two")
    finish(tmp_path)
    assert [p.name for p in (tmp_path / "data").iterdir()] == ["x"]
    assert trusted(tmp_path) == {"data/x": sha512(b"one")}


def test_a_file_that_is_listed_no_more_goes_and_its_folder_too(tmp_path: Path) -> None:
    """What the next list leaves out is removed; a stranger stays."""
    change(tmp_path, {"data/a/x": sha512(b"x")}, {"data/a/x": b"x"}, [("Label", "two\nlines")])
    (tmp_path / "data" / "stranger").write_bytes(b"?")
    change(tmp_path, {}, {}, [])
    assert [p.name for p in (tmp_path / "data").iterdir()] == ["stranger"]
    assert trusted(tmp_path) == {}
