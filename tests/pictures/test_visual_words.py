"""Words and signatures of descriptors."""

from __future__ import annotations

import numpy as np

from setpiece.pictures.visual_words import (
    learn,
    sample_size,
    signatures_of,
    word_count,
    words_of,
)


def cloud(count: int, seed: int = 1) -> np.ndarray:
    """Descriptors in twenty heaps."""
    chance = np.random.default_rng(seed)
    heaps = chance.integers(0, 120, (20, 128))
    return np.clip(heaps[chance.integers(0, 20, count)] + chance.normal(0, 6, (count, 128)), 0, 255)


def test_a_vocabulary_is_the_same_every_time() -> None:
    """The same descriptors give the same words and signatures."""
    found = cloud(5000).astype(np.uint8)
    one, other = learn(found, 8192), learn(found, 8192)
    assert np.array_equal(one.centres, other.centres)
    assert one.count == word_count(8192) == 16


def test_near_descriptors_share_word_and_signature() -> None:
    """A slightly changed descriptor keeps its word and most bits; another one does not."""
    found = cloud(5000).astype(np.uint8)
    vocabulary = learn(found, 8192)
    some = found[:200]
    chance = np.random.default_rng(2)
    near = np.clip(some + chance.normal(0, 1.5, some.shape), 0, 255).astype(np.uint8)
    words = words_of(vocabulary, some, 3)
    assert words.shape == (200, 3)
    assert (words[:, 0] == words_of(vocabulary, near)[:, 0]).mean() > 0.95
    first = words[:, :1]
    a = signatures_of(vocabulary, some, first)[:, 0]
    b = signatures_of(vocabulary, near, first)[:, 0]
    assert np.median(np.bitwise_count(a ^ b)) < 16
    assert np.median(np.bitwise_count(a ^ np.roll(a, 7))) > 20


def test_a_few_descriptors_are_enough() -> None:
    """An archive of one picture, or of none with points, still gets a vocabulary."""
    assert learn(cloud(3).astype(np.uint8), 3).count == 3
    assert learn(np.zeros((1, 128), np.uint8), 0).count == 1
    assert sample_size(100) == 100
