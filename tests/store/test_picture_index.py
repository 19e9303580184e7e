"""The search index of cuttings in its file."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from setpiece.errors import BadFile, NotFound
from setpiece.store.picture_index import (
    Entries,
    PictureIndex,
    entries_in,
    make_index,
    open_index,
    save_index,
)

WORDS, EACH = 16, 40


def made(pictures: int) -> tuple[PictureIndex, Entries]:
    """An index of pictures whose points are drawn by lot."""
    chance = np.random.default_rng(5)
    entries = Entries(
        chance.integers(0, WORDS, pictures * EACH).astype(np.int32),
        chance.integers(0, 2**64, pictures * EACH, dtype=np.uint64),
        np.repeat(np.arange(pictures, dtype=np.uint32), EACH),
    )
    hashes = chance.integers(0, 256, (pictures, 32)).astype(np.uint8)
    vocabulary = np.zeros((WORDS, 128), np.uint8), np.zeros((WORDS, 64), np.float16)
    names = [f"p{n}" for n in range(pictures)]
    stamps = np.arange(pictures, dtype=np.uint64)
    return make_index(names, entries, hashes, stamps, vocabulary), entries


def test_a_picture_is_found_by_its_signatures(tmp_path: Path) -> None:
    """Points whose signatures differ in a few bits vote for their picture, out of 50."""
    index, entries = made(50)
    save_index(index, tmp_path / "i")
    opened = open_index(tmp_path / "i")
    mine = np.flatnonzero(entries.owners == 17)[:10]
    flipped = entries.signatures[mine] ^ np.uint64(0b1011)
    found = opened.nearest(entries.words[mine][:, None], flipped[:, None], 5)
    assert opened.names[found[0]] == "p17"
    assert opened.votes(entries.words[mine][:, None], flipped[:, None])[17] > 0


def test_a_hash_proposes_its_picture() -> None:
    """The nearest hash is proposed first; far ones are not proposed at all."""
    index, _ = made(50)
    looks = index.hashes[9].copy()
    looks[0] ^= 0b11
    assert index.like(looks.tobytes(), 5) == [9]


def test_an_index_gives_its_entries_back() -> None:
    """Every entry comes out of an index as it went in, in the order of its words."""
    index, entries = made(5)
    order = np.argsort(entries.words, kind="stable")
    out = entries_in(index)
    assert np.array_equal(out.words, entries.words[order])
    assert np.array_equal(out.signatures, entries.signatures[order])
    assert np.array_equal(out.owners, entries.owners[order])


def test_an_empty_index_finds_nothing(tmp_path: Path) -> None:
    """An archive without pictures has an index, and nothing is found in it."""
    index, _ = made(0)
    save_index(index, tmp_path / "i")
    opened = open_index(tmp_path / "i")
    assert opened.nearest(np.zeros((3, 1), np.int32), np.zeros((3, 1), np.uint64), 5) == []
    assert opened.like(bytes(32), 5) == []


def test_broken_and_missing_files_are_told(tmp_path: Path) -> None:
    """A missing index says how to make one, a broken one how to make it again."""
    with pytest.raises(NotFound, match="cuttings index"):
        open_index(tmp_path / "i")
    (tmp_path / "i").write_bytes(b"something else\n")
    with pytest.raises(BadFile, match="--anew"):
        open_index(tmp_path / "i")
    index, _ = made(5)
    save_index(index, tmp_path / "i")
    whole = (tmp_path / "i").read_bytes()
    (tmp_path / "i").write_bytes(whole[: len(whole) // 2])
    with pytest.raises(BadFile, match="--anew"):
        open_index(tmp_path / "i")
