"""Fixtures of the tests of captions; their helpers stand beside them."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent / "helpers"))
sys.path.append(str(Path(__file__).parent / "oracle"))

from cup_tie import DARK_LOG, LONG_LOG, CupTie

from setpiece.captions.acts import Acts
from setpiece.work.style_files import load_acts, style_names


@pytest.fixture(scope="session")
def acts() -> Acts:
    """The acts that are shipped."""
    return load_acts()


@pytest.fixture(scope="session")
def tie(acts: Acts) -> CupTie:
    """The cup tie as logged."""
    return CupTie(acts)


@pytest.fixture(scope="session")
def long_tie(acts: Acts) -> CupTie:
    """The tie that went to a shoot-out."""
    return CupTie(acts, LONG_LOG)


@pytest.fixture(scope="session")
def dark_tie(acts: Acts) -> CupTie:
    """The tie that was abandoned in the dark."""
    return CupTie(acts, DARK_LOG)


@pytest.fixture(params=style_names())
def style_name(request: pytest.FixtureRequest) -> str:
    """Every shipped style in turn."""
    return str(request.param)
