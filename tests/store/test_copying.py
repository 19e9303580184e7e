"""Copies that are proved."""

from __future__ import annotations

from pathlib import Path

import pytest
import xxhash

from setpiece.errors import BadFile, TryAgain
from setpiece.store import copying
from setpiece.store.copying import (
    PART,
    content_of,
    copy_part,
    copy_proved,
    drop,
    prove_part,
    settle,
    sweep,
    write_part,
    write_proved,
)

DATA = bytes(range(256)) * 9000


def test_a_copy_is_the_same_bytes_and_says_their_hash(tmp_path: Path) -> None:
    """The copy equals the source; its proof is the reference library's hash of the content."""
    source = tmp_path / "a.jpg"
    source.write_bytes(DATA)
    proof = copy_proved(source, tmp_path / "out" / "a.jpg")
    assert proof.path.read_bytes() == DATA
    assert proof.content == xxhash.xxh3_128_hexdigest(DATA) == content_of(source)
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["a.jpg"]


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    """Another file of the same name keeps its place; the same content is taken as the copy."""
    source = tmp_path / "a.jpg"
    source.write_bytes(DATA)
    target = tmp_path / "out" / "a.jpg"
    target.parent.mkdir()
    target.write_bytes(b"somebody else's")
    first = copy_proved(source, target)
    assert (first.path.name, target.read_bytes()) == ("a-2.jpg", b"somebody else's")
    assert copy_proved(source, target).path == first.path
    assert len(list(target.parent.iterdir())) == 2


def test_a_disk_that_lies_is_caught(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When what reads back differs from what was read, the copy is refused and not left behind."""
    source = tmp_path / "a.jpg"
    source.write_bytes(DATA)
    monkeypatch.setattr(copying, "_read_back", lambda path, size: ("0" * 32, b""))
    with pytest.raises(BadFile, match="read back"):
        copy_proved(source, tmp_path / "out" / "a.jpg")
    assert list((tmp_path / "out").iterdir()) == []


def test_a_card_that_is_gone_says_so(tmp_path: Path) -> None:
    """A source that vanished is a reason to try again, and leaves nothing half done."""
    with pytest.raises(TryAgain, match="Put the card back"):
        copy_proved(tmp_path / "gone.jpg", tmp_path / "out" / "gone.jpg")
    assert list((tmp_path / "out").iterdir()) == []


def test_unfinished_copies_are_swept(tmp_path: Path) -> None:
    """Only unfinished copies go; finished files stay."""
    (tmp_path / ("a.jpg" + PART)).write_bytes(b"half")
    write_proved(b"whole", tmp_path / "b.jpg")
    assert sweep(tmp_path) == 1
    assert [p.name for p in tmp_path.iterdir()] == ["b.jpg"]


def test_a_long_name_is_no_hindrance(tmp_path: Path) -> None:
    """A name as long as the file system takes is copied; the temporary name is a short one."""
    source = tmp_path / ("a" * 251 + ".jpg")
    source.write_bytes(DATA)
    assert copy_proved(source, tmp_path / "out" / source.name).path.name == source.name


def test_of_a_part_as_much_is_kept_as_is_asked_for(tmp_path: Path) -> None:
    """What is handed over begins the content, also where the file is shorter; the hash is of all
    of it."""
    source = tmp_path / "a.jpg"
    source.write_bytes(DATA)
    for asked, kept in (
        (0, b""),
        (1000, DATA[:1000]),
        (2_000_000, DATA[:2_000_000]),
        (1 << 24, DATA),
    ):
        part = prove_part(copy_part(source, tmp_path), kept_bytes=asked)
        assert (part.data, part.content) == (kept, content_of(source))
        drop(part)


def test_what_is_not_proved_has_no_name_and_leaves_nothing(tmp_path: Path) -> None:
    """A copy changed on the disk between writing and reading back is refused, and gone."""
    source = tmp_path / "a.jpg"
    source.write_bytes(DATA)
    unproved = copy_part(source, tmp_path / "out")
    assert [p.suffix for p in (tmp_path / "out").iterdir()] == [PART]
    unproved.path.write_bytes(DATA[:-1] + b"!")
    with pytest.raises(BadFile, match="read back"):
        prove_part(unproved)
    assert list((tmp_path / "out").iterdir()) == []


def test_a_part_is_handed_over_as_it_was_read_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A part holds its content as the disk gave it back; a large one only its hash."""
    source = tmp_path / "a.jpg"
    source.write_bytes(DATA)
    part = write_part(source, tmp_path / "out")
    assert (part.data, part.size) == (DATA, len(DATA))
    drop(part)
    monkeypatch.setattr(copying, "KEPT_BYTES", 1000)
    large = write_part(source, tmp_path / "out")
    assert (large.data, large.content) == (None, part.content)
    assert settle(large, tmp_path / "out" / "b.jpg").read_bytes() == DATA
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["b.jpg"]
