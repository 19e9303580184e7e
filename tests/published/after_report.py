"""The rows that archive, rebuilding and statements add to the accuracy report."""

from __future__ import annotations

import random
import shutil
import sqlite3
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parent.parent / "work"))
sys.path.append(str(Path(__file__).resolve().parent.parent / "books"))

import bagit
import test_statements as statements
from after_the_match import fill, fill_rest, fit_clock, play, say, shoot

from setpiece.books.statements import StatementForm, read_statement
from setpiece.match.instants import Instant, instant
from setpiece.store.archive import Root, note_copy
from setpiece.store.bag import change, sha512
from setpiece.store.matches import match_without_fixture
from setpiece.store.records import tables
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.archive.keep import WORKSPACE_BAG, archive_match, set_root
from setpiece.work.archive.rebuild import rebuild
from setpiece.work.archive.verify import verify
from setpiece.work.job import Unattended

PLANTED, BESIDE = 1000, 200
NOW = instant(datetime(2027, 3, 6, 20, 0, tzinfo=UTC))
CONGRESS = "Library of Congress, bagit, reading RFC 8493 (2018)"
OWN = "the project's own demand"
CENT = "a statement is read to the cent or not at all"

Row = tuple[str, str, str, float, float, float, str]


def report_rows() -> list[Row]:
    """Each figure as (quantity, source, section, published, ours, tolerance, why)."""
    with tempfile.TemporaryDirectory() as folder:
        return [*_archived(Path(folder)), *_flipped(Path(folder)), *_statements()]


def _archived(folder: Path) -> list[Row]:
    """Bags held to another reader, and the database made again from them alone."""
    space = Workspace.create(folder / "workspace")
    root = _root(space, folder / "root", NOW)
    of = play(space, NOW)
    frames = [shoot(space, of, n, f"29:3{n}", lens=f"{n}00mm") for n in range(1, 5)]
    fit_clock(space, of, NOW)
    say(space, of, frames[0], NOW, headline="Lead", description="Žofie Čapková celebrates.")
    fill(space, of, frames[0], NOW, folder / "copies")
    fill_rest(space, of, frames[0])
    archive_match(space, of, [root], Unattended(NOW))
    valid = sum(bagit.Bag(str(root.folder / n)).is_valid() for n in (of.folder, WORKSPACE_BAG))
    before, names = _tables(space)
    space.close()
    shutil.rmtree(folder / "workspace")
    rebuild(folder / "again", [root.folder], Unattended(NOW))
    again = Workspace.open(folder / "again")
    after, _ = _tables(again)
    again.close()
    other = sum(before[n] != after.get(n) for n in names)
    return [
        ("bags of a match and its workspace that are valid", CONGRESS, "", 2, valid, 0,
         "a bag is valid or it is not"),
        (f"tables of {len(names)} that come back otherwise from the archive alone", OWN,
         "the database deleted, every table with rows", 0, other, 0,
         "nothing that was archived is lost"),
    ]  # fmt: skip


def _root(space: Workspace, place: Path, at: Instant) -> Root:
    place.mkdir()
    return set_root(space, place, at)


def _tables(space: Workspace) -> tuple[dict[str, list[str]], list[str]]:
    """Every row of every recorded table as text, and the tables' names."""
    with space.reading() as connection:
        names = sorted(tables(connection))
    with sqlite3.connect(space.folder / DATABASE) as raw:
        found = {n: sorted(map(repr, raw.execute(f'SELECT * FROM "{n}"'))) for n in names}
    raw.close()
    return found, names


def _flipped(folder: Path) -> list[Row]:
    """One bit in each of a thousand files, among two hundred whole ones."""
    chance = random.Random(1863)
    space = Workspace.create(folder / "flips")
    root = _root(space, folder / "flips root", NOW)
    of = match_without_fixture(space, "2027-03-06", NOW)
    bag = root.folder / of.folder
    files = {f"data/{n:05d}.bin": chance.randbytes(1 + n % 300) for n in range(PLANTED + BESIDE)}
    for path, data in files.items():
        (bag / path).parent.mkdir(parents=True, exist_ok=True)
        (bag / path).write_bytes(data)
    change(bag, {p: sha512(d) for p, d in files.items()}, {}, [])
    note_copy(space, root, of.id, NOW, device="1", files=len(files), size=1, news=0)
    planted = set(chance.sample(sorted(files), PLANTED))
    for path in planted:
        data = bytearray(files[path])
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        (bag / path).write_bytes(data)
    (found,) = verify(space, [root], Unattended(NOW), only=of)
    space.close()
    named = {h.path for h in found.harmed}
    why = "a scrub names what is harmed and nothing else"
    return [
        (f"files of {PLANTED} with one flipped bit that the scrub names", OWN, "", PLANTED,
         len(named & planted), 0, why),
        (f"whole files of {BESIDE} beside them that it names", OWN, "", 0, len(named - planted), 0,
         why),
    ]  # fmt: skip


def _statements() -> list[Row]:
    """The clean statement in every kind of dirt, and rows that may mean something else."""
    right = sum(_same(kind) for kind in statements.DIRT)
    refused = sum(_refused(row) for row in statements.UNREADABLE.values())
    return [
        ("kinds of dirty statement read to the cent", OWN, "at least 20", len(statements.DIRT),
         right, 0, CENT),
        ("rows that may mean something else, refused alone", OWN, "", len(statements.UNREADABLE),
         refused, 0, CENT),
    ]  # fmt: skip


def _same(kind: str) -> bool:
    form = statements.FORM
    if kind == "dates with points":
        form = StatementForm(form.columns, "EUR", day_order="dmy")
    read = read_statement(statements.DIRT[kind], form)
    return statements.told(read) == statements.CLEAN and not read.unread


def _refused(row: list[str]) -> bool:
    cells = [*statements.grid()[:3], row, *statements.grid()[3:]]
    read = read_statement(statements.text(cells).encode(), statements.FORM)
    return len(read.unread) == 1 and statements.told(read) == statements.CLEAN
