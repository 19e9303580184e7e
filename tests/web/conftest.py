"""A small match, the page served over it on the loopback address, and a real browser."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))

import small_match
from served import Page, serve

from setpiece.store.workspace import Workspace
from setpiece.web.standing import Standing
from setpiece.web.wording import Wording, wording
from setpiece.work.matchday import Matchday


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


@pytest.fixture
def day(made: small_match.Made) -> Matchday:
    """The small match as it stands."""
    return Standing(Workspace.open(made.folder)).of(made.match.folder)


@pytest.fixture(scope="session")
def words() -> Wording:
    """The English texts."""
    return wording()


@pytest.fixture(scope="session")
def page(made: small_match.Made) -> Iterator[Page]:
    """The page over the match that nobody changes."""
    yield from serve(made)


@pytest.fixture
def own_page(own: small_match.Made) -> Iterator[Page]:
    """The page over a match of the test's own."""
    yield from serve(own)
