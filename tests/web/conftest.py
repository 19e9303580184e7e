"""A small match, the page served over it on the loopback address, and a real browser."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))

import small_match
from match_copies import made, own, pattern
from served import Page, serve

from setpiece.store.workspace import Workspace
from setpiece.web.standing import Standing
from setpiece.web.wording import Wording, wording
from setpiece.work.matchday import Matchday


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
