"""Text for old desks: ASCII only, letter by letter, never a mark of a lost character."""

from __future__ import annotations

import unicodedata
from dataclasses import fields, is_dataclass, replace
from types import MappingProxyType
from typing import TypeVar

_SIGNS = MappingProxyType(
    {
        "ß": "ss", "ẞ": "SS", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O",
        "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "ð": "d", "Ð": "D", "þ": "th", "Þ": "Th",
        "ı": "i", "ħ": "h", "ŋ": "n", "ə": "e", "–": "-", "—": "-", "‑": "-", "−": "-",
        "’": "'", "‘": "'", "′": "'", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
        "…": "...", "©": "(c)", "®": "(R)", "™": "(TM)", "·": ".", "•": "*", "×": "x",
        "€": "EUR", "£": "GBP", "½": "1/2", "\u00a0": " ", "\u202f": " ",
    }
)  # fmt: skip
"""Letters and signs that Unicode does not take apart. Common practice."""

Value = TypeVar("Value")


def ascii_only(text: str) -> str:
    """The text in ASCII: accents dropped, other letters by the table, the rest left out."""
    spelled = "".join(_SIGNS.get(c, c) for c in text)
    apart = unicodedata.normalize("NFKD", spelled)
    return "".join(c for c in apart if c.isascii())


def in_ascii(value: Value) -> Value:
    """A value of the field table with every text in it in ASCII."""
    if isinstance(value, str):
        return ascii_only(value)  # type: ignore[return-value]
    if isinstance(value, tuple):
        return tuple(in_ascii(v) for v in value)  # type: ignore[return-value]
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: in_ascii(getattr(value, f.name)) for f in fields(value)})
    return value
