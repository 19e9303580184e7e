"""The colours of both editions keep their contrast."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

AA_TEXT = 4.5
"""WCAG 2.2, success criterion 1.4.3: the least contrast of normal text."""

STYLES = files("setpiece.web").joinpath("static/css/colours.css").read_text("utf-8")
INKS = ("ink-0", "ink-1", "ink-2", "ink-3", "green", "ochre", "brick")
PAPERS = ("paper-0", "paper-1", "paper-2")


def editions() -> dict[str, dict[str, str]]:
    """The raw colours of each edition."""
    day, system_night, night = (
        dict(re.findall(r"--([a-z]+-?\d?): (#[0-9a-f]{6})", block))
        for block in re.findall(r"\{[^{}]*--ink-0:[^{}]*\}", STYLES)
    )
    assert system_night == night
    return {"day": day, "night": night}


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, section "relative luminance"."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("edition", ["day", "night"])
def test_every_ink_can_be_read_on_every_paper(edition: str) -> None:
    """Every text colour has at least the contrast of WCAG AA on every paper of its edition."""
    colours = editions()[edition]
    for ink in INKS:
        for paper in PAPERS:
            one, other = sorted((luminance(colours[ink]), luminance(colours[paper])))
            contrast = (other + 0.05) / (one + 0.05)
            assert contrast >= AA_TEXT, f"{ink} on {paper}: {contrast:.2f}"


def test_only_the_raw_level_differs_between_editions() -> None:
    """What a colour means is said once; an edition redefines raw colours only."""
    assert STYLES.count("--page:") == 1
    assert STYLES.count("--right:") == 1
