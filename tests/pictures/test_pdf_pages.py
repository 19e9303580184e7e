"""Pages of a PDF."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import numpy as np
import pytest
from fpdf import FPDF
from PIL import Image

sys.path.append(str(Path(__file__).parent.parent))
from busy_pictures import busy
from setpiece.errors import BadFile, NotFound
from setpiece.pictures.pdf_pages import facts_of, page_of, pages_in


def paper() -> bytes:
    """Two pages, a picture on the second, with a title."""
    pdf = FPDF(unit="mm", format="A4")
    pdf.set_title("Sports")
    pdf.set_author("Alpine Gazette")
    pdf.add_page()
    pdf.add_page()
    picture = io.BytesIO()
    Image.fromarray(busy(31)).save(picture, "PNG")
    pdf.image(picture, x=20, y=40, w=120)
    return bytes(pdf.output())


def test_pages_are_drawn() -> None:
    """Both pages are drawn at 200 dots an inch, the second with its picture."""
    data = paper()
    assert pages_in(data) == 2
    blank, full = page_of(data, 1), page_of(data, 2)
    assert abs(blank.shape[1] - 210 / 25.4 * 200) <= 2
    assert blank.min() == 255
    assert full.std() > 20
    assert full.dtype == np.uint8


def test_a_file_tells_its_title() -> None:
    """Title, author and the day it was made are read, in the form the ledger takes."""
    told = facts_of(paper())
    assert (told.title, told.author) == ("Sports", "Alpine Gazette")
    assert len(told.day) == 10


def test_a_broken_file_ends_in_a_sentence() -> None:
    """Half a PDF, none at all, and a page that is not there are told in words."""
    with pytest.raises(BadFile, match="cannot be opened"):
        pages_in(b"%PDF-1.7 nothing")
    with pytest.raises(NotFound, match="no such page"):
        page_of(paper(), 3)
