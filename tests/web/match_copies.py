"""The small match as fixtures: one that is shown, and copies to be changed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import small_match


@pytest.fixture(scope="session")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> small_match.Made:
    """The small match as it is copied; never opened, so a copy is never torn."""
    return small_match.make(tmp_path_factory.mktemp("pattern") / "workspace")


@pytest.fixture(scope="session")
def made(pattern: small_match.Made, tmp_path_factory: pytest.TempPathFactory) -> small_match.Made:
    """The small match that is shown; nobody changes it."""
    return _copied(pattern, tmp_path_factory.mktemp("small"))


@pytest.fixture
def own(pattern: small_match.Made, tmp_path: Path) -> small_match.Made:
    """A copy of the small match, to be changed."""
    return _copied(pattern, tmp_path)


def _copied(pattern: small_match.Made, folder: Path) -> small_match.Made:
    shutil.copytree(pattern.folder, folder / "workspace")
    return small_match.Made(folder / "workspace", pattern.match, pattern.frames)
