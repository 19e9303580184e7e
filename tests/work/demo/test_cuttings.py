"""The demo's cuttings as they are laid out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path, PurePosixPath

import numpy as np
import pytest
import simplejpeg

from setpiece.work.demo.cuttings import STRANGERS, WAYS, lay_cuttings
from setpiece.work.demo.planted import Planted, planted


@pytest.fixture
def cards(tmp_path: Path) -> Planted:
    """Small noise in place of the frames that cuttings are made from."""
    truth = planted(tmp_path / "cards")
    frames = []
    for number, frame in enumerate(truth.frames):
        if any(frame == truth.best(passage) for passage, *_ in WAYS):
            small = replace(frame, file=PurePosixPath(f"{number}.jpg"), orientation=1)
            pixels = np.random.default_rng(number).integers(0, 255, (240, 360, 3), dtype=np.uint8)
            (tmp_path / "cards").mkdir(exist_ok=True)
            (tmp_path / "cards" / f"{number}.jpg").write_bytes(simplejpeg.encode_jpeg(pixels))
            frames.append(small)
        else:
            frames.append(frame)
    return replace(truth, frames=tuple(frames))


def test_each_way_gives_a_picture_and_so_does_each_stranger(cards: Planted, tmp_path: Path) -> None:
    """Six cuttings, each of another frame, and five pictures of strangers, all JPEGs."""
    behind = lay_cuttings(tmp_path / "cuttings", cards)
    assert len(behind) == len({f.id for f in behind.values()}) == len(WAYS) == 6
    files = sorted((tmp_path / "cuttings").iterdir())
    assert len(files) == len(WAYS) + STRANGERS
    for file in files:
        assert simplejpeg.decode_jpeg(file.read_bytes()).std() > 5


def test_cuttings_are_the_same_in_every_run(cards: Planted, tmp_path: Path) -> None:
    """Two runs lay the same bytes."""
    for run in "ab":
        lay_cuttings(tmp_path / run, cards)
    for file in (tmp_path / "a").iterdir():
        assert file.read_bytes() == (tmp_path / "b" / file.name).read_bytes()
