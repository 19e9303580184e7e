"""Photographs, small pictures and camera files for the tests of this room."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import simplejpeg

sys.path.append(str(Path(__file__).parent))


@pytest.fixture(scope="session")
def camera_file(open_data: Path) -> Callable[[str], bytes]:
    """The bytes of one of the real camera files, by name."""
    folder = open_data / "camera-files"
    if not folder.is_dir():
        pytest.skip(f"no camera files at {folder}")
    return lambda name: (folder / name).read_bytes()


@pytest.fixture(scope="session")
def scene() -> np.ndarray:
    """A picture of 480 x 320 with smooth colours, edges and letters of squares."""
    y, x = np.mgrid[0:320, 0:480].astype(np.float32)
    rgb = np.stack((x / 2, 255 - y / 2, 128 + 60 * np.sin(x / 40)), axis=2)
    rgb[60:140, 80:200] = (200, 30, 40)
    rgb[200:260, 300:420] = (20, 40, 160)
    rgb[::32, :, :] *= 0.7
    return rgb.clip(0, 255).astype(np.uint8)


@pytest.fixture(scope="session")
def scene_jpeg(scene: np.ndarray) -> bytes:
    """The same picture as a JPEG without metadata."""
    return bytes(simplejpeg.encode_jpeg(scene, quality=95, colorsubsampling="444"))
