"""Ways in which a file gets broken: cut, overwritten, shifted, lied about."""

from __future__ import annotations

import numpy as np

HEAD_BYTES = 70_000
"""Most damage that a parser can trip over lies in the head."""


def damaged(data: bytes, rng: np.random.Generator) -> bytes:
    """The file with one to three random kinds of damage, most of it in its head."""
    broken = data
    for _ in range(int(rng.integers(1, 4))):
        kinds = (_cut, _flipped, _overwritten, _zeroed, _inserted, _removed, _huge_lengths)
        broken = kinds[int(rng.integers(len(kinds)))](broken, rng) or b"\0"
    return broken


def _place(data: bytes, rng: np.random.Generator) -> int:
    reach = min(len(data), HEAD_BYTES) if rng.random() < 0.8 else len(data)
    return int(rng.integers(0, max(1, reach)))


def _cut(data: bytes, rng: np.random.Generator) -> bytes:
    return data[: int(rng.integers(0, len(data) + 1))]


def _flipped(data: bytes, rng: np.random.Generator) -> bytes:
    changed = bytearray(data)
    for _ in range(int(rng.integers(1, 40))):
        changed[_place(data, rng)] ^= 1 << int(rng.integers(8))
    return bytes(changed)


def _overwritten(data: bytes, rng: np.random.Generator) -> bytes:
    at, length = _place(data, rng), int(rng.integers(1, 3000))
    return data[:at] + rng.bytes(length) + data[at + length :]


def _zeroed(data: bytes, rng: np.random.Generator) -> bytes:
    at, length = _place(data, rng), int(rng.integers(1, 20_000))
    return data[:at] + bytes(min(length, len(data) - at)) + data[at + length :]


def _inserted(data: bytes, rng: np.random.Generator) -> bytes:
    at = _place(data, rng)
    return data[:at] + rng.bytes(int(rng.integers(1, 500))) + data[at:]


def _removed(data: bytes, rng: np.random.Generator) -> bytes:
    at = _place(data, rng)
    return data[:at] + data[at + int(rng.integers(1, 5000)) :]


def _huge_lengths(data: bytes, rng: np.random.Generator) -> bytes:
    """Counts and offsets set to the largest there are, where a directory may be."""
    changed = bytearray(data)
    for _ in range(int(rng.integers(1, 8))):
        at = _place(data, rng)
        changed[at : at + 4] = (b"\xff\xff\xff\xff", b"\xff\xff\xff\x7f", b"\xff\xff")[
            int(rng.integers(3))
        ]
    return bytes(changed)
