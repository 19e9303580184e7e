"""Small disks of memory that a test may fill, lock and pull, where the system lets it mount."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

MOST_S = 60


class Mounts:
    """Mounts of one test; each is gone when it ends."""

    def __init__(self) -> None:
        self._there: list[Path] = []

    def disk(self, place: Path, size: str = "64m") -> Path:
        """An empty disk of that size."""
        place.mkdir(parents=True, exist_ok=True)
        _mount("-t", "tmpfs", "-o", f"size={size},mode=755", "setpiece-test", str(place))
        self._there.append(place)
        return place

    def image(self, place: Path, file: Path, size_mb: int) -> Path:
        """An empty disk of that size that is kept in a file; it may be larger than memory."""
        place.mkdir(parents=True, exist_ok=True)
        with file.open("wb") as empty:
            empty.truncate(size_mb << 20)
        _told("mkfs.ext4", "-q", "-F", "-m", "0", str(file))
        _mount("-o", "loop", str(file), str(place))
        self._there.append(place)
        return place

    def change(self, place: Path, options: str) -> None:
        """The same disk, with another size or locked (`ro`) or unlocked (`rw`)."""
        _mount("-o", f"remount,{options}", str(place))

    def insert(self, card: Path, reader: Path) -> None:
        """What is on a disk shows up in a card reader's folder."""
        reader.mkdir(parents=True, exist_ok=True)
        _mount("--bind", str(card), str(reader))
        self._there.append(reader)

    def pull(self, place: Path) -> None:
        """Takes a disk away, whoever reads it."""
        subprocess.run(["umount", "-l", place], check=True, timeout=MOST_S)
        self._there.remove(place)

    def close(self) -> None:
        """Takes everything away."""
        for place in reversed(self._there):
            subprocess.run(["umount", "-l", place], check=False, timeout=MOST_S)


@contextmanager
def mounts() -> Iterator[Mounts]:
    """Mounts for one test; skips with the reason where this machine cannot mount."""
    if sys.platform != "linux":
        pytest.skip("small disks are mounted on Linux only")
    if os.geteuid() != 0:
        pytest.skip("only root may mount a small disk")
    made = Mounts()
    try:
        yield made
    finally:
        made.close()


def _mount(*words: str) -> None:
    _told("mount", *words)


def _told(*words: str) -> None:
    try:
        ran = subprocess.run(words, capture_output=True, text=True, timeout=MOST_S)
    except FileNotFoundError:
        pytest.skip(f"there is no {words[0]} command here")
    if ran.returncode:
        pytest.skip(f"this machine refuses to mount: {ran.stderr.strip()}")
