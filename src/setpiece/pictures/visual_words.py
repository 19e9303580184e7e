"""Descriptors as words with signatures, so that 100,000 pictures are searched in one scan.

A word is the nearest of so many centres learnt from the archive itself by k-means; a signature
is 64 bits that tell where in the word's cell a descriptor lies (Hamming embedding: Jégou, Douze
and Schmid, ECCV 2008): the signs of a fixed orthogonal projection against the word's medians.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setpiece.pictures.features import DESCRIPTOR_BYTES, Descriptors, products

SIGNATURE_BITS = 64

_DESCRIPTORS_A_WORD, _SAMPLE_A_WORD = 512, 16
_FEWEST_WORDS, _MOST_WORDS = 8, 4096
_ROUNDS, _SEED = 6, 1863
_AT_ONCE = 8192

Floats = NDArray[np.float32]
Words = NDArray[np.int32]
Signatures = NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The words' centres (one byte a value) and medians of their projections."""

    centres: Descriptors
    medians: NDArray[np.float16]

    @property
    def count(self) -> int:
        """How many words there are."""
        return len(self.centres)


def sample_size(descriptors: int) -> int:
    """How many of so many descriptors a vocabulary is learnt from."""
    return min(descriptors, word_count(descriptors) * max(_SAMPLE_A_WORD, 2 * SIGNATURE_BITS))


def word_count(descriptors: int) -> int:
    """How many words an archive of so many descriptors gets."""
    return int(np.clip(descriptors // _DESCRIPTORS_A_WORD, _FEWEST_WORDS, _MOST_WORDS))


def learn(sample: Descriptors, of: int) -> Vocabulary:
    """A vocabulary for `of` descriptors, learnt from a sample of them; the same every time."""
    chance = np.random.default_rng(_SEED)
    count = min(word_count(of), max(1, len(sample)))
    few = sample[chance.permutation(len(sample))[: count * _SAMPLE_A_WORD]]
    centres = few[:count].astype(np.float32)
    for _ in range(_ROUNDS):
        words = _nearest(few, centres, 1)[:, 0]
        sums = np.zeros_like(centres)
        np.add.at(sums, words, few.astype(np.float32))
        sizes = np.bincount(words, minlength=count)
        filled = sizes > 0
        centres[filled] = sums[filled] / sizes[filled, None]
    rounded = np.asarray(np.clip(centres.round(), 0, 255), dtype=np.uint8)
    return Vocabulary(rounded, _medians(sample, rounded))


def _medians(sample: Descriptors, centres: Descriptors) -> NDArray[np.float16]:
    projected = _projected(sample)
    words = _nearest(sample, centres.astype(np.float32), 1)[:, 0]
    medians = np.repeat(np.median(projected, axis=0)[None], len(centres), axis=0)
    order = np.argsort(words, kind="stable")
    starts = np.searchsorted(words[order], np.arange(len(centres) + 1))
    for word in range(len(centres)):
        members = order[starts[word] : starts[word + 1]]
        if len(members) >= 8:  # fewer tell nothing of their own
            medians[word] = np.median(projected[members], axis=0)
    return medians.astype(np.float16)


def words_of(vocabulary: Vocabulary, descriptors: Descriptors, nearest: int = 1) -> Words:
    """The nearest words of each descriptor, the nearest first: (n, nearest)."""
    return _nearest(descriptors, vocabulary.centres.astype(np.float32), nearest)


def signatures_of(vocabulary: Vocabulary, descriptors: Descriptors, words: Words) -> Signatures:
    """The signature of each descriptor in each of its words: the shape of `words`."""
    projected = _projected(descriptors)
    bits = projected[:, None, :] > vocabulary.medians[words].astype(np.float32)
    packed = np.packbits(bits, axis=-1, bitorder="little")
    return np.asarray(packed.view("<u8")[..., 0], dtype=np.uint64)


def _nearest(descriptors: Descriptors, centres: Floats, nearest: int) -> Words:
    nearest = min(nearest, len(centres))
    halves = 0.5 * (centres**2).sum(axis=1)
    found = np.empty((len(descriptors), nearest), dtype=np.int32)
    centres = np.ascontiguousarray(centres)
    for at in range(0, len(descriptors), _AT_ONCE):
        close = products(descriptors[at : at + _AT_ONCE].astype(np.float32), centres) - halves
        if nearest == 1:
            found[at : at + _AT_ONCE, 0] = close.argmax(axis=1)
            continue
        best = np.argpartition(-close, nearest - 1, axis=1)[:, :nearest]
        order = np.argsort(-np.take_along_axis(close, best, axis=1), axis=1)
        found[at : at + _AT_ONCE] = np.take_along_axis(best, order, axis=1)
    return found


def _directions() -> Floats:
    drawn = np.random.default_rng(_SEED).normal(size=(DESCRIPTOR_BYTES, DESCRIPTOR_BYTES))
    return np.asarray(np.linalg.qr(drawn)[0][:, :SIGNATURE_BITS].T, dtype=np.float32)


_DIRECTIONS = _directions()


def _projected(descriptors: Descriptors) -> Floats:
    return products(descriptors.astype(np.float32), _DIRECTIONS)
