"""What lies in a cutting's file: a picture, or the pages of a PDF, and what the file says of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from setpiece.books.cuttings import Publication
from setpiece.errors import BadFile, NotFound
from setpiece.pictures.features import Pixels
from setpiece.pictures.iptc import read_fields
from setpiece.pictures.opening import opened_picture
from setpiece.pictures.pdf_pages import MAGIC, facts_of, page_of, pages_in
from setpiece.store.copying import reading
from setpiece.work.cuttings.index import FOLDER_OF_PICTURES, PICTURES

_PDF = ".pdf"
_FROM_FILE = "the file"


@dataclass(frozen=True, slots=True)
class CuttingPart:
    """A picture, or one page of a PDF (`part` from 1; 0 for a picture)."""

    part: int
    rgb: Pixels
    publication: Publication


def files_meant(paths: Iterable[Path]) -> list[Path]:
    """The files that are meant: those named, and what could be a cutting in folders named."""
    meant: list[Path] = []
    for path in paths:
        if path.is_dir():
            meant += sorted(
                p
                for p in path.rglob("*")
                if p.suffix.lower() in PICTURES | {_PDF}
                and FOLDER_OF_PICTURES not in p.parts
                and not p.name.startswith(".")
            )
        elif path.is_file():
            meant.append(path)
        else:
            raise NotFound("there is no such file", thing=str(path), next_step="Check the path.")
    return meant


def read_bytes(path: Path) -> bytes:
    """The content of a file. Raises BadFile or TryAgain when it cannot be read."""
    with reading(path):
        return path.read_bytes()


def parts_of(data: bytes) -> Iterator[CuttingPart]:
    """What lies in a file's content. Raises BadFile."""
    told = published_by(data)
    if not data.startswith(MAGIC):
        yield CuttingPart(0, opened_picture(data), told)
        return
    for number in range(1, pages_in(data) + 1):
        on_page = replace(told, placement=f"page {number}")
        yield CuttingPart(number, page_of(data, number), on_page)


def pixels_of(data: bytes, part: int) -> Pixels:
    """The pixels of one part. Raises BadFile."""
    return page_of(data, part) if part else opened_picture(data)


def published_by(data: bytes) -> Publication:
    """Who published it and when, as far as the file says.

    A PDF by its author, title and date; a picture by what its metadata gives as its source, title
    and credit. A picture's own date is when it was made, not published: it is not taken.
    """
    if data.startswith(MAGIC):
        facts = facts_of(data)
        told = Publication(facts.author, facts.day, facts.title)
    else:
        told = Publication()
        with suppress(BadFile):
            fields = read_fields(data)
            told = Publication(
                fields.source, "", fields.title or fields.headline, "", fields.credit
            )
    return told if told == Publication() else replace(told, told_by=_FROM_FILE)
