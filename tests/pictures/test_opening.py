"""Opening pictures that somebody else made."""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path

import cv2
import numpy as np
import pytest

sys.path.append(str(Path(__file__).parent.parent))
from busy_pictures import busy
from setpiece.errors import BadFile
from setpiece.pictures.opening import LONG_SIDE_PX, opened_picture


def encoded(rgb: np.ndarray, ending: str) -> bytes:
    return cv2.imencode(ending, cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR))[1].tobytes()


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp", ".tiff", ".bmp"])
def test_every_kind_of_the_web_is_opened(ending: str) -> None:
    """A picture comes back the way round and in the colours it was saved with."""
    rgb = busy(21)
    found = opened_picture(encoded(rgb, ending))
    assert found.shape == rgb.shape
    assert np.abs(found.astype(int) - rgb).mean() < 8


def test_a_large_scan_is_reduced() -> None:
    """No more than 2,400 px of a scan are kept."""
    found = opened_picture(encoded(np.full((1200, 3600, 3), 90, np.uint8), ".jpg"))
    assert max(found.shape) == LONG_SIDE_PX


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp", ".tiff"])
def test_a_cut_file_ends_in_a_sentence(ending: str) -> None:
    """Half a file either shows something or says that it cannot be read; it never raises else."""
    whole = encoded(busy(22), ending)
    for share in (0.02, 0.3, 0.6):
        with suppress(BadFile):
            assert opened_picture(whole[: int(len(whole) * share)]).ndim == 3


def test_words_are_no_picture() -> None:
    """A text file is refused by its content, whatever its name."""
    with pytest.raises(BadFile):
        opened_picture(b"this is the caption")


def test_a_bold_header_is_not_believed() -> None:
    """A PNG that claims 200,000 px a side is not decoded."""
    head = b"\x89PNG\r\n\x1a\n" + (13).to_bytes(4, "big") + b"IHDR"
    with pytest.raises(BadFile, match=r"claims|cannot be decoded"):
        opened_picture(head + (200_000).to_bytes(4, "big") * 2 + b"\x08\x02\0\0\0")
