"""What a kit's colour looks like on the screen, from the word that stands for it.

The shades are ours, chosen to be told apart on paper and on the night edition.
"""

from __future__ import annotations

from types import MappingProxyType

UNKNOWN = "#808080"
"""A grey for a word that is not known."""

SHADES = MappingProxyType(
    {
        "red": "#b5382a", "crimson": "#a3172f", "claret": "#6f1d3a", "maroon": "#5e1f2b",
        "orange": "#d9731f", "amber": "#e0a320", "gold": "#c9a227", "yellow": "#e8c93a",
        "green": "#2f7a3f", "turquoise": "#2aa198", "sky blue": "#7db7e0", "blue": "#2455a4",
        "navy": "#1d2a52", "purple": "#6d2f86", "violet": "#6a4a9c", "pink": "#d9809f",
        "black": "#1c1c1c", "grey": "#8a8a8a", "silver": "#b9bcc0", "brown": "#6d4a2f",
        "white": "#f4f2ea",
    }
)  # fmt: skip
"""By the word as it is printed."""


def shade_of(colour: str) -> str:
    """The shade for a colour's word, `#rrggbb`; of several words the last that is known."""
    said = colour.strip().lower()
    if said in SHADES:
        return SHADES[said]
    return next((SHADES[w] for w in reversed(said.split()) if w in SHADES), UNKNOWN)
