"""Fixtures every room's tests share."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant, instant
from setpiece.store.matches import Match, add_fixture
from setpiece.store.workspace import Workspace

if TYPE_CHECKING:
    from playwright.sync_api import Browser

settings.register_profile("setpiece", deadline=None)  # machines are noisy: no timed failures
settings.load_profile("setpiece")

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


CHROMIUM = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()
START_MS = 120_000
"""Longest start of the browser, on a busy machine."""


@pytest.fixture(scope="session")
def chromium(need_tool: Callable[[str], str]) -> Iterator[Browser]:
    """A headless browser; one for all tests, since Playwright runs once in a process."""
    from playwright.sync_api import sync_playwright

    path = need_tool("chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=CHROMIUM, timeout=START_MS)
        yield browser
        browser.close()


NOW = instant(datetime(2027, 3, 6, 14, 0, tzinfo=UTC))


@pytest.fixture
def now() -> Instant:
    """An instant before the match."""
    return NOW


@pytest.fixture
def space(tmp_path: Path) -> Iterator[Workspace]:
    """An empty workspace."""
    made = Workspace.create(tmp_path / "space")
    yield made
    made.close()


@pytest.fixture
def fixture() -> Fixture:
    """An invented fixture."""
    return Fixture(
        id="",
        home="Hollerau",
        away="Sankt Vend",
        competition="Alpine Women's Cup",
        kick_off=instant(datetime(2027, 3, 6, 14, 30, tzinfo=UTC)),
        time_zone="Europe/Vienna",
    )


@pytest.fixture
def match(space: Workspace, fixture: Fixture) -> Match:
    """The fixture's match."""
    return add_fixture(space, fixture, NOW)
