"""How far away the lens was focused, where a camera says it.

EXIF 2.32 (CIPA DC-008) SubjectDistance, 0x9206, in metres; 0 means unknown, a numerator of all
ones infinity. Makers' own tags by the names exiv2 gives them, as it prints them (from memory).
"""

from __future__ import annotations

import re

from setpiece.errors import BadFile
from setpiece.pictures.library import opened

_STANDARD = "Exif.Photo.SubjectDistance"
_MAKERS = ("Exif.CanonFi.FocusDistanceUpper", "Exif.NikonLd3.FocusDistance",
           "Exif.NikonLd4.FocusDistance2")  # fmt: skip
_METRES = re.compile(r"(\d+(?:\.\d+)?)\s*m\b")
FARTHEST_M = 1000.0
"""What lies beyond is as good as infinity."""


def focus_distance_m(data: bytes) -> float | None:
    """The distance in metres, None where the file has none or cannot be read."""
    try:
        with opened(data) as image:
            exif = image.exifData()
            texts: dict[str, str] = {}
            for datum in exif:
                key = datum.key()
                if key == _STANDARD:
                    texts[key] = datum.toString()
                elif key in _MAKERS:
                    texts[key] = datum.print(exif)
    except BadFile:
        return None
    if _STANDARD in texts and (found := _rational(texts[_STANDARD])) is not None:
        return found
    for key in _MAKERS:
        if metres := _METRES.search(texts.get(key, "")):
            return _sensible(float(metres[1]))
    return None


def _rational(text: str) -> float | None:
    top, _, bottom = text.partition("/")
    try:
        return _sensible(int(top) / int(bottom or 1))
    except (ValueError, ZeroDivisionError):
        return None


def _sensible(metres: float) -> float | None:
    return metres if 0 < metres <= FARTHEST_M else None
