"""Pages of a PDF as pictures, drawn by PDFium."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
import pypdfium2

from setpiece.errors import BadFile
from setpiece.pictures.features import Pixels

MAGIC = b"%PDF-"

_POINTS_AN_INCH = 72.0
_DOTS_AN_INCH, _MOST_PX = 200.0, 3600.0


@dataclass(frozen=True, slots=True)
class Page:
    """A page: its number from 1, and how it looks, RGB."""

    number: int
    rgb: Pixels


@dataclass(frozen=True, slots=True)
class PdfFacts:
    """What the file says of itself; empty where it is silent. `day` as 2027-03-07."""

    title: str = ""
    author: str = ""
    day: str = ""


def pages_of(data: bytes) -> Iterator[Page]:
    """Each page at 200 dots an inch, at most 3,600 px high. Raises BadFile."""
    document = _opened(data)
    try:
        for index in range(len(document)):
            page = document[index]
            longest = max(page.get_width(), page.get_height(), 1.0)
            scale = min(_DOTS_AN_INCH / _POINTS_AN_INCH, _MOST_PX / longest)
            drawn = page.render(scale=scale, rev_byteorder=True).to_numpy()
            yield Page(index + 1, np.ascontiguousarray(drawn[..., :3], dtype=np.uint8))
            page.close()
    except pypdfium2.PdfiumError as error:
        raise BadFile(f"a page cannot be drawn ({error})", next_step="Save it as a picture.") from (
            error
        )
    finally:
        document.close()


def facts_of(data: bytes) -> PdfFacts:
    """What the file says of itself. Raises BadFile."""
    document = _opened(data)
    try:
        told = document.get_metadata_dict(skip_empty=True)
    finally:
        document.close()
    made = told.get("CreationDate", "").removeprefix("D:")
    day = ""
    with suppress(ValueError):
        if len(made) >= 8:
            int(made[:8])
            day = f"{made[:4]}-{made[4:6]}-{made[6:8]}"
    return PdfFacts(told.get("Title", ""), told.get("Author", ""), day)


def _opened(data: bytes) -> pypdfium2.PdfDocument:
    try:
        return pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        raise BadFile(
            f"this PDF cannot be opened ({error})",
            next_step="Where it asks for a password, save a copy without one.",
        ) from error
