"""Small pictures by halving."""

from __future__ import annotations

import numpy as np
import pytest
import simplejpeg

from setpiece.pictures.small import halved_to, small_pictures


def ramp(height: int, width: int) -> np.ndarray:
    """A picture that gets lighter to the right and redder downwards."""
    across = np.tile(np.linspace(0, 255, width), (height, 1))
    down = np.tile(np.linspace(0, 255, height)[:, None], (1, width))
    return np.stack((down, across, across), axis=2).astype(np.uint8)


@pytest.mark.parametrize(
    ("half", "preview", "thumbnail"),
    [
        ((1824, 2736), (912, 1368), (228, 342)),
        ((2736, 4128), (1368, 2064), (171, 258)),
        ((683, 1024), (683, 1024), (341, 512)),
        ((60, 90), (60, 90), (60, 90)),
        ((1, 3000), (1, 3000), (1, 3000)),
    ],
)
def test_sizes_come_from_halving(
    half: tuple[int, int], preview: tuple[int, int], thumbnail: tuple[int, int]
) -> None:
    """Of 20 and 45 megapixels, of a small copy and of a thumbnail; nothing is enlarged."""
    made = small_pictures(ramp(*half))
    assert made.rgb.shape[:2] == preview
    assert made.halved.shape[0] == max(1, half[0] // 2)
    assert simplejpeg.decode_jpeg(made.preview).shape[:2] == preview
    assert simplejpeg.decode_jpeg(made.thumbnail).shape[:2] == thumbnail


def test_halving_keeps_the_picture() -> None:
    """What was light, dark or red stays so, at every place, within what JPEG changes."""
    picture = ramp(1200, 1600)
    thumbnail = simplejpeg.decode_jpeg(small_pictures(picture).thumbnail).astype(int)
    scale = 1600 // thumbnail.shape[1]
    expected = picture[scale // 2 :: scale, scale // 2 :: scale].astype(int)
    assert np.abs(thumbnail - expected).max() <= 12


def test_a_pixel_is_the_mean_of_four() -> None:
    """Halving a picture of noise gives the means of its squares, and drops an odd row."""
    noise = np.random.default_rng(3).integers(0, 256, (101, 200, 3), dtype=np.uint8)
    means = noise[:100].reshape(50, 2, 100, 2, 3).mean(axis=(1, 3))
    assert np.abs(halved_to(noise, 150).astype(float) - means).max() <= 0.5
