"""Pages of a PDF as pictures, drawn by PDFium."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Lock

import numpy as np
import pypdfium2

from setpiece.errors import BadFile, NotFound
from setpiece.pictures.features import Pixels

MAGIC = b"%PDF-"

_POINTS_AN_INCH = 72.0
_DOTS_AN_INCH, _MOST_PX = 200.0, 3600.0

_ONE_AT_A_TIME = Lock()  # PDFium is not made for threads


@dataclass(frozen=True, slots=True)
class PdfFacts:
    """What the file says of itself; empty where it is silent. `day` as 2027-03-07."""

    title: str = ""
    author: str = ""
    day: str = ""


def pages_in(data: bytes) -> int:
    """How many pages there are. Raises BadFile."""
    with _opened(data) as document:
        return len(document)


def page_of(data: bytes, number: int) -> Pixels:
    """A page, from 1, at 200 dots an inch, at most 3,600 px. Raises BadFile, NotFound."""
    with _opened(data) as document:
        if not 1 <= number <= len(document):
            raise NotFound("the file has no such page", thing=str(number))
        page = document[number - 1]
        longest = max(page.get_width(), page.get_height(), 1.0)
        scale = min(_DOTS_AN_INCH / _POINTS_AN_INCH, _MOST_PX / longest)
        drawn = page.render(scale=scale, rev_byteorder=True).to_numpy()
        return np.array(drawn[..., :3], dtype=np.uint8, order="C")


def facts_of(data: bytes) -> PdfFacts:
    """What the file says of itself. Raises BadFile."""
    with _opened(data) as document:
        told = document.get_metadata_dict(skip_empty=True)
    made = told.get("CreationDate", "").removeprefix("D:")[:8]
    day = f"{made[:4]}-{made[4:6]}-{made[6:]}" if len(made) == 8 and made.isdecimal() else ""
    return PdfFacts(told.get("Title", ""), told.get("Author", ""), day)


@contextmanager
def _opened(data: bytes) -> Iterator[pypdfium2.PdfDocument]:
    with _ONE_AT_A_TIME:
        try:
            document = pypdfium2.PdfDocument(data)
        except pypdfium2.PdfiumError as error:
            raise BadFile(
                f"this PDF cannot be opened ({error})",
                next_step="Where it asks for a password, save a copy without one.",
            ) from error
        try:
            yield document
        except pypdfium2.PdfiumError as error:
            raise BadFile(
                f"a page cannot be drawn ({error})", next_step="Save it as a picture."
            ) from error
        finally:
            document.close()
