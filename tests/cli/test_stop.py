"""Ctrl-C in the middle of a long job."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import simplejpeg

FILES = 400


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A card with many small pictures."""
    folder = tmp_path / "card" / "DCIM" / "100SPA"
    folder.mkdir(parents=True)
    rng = np.random.default_rng(1)
    for number in range(FILES):
        pixels = rng.integers(0, 255, (200, 300, 3), dtype=np.uint8)
        (folder / f"SPA_{number:04d}.JPG").write_bytes(simplejpeg.encode_jpeg(pixels, quality=90))
    return tmp_path / "card"


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends no SIGINT to one process")
def test_a_job_stopped_by_ctrl_c_goes_on(
    in_match: Callable[..., Any], tmp_path: Path, card: Path
) -> None:
    """Ctrl-C ends with status 3 and words; what was copied is kept, the next run does the rest."""
    space = tmp_path / "space"
    process = subprocess.Popen(
        [sys.executable, "-m", "setpiece", "take", str(card), "--workspace", str(space)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    deadline = time.monotonic() + 60
    while len(list(space.rglob("*.JPG"))) < 5 and time.monotonic() < deadline:
        time.sleep(0.01)
    process.send_signal(signal.SIGINT)
    _, words = process.communicate(timeout=60)
    assert process.returncode == 3, words
    assert "Run it again to go on" in words
    there = len(list(space.rglob("*.JPG")))
    assert 5 <= there < FILES
    report = json.loads(in_match("take", str(card), "--json").out)
    assert report["known"] >= there - 1
    assert report["copied"] + report["known"] == FILES
    assert len(list((space).rglob("frames/**/*.JPG"))) == FILES
