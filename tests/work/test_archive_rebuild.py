"""The database deleted and made again from the archive alone, compared table by table."""

from __future__ import annotations

import shutil
import sqlite3
import sys
from datetime import timedelta
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import fill, fill_rest, fit_clock, play, say, shoot

from setpiece.errors import GiveUp, NotFound, WrongUse
from setpiece.match.instants import Instant, instant
from setpiece.store import archive_tables
from setpiece.store.archive import Root, copies_of
from setpiece.store.bag import listed
from setpiece.store.matches import Match, add_fixture, match_folder
from setpiece.store.records import LEFT_OUT, tables
from setpiece.store.workspace import DATABASE, Workspace
from setpiece.work.archive.keep import archive_match, set_root
from setpiece.work.archive.rebuild import rebuild
from setpiece.work.archive.state import safety
from setpiece.work.demo import scenario
from setpiece.work.job import Unattended

Roots = tuple[Root, Root]
Rows = dict[str, list[tuple[object, ...]]]


@pytest.fixture
def roots(space: Workspace, now: Instant, tmp_path: Path) -> Roots:
    """Two roots of the archive."""
    for name in "ab":
        (tmp_path / name).mkdir()
    return set_root(space, tmp_path / "a", now), set_root(space, tmp_path / "b", now)


@pytest.fixture
def archived(space: Workspace, roots: Roots, now: Instant, tmp_path: Path) -> Match:
    """Two matches with something in every table, archived in both roots; the first of them."""
    made = play(space, now)
    frames = [shoot(space, made, n, f"29:3{n}", lens=f"{n}00mm") for n in range(1, 5)]
    fit_clock(space, made, now)
    say(space, made, frames[0], now, headline="Lead", description="Žofie Čapková & “Signe”\u2028.")
    say(space, made, frames[0], now, headline="Lead", description="A second version.")
    fill(space, made, frames[0], now, tmp_path / "copies")
    fill_rest(space, made, frames[0])
    later = scenario.fixture()
    other = add_fixture(space, _a_week_later(later), now)
    for of in (made, other):
        archive_match(space, of, roots, Unattended(now))
    return made


def _a_week_later(fixture: object) -> object:
    from dataclasses import replace

    at = instant(fixture.kick_off + timedelta(days=7))  # type: ignore[attr-defined]
    return replace(fixture, kick_off=at)  # type: ignore[type-var]


def rows_of(folder: Path) -> Rows:
    """Every row of every table, as SQLite has it."""
    with sqlite3.connect(folder / DATABASE) as raw:
        made = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'find_index%'"
        names = [r[0] for r in raw.execute(made)]
        found = {n: sorted(raw.execute(f'SELECT * FROM "{n}"'), key=repr) for n in names}
    raw.close()
    return found


def delete_database(space: Workspace) -> None:
    """The database and what SQLite keeps beside it are gone."""
    space.close()
    for path in space.folder.glob(DATABASE + "*"):
        path.unlink()


def test_the_rebuilt_database_is_the_deleted_one(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """Every recorded table had rows and has the same ones again; the rest is the stated list."""
    before = rows_of(space.folder)
    with space.reading() as connection:
        assert [name for name in tables(connection) if not before[name]] == []
    delete_database(space)
    made = rebuild(space.folder, [r.folder for r in roots], Unattended(now))
    assert made.troubles == ()
    after = rows_of(space.folder)
    for name in before.keys() - LEFT_OUT.keys():
        assert after[name] == before[name], name
    assert set(LEFT_OUT) == {
        "news", "waiting", "archive_copy", "find_row", "find_word", "find_read",
    }  # fmt: skip


def test_what_roots_hold_is_known_again(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """After a rebuild each root is known to hold what it holds, and nothing lags behind."""
    counts = {(c.root_id, c.match_id): c.files for c in copies_of(space)}
    delete_database(space)
    rebuild(space.folder, [r.folder for r in roots], Unattended(now))
    again = Workspace.open(space.folder)
    assert {(c.root_id, c.match_id): c.files for c in copies_of(again)} == counts
    assert not any(h.behind for h in safety(again, archived)[0].held)
    again.close()


def test_a_lost_laptop_comes_back_with_its_files(
    space: Workspace, archived: Match, roots: Roots, now: Instant, tmp_path: Path
) -> None:
    """Into an empty folder come database, settings and, when asked for, every original."""
    home = match_folder(space, archived)
    before = {p.relative_to(space.folder): p.read_bytes() for p in home.rglob("*.JPG")}
    folder = tmp_path / "new laptop"
    folder.mkdir()
    first = rebuild(folder, [roots[0].folder], Unattended(now))
    assert (first.not_here, (folder / "setpiece.toml").is_file()) == (5, True)
    (folder / DATABASE).unlink()
    second = rebuild(folder, [roots[0].folder], Unattended(now), files=True)
    assert (second.files, second.not_here, second.troubles) == (5, 0, ())
    assert {p: (folder / p).read_bytes() for p in before} == before


def test_a_harmed_record_is_not_believed(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """A record that differs from its hash is named, and another root's is taken."""
    before = rows_of(space.folder)
    record = roots[0].folder / archived.folder / "data/record/caption.jsonl"
    record.write_bytes(record.read_bytes().replace(b"second", b"third!"))
    delete_database(space)
    made = rebuild(space.folder, [r.folder for r in roots], Unattended(now))
    assert "caption.jsonl differs" in made.troubles[0].what
    assert rows_of(space.folder)["caption"] == before["caption"]


def test_one_match_alone_brings_what_it_leans_on(
    space: Workspace, archived: Match, roots: Roots, now: Instant, tmp_path: Path
) -> None:
    """A single bag gives a database without dangling rows: cameras and desks travel with it."""
    single = tmp_path / "single"
    shutil.copytree(roots[0].folder / archived.folder, single / archived.folder)
    made = rebuild(tmp_path / "other", [single], Unattended(now))
    assert made.troubles == ()
    assert made.rows["camera"] == made.rows["desk"] == 1


def test_the_newest_copy_is_taken(
    space: Workspace, archived: Match, roots: Roots, now: Instant
) -> None:
    """Of two roots the one archived later gives the match, whatever their order."""
    later = instant(now + timedelta(days=1))
    shoot(space, archived, 8, "30:00")
    archive_match(space, archived, roots[1:], Unattended(later))
    delete_database(space)
    rebuild(space.folder, [r.folder for r in roots], Unattended(now))
    assert len(rows_of(space.folder)["frame"]) == 5


def test_records_of_earlier_tables_are_brought_up_to_date(
    space: Workspace, archived: Match, roots: Roots, now: Instant, tmp_path: Path
) -> None:
    """A bag written before this version's tables gives its rows; one from the future is refused."""
    from setpiece.store.rebuilding import Recorded, build_database

    record = roots[0].folder / archived.folder / "data/record"
    texts = {p.stem: p.read_text("utf-8") for p in record.glob("*.jsonl")}
    for later in ("want", "match_plan"):
        texts.pop(later, None)
    (tmp_path / "old").mkdir()
    built = build_database(tmp_path / "old", [Recorded("m", "0001", texts)])
    assert built.rows["frame"] == 4
    opened = Workspace.open(tmp_path / "old")
    with opened.reading() as connection:
        assert connection.execute(archive_tables.invoice.select()).all() == []
    opened.close()
    (tmp_path / "new").mkdir()
    with pytest.raises(GiveUp, match="another version"):
        build_database(tmp_path / "new", [Recorded("m", "9999", texts)])


@pytest.mark.parametrize(
    "text", ['{"id": 1', "[1]", '{"id": 1, "x\\" --": 2}', '{"id": null, "folder": null}']
)
def test_a_record_that_does_not_fit_is_refused(tmp_path: Path, text: str) -> None:
    """A cut row, a row that is none, a strange column or a missing value leave no database."""
    from setpiece.errors import BadFile
    from setpiece.store.rebuilding import Recorded, build_database

    with pytest.raises(BadFile):
        build_database(tmp_path, [Recorded("m", "0002", {"match": text + "\n"})])
    with pytest.raises(BadFile):
        build_database(tmp_path, [Recorded("m", "0002", {"no such table": "{}\n"})])
    assert not (tmp_path / DATABASE).exists()


def test_nothing_is_rebuilt_over_a_database_or_from_nothing(
    space: Workspace, archived: Match, roots: Roots, now: Instant, tmp_path: Path
) -> None:
    """A folder with a database is left alone; a folder without bags is said to have none."""
    with pytest.raises(WrongUse, match="database here already"):
        rebuild(space.folder, [roots[0].folder], Unattended(now))
    with pytest.raises(NotFound):
        rebuild(tmp_path / "x", [tmp_path / "copies"], Unattended(now))
    assert len(listed(roots[0].folder / archived.folder)) > 10
