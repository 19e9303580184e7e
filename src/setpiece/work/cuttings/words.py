"""From kept points to the search index. What an older index holds of a picture is taken over.

The vocabulary is learnt from the archive itself, and anew when the archive has grown so much
that it would get twice as many words.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

import numpy as np
import xxhash

from setpiece.errors import SetpieceError
from setpiece.pictures.features import (
    DESCRIPTOR_BYTES,
    HASH_BYTES,
    INDEXED_POINTS,
    Descriptors,
)
from setpiece.pictures.visual_words import (
    Vocabulary,
    learn,
    sample_size,
    signatures_of,
    word_count,
    words_of,
)
from setpiece.store.picture_index import (
    Entries,
    PictureIndex,
    entries_in,
    make_index,
    open_index,
    save_index,
)
from setpiece.store.picture_points import KeptPoints, PointStore
from setpiece.work.job import Caller, go_on

_SAID_EVERY = 100


def bring_up_to_date(
    store: PointStore, path: Path, caller: Caller, *, anew: bool = False
) -> PictureIndex:
    """The index of all kept points, made again only where something changed."""
    stamps = {name: _number(name, stamp) for name, stamp in store.stamps().items()}
    old = None if anew else _opened(path)
    known = dict(zip(old.names, old.stamps.tolist(), strict=True)) if old is not None else {}
    if old is not None and known == stamps:
        return old
    total = INDEXED_POINTS * len(stamps)
    if old is not None and word_count(total) < 2 * len(old.centres):
        words = Vocabulary(np.array(old.centres), np.array(old.medians))
    else:
        old, known, words = None, {}, learn(_sample(store, len(stamps)), total)
    made = _Making(words, {name: at for at, name in enumerate(stamps)})
    if old is not None:
        made.take_over(old, {n for n, stamp in known.items() if stamps.get(n) == stamp})
    made.add(store, caller)
    numbers = np.array(list(stamps.values()), dtype=np.uint64)
    index = make_index(
        list(stamps), made.entries(), made.hashes, numbers, (words.centres, words.medians)
    )
    save_index(index, path)
    return open_index(path)


def _opened(path: Path) -> PictureIndex | None:
    with suppress(SetpieceError):  # not there, or broken: it is made again
        return open_index(path)
    return None


def _number(name: str, stamp: str) -> int:
    return xxhash.xxh3_64_intdigest(f"{name}\0{stamp}")


def _sample(store: PointStore, pictures: int) -> Descriptors:
    """Descriptors to learn from, evenly from all pictures."""
    if pictures == 0:
        return np.zeros((1, DESCRIPTOR_BYTES), np.uint8)
    wanted = sample_size(INDEXED_POINTS * pictures)
    each = -(-wanted // pictures)
    step = max(1, pictures * each // max(1, wanted))
    chosen = [_descriptors(k)[:each] for at, k in enumerate(store.every()) if at % step == 0]
    sample = np.concatenate(chosen)
    return sample if len(sample) else np.zeros((1, DESCRIPTOR_BYTES), np.uint8)


def _descriptors(kept: KeptPoints) -> Descriptors:
    found = np.frombuffer(kept.descriptors, np.uint8).reshape(-1, DESCRIPTOR_BYTES)
    return np.asarray(found[:INDEXED_POINTS])


class _Making:
    """Entries being gathered; `numbers` gives each picture's place in the new index."""

    def __init__(self, words: Vocabulary, numbers: Mapping[str, int]) -> None:
        self._words, self._numbers = words, numbers
        self._parts: list[Entries] = []
        self._done: set[str] = set()
        self.hashes = np.zeros((len(numbers), HASH_BYTES), np.uint8)

    def take_over(self, old: PictureIndex, same: set[str]) -> None:
        """Takes over what an older index holds of pictures that did not change."""
        places = np.array(
            [self._numbers[n] if n in same else -1 for n in old.names], dtype=np.int64
        )
        held = entries_in(old)
        kept = np.flatnonzero(places[held.owners] >= 0)
        owners = places[held.owners[kept]].astype(np.uint32)
        self._parts.append(Entries(held.words[kept], held.signatures[kept], owners))
        self.hashes[places[places >= 0]] = old.hashes[places >= 0]
        self._done = same

    def add(self, store: PointStore, caller: Caller) -> None:
        """Adds the pictures that are not in yet."""
        new = [n for n in self._numbers if n not in self._done]
        for at in range(0, len(new), _SAID_EVERY):
            go_on(caller, f"{at} pictures are in the index")
            caller.progress(at, len(new), "Indexing")
            for kept in store.of(new[at : at + _SAID_EVERY]):
                self._add(kept)

    def _add(self, kept: KeptPoints) -> None:
        descriptors = _descriptors(kept)
        words = words_of(self._words, descriptors)
        signatures = signatures_of(self._words, descriptors, words)[:, 0]
        number = self._numbers[kept.name]
        owners = np.full(len(descriptors), number, dtype=np.uint32)
        self._parts.append(Entries(words[:, 0], signatures, owners))
        self.hashes[number] = np.frombuffer(kept.looks, np.uint8)

    def entries(self) -> Entries:
        """All of them."""
        if not self._parts:
            return Entries(np.empty(0, np.int32), np.empty(0, np.uint64), np.empty(0, np.uint32))
        return Entries(
            np.concatenate([p.words for p in self._parts]),
            np.concatenate([p.signatures for p in self._parts]),
            np.concatenate([p.owners for p in self._parts]),
        )
