"""Fixtures every room's tests share."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def open_data() -> Path:
    """The folder of open data; skips with a reason where it is not at hand."""
    place = Path(os.environ.get("SETPIECE_OPEN_DATA", ROOT.parent / "shared" / "data"))
    if not place.is_dir():
        pytest.skip(f"open data not found at {place}: set SETPIECE_OPEN_DATA")
    return place


@pytest.fixture(scope="session")
def need_tool() -> Callable[[str], str]:
    """Gives a tool's path; without it the test skips here and fails under CI=true."""

    def find(name: str) -> str:
        found = shutil.which(name) or shutil.which(name, path="/usr/sbin:/usr/local/sbin")
        if found:
            return found
        reason = f"{name} is not installed"
        if os.environ.get("CI") == "true":
            pytest.fail(f"{reason}, and CI must run this test")
        pytest.skip(reason)

    return find
