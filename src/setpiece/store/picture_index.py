"""The search index of cuttings: one file that can be made again from the kept points.

Entries are sorted by word, so that a word is a range of them; an entry is the number of its
picture (4 bytes) and a signature of 64 bits. Beside them stand the vocabulary, the pictures'
names and their coarse hashes. The file is mapped, not read: opening it costs nothing.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from setpiece.errors import BadFile, NotFound
from setpiece.store.copying import reading, write_proved

_MAGIC = b"SETPIECE PICTURES 1\n"
_ALIGN = 64

WITHIN_BITS = 20
"""Signatures that differ in more of their 64 bits are not of the same point."""

_LIKE_BITS = 72  # of 256: hashes of unrelated pictures lie about 128 apart

Numbers = NDArray[np.uint32]
Signatures = NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class PictureIndex:
    """An open index. `starts` holds where each word's entries begin, and their end.

    `stamps` has a number for each picture that changes with its points.
    """

    names: tuple[str, ...]
    centres: NDArray[np.uint8]
    medians: NDArray[np.float16]
    starts: NDArray[np.int64]
    pictures: Numbers
    signatures: Signatures
    hashes: NDArray[np.uint8]
    stamps: Signatures

    def votes(self, words: NDArray[np.int32], signatures: Signatures) -> NDArray[np.float32]:
        """How much speaks for each picture: a vote for every point whose signature is near.

        `words` and `signatures` are (n, nearest) of the cutting's points. A nearer signature and
        a rarer word count more; a picture gets one vote, the best, from each point and word.
        """
        total = np.zeros(len(self.names), dtype=np.float32)
        weights = _weights()
        held, owners, starts = self.signatures, self.pictures, self.starts.tolist()
        for word, signature in zip(words.ravel(), signatures.ravel(), strict=True):
            first, last = starts[word], starts[word + 1]
            apart = np.bitwise_count(held[first:last] ^ signature)
            near = np.flatnonzero(apart <= WITHIN_BITS)
            if near.size == 0:
                continue
            rare = np.log1p(len(owners) / (1.0 + last - first)) ** 2
            # Of several points of one picture one is counted: repeated places are set once.
            total[owners[first:last][near]] += weights[apart[near]] * rare / near.size**0.5
        return total

    def nearest(self, words: NDArray[np.int32], signatures: Signatures, most: int) -> list[int]:
        """The pictures that most speaks for, the first the most."""
        votes = self.votes(words, signatures)
        most = min(most, int((votes > 0).sum()))
        if most == 0:
            return []
        best = np.argpartition(-votes, most - 1)[:most]
        return [int(n) for n in best[np.argsort(-votes[best], kind="stable")]]

    def like(self, looks: bytes, most: int) -> list[int]:
        """Pictures whose hash is near: proposals only, for pictures that have few points."""
        wanted = np.frombuffer(looks, dtype=np.uint8)
        apart = np.bitwise_count(self.hashes ^ wanted).sum(axis=1)
        order = np.argsort(apart, kind="stable")[:most]
        return [int(n) for n in order if apart[n] <= _LIKE_BITS]


def _weights() -> NDArray[np.float32]:
    apart = np.arange(WITHIN_BITS + 1)
    return np.exp(-((apart / 12.0) ** 2)).astype(np.float32)


@dataclass(frozen=True, slots=True)
class Entries:
    """What is searched, one row an entry: its word, its signature, the number of its picture."""

    words: NDArray[np.int32]
    signatures: Signatures
    owners: Numbers


def entries_in(index: PictureIndex) -> Entries:
    """The entries of an index, so that another can be made that holds them too."""
    words = np.repeat(np.arange(len(index.centres), dtype=np.int32), np.diff(index.starts))
    return Entries(words, np.asarray(index.signatures), np.asarray(index.pictures))


def make_index(
    names: Sequence[str],
    entries: Entries,
    hashes: NDArray[np.uint8],
    stamps: Signatures,
    vocabulary: tuple[NDArray[np.uint8], NDArray[np.float16]],
) -> PictureIndex:
    """An index of those entries.

    `hashes` has one row of 32 bytes a picture, `stamps` a number that changes with its points.
    """
    order = np.argsort(entries.words, kind="stable")
    bounds = np.arange(len(vocabulary[0]) + 1)
    starts = np.searchsorted(entries.words[order], bounds).astype(np.int64)
    owners, signatures = entries.owners[order], entries.signatures[order]
    return PictureIndex(tuple(names), *vocabulary, starts, owners, signatures, hashes, stamps)


_ARRAYS = ("centres", "medians", "starts", "pictures", "signatures", "hashes", "stamps")


def save_index(index: PictureIndex, path: Path) -> int:
    """Writes the index in one step; its size in bytes."""
    arrays: Mapping[str, NDArray[Any]] = {n: getattr(index, n) for n in _ARRAYS}
    forms, at = {}, 0
    for name, array in arrays.items():
        forms[name] = {"kind": array.dtype.str, "shape": array.shape, "at": at}
        at += -(-array.nbytes // _ALIGN) * _ALIGN
    head = json.dumps({"arrays": forms, "names": index.names}).encode()
    head = _MAGIC + str(len(head)).encode() + b"\n" + head
    head += b" " * (-len(head) % _ALIGN)
    parts = [head]
    for array in arrays.values():
        data = np.ascontiguousarray(array).tobytes()
        parts += [data, bytes(-len(data) % _ALIGN)]
    whole = b"".join(parts)
    write_proved(whole, path)
    return len(whole)


def open_index(path: Path) -> PictureIndex:
    """The index in a file, mapped into memory. Raises NotFound, BadFile."""
    if not path.is_file():
        raise NotFound(
            "no pictures are indexed yet",
            thing=str(path.parent),
            next_step="Run: setpiece cuttings index",
        )
    try:
        with reading(path), path.open("rb") as stream:
            if stream.readline() != _MAGIC:
                raise ValueError("it begins otherwise")
            length = int(stream.readline())
            head = json.loads(stream.read(length))
            base = -(-stream.tell() // _ALIGN) * _ALIGN
        arrays = {n: _mapped(path, base, head["arrays"][n]) for n in _ARRAYS}
        return PictureIndex(tuple(head["names"]), **arrays)
    except (ValueError, KeyError, TypeError) as error:
        raise BadFile(
            f"the index cannot be read ({error})",
            thing=str(path),
            next_step="Make it again: setpiece cuttings index --anew",
        ) from error


def _mapped(path: Path, base: int, form: Mapping[str, Any]) -> NDArray[Any]:
    shape = tuple(form["shape"])
    if 0 in shape:
        return np.empty(shape, dtype=form["kind"])
    mapped = np.memmap(path, dtype=form["kind"], mode="r", offset=base + form["at"], shape=shape)
    return np.asarray(mapped)
