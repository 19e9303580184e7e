"""Fixtures, sheets and the log in the workspace."""

from __future__ import annotations

from dataclasses import replace

import pytest

from setpiece.errors import Choices, NotFound, WrongUse
from setpiece.match.entries import Entry, EntryId, Kind
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant
from setpiece.match.people import Person, PersonId, SidePeople, TeamSheet
from setpiece.store.matches import (
    PLACES,
    Match,
    add_entries,
    add_fixture,
    add_sheet,
    find_match,
    folder_name,
    log_of,
    match_folder,
    match_without_fixture,
    matches,
    newest_sheet,
    save_fixture,
)
from setpiece.store.news import Topic, news_since
from setpiece.store.workspace import Workspace


def test_a_match_has_a_folder_a_person_can_read(space: Workspace, match: Match) -> None:
    """The folder is named by date and sides and holds a place for each kind of thing."""
    assert match.folder == "2027-03-06-hollerau-sankt-vend"
    assert all((space.folder / match.folder / place).is_dir() for place in PLACES)


def test_folder_names_take_any_alphabet() -> None:
    """Names without a Latin letter still give a folder name."""
    assert folder_name("2027-03-06", "Ærø ØB", "東") == "2027-03-06-r-b-side"


def test_a_fixture_comes_back_as_it_was(space: Workspace, match: Match, fixture: Fixture) -> None:
    """What was stored reads back equal, and so do changes to it."""
    assert find_match(space, None).fixture == replace(fixture, id=match.folder)
    changed = replace(fixture, venue="Stadion an der Traun")
    save_fixture(space, match, changed)
    assert find_match(space, "hollerau").fixture == changed


def test_the_same_fixture_twice_is_wrong_use(
    space: Workspace, match: Match, fixture: Fixture, now: Instant
) -> None:
    """A second fixture of the same sides on the same day is refused."""
    with pytest.raises(WrongUse):
        add_fixture(space, fixture, now)


def test_a_name_that_fits_two_matches_asks(
    space: Workspace, match: Match, fixture: Fixture, now: Instant
) -> None:
    """Several fitting matches are listed, none is guessed; no fitting one is said."""
    add_fixture(space, replace(fixture, away="Unterfeld"), now)
    assert len(matches(space)) == 2
    with pytest.raises(Choices, match="unterfeld"):
        find_match(space, "hollerau")
    with pytest.raises(NotFound, match="Choose one of"):
        find_match(space, "nowhere")


def test_frames_taken_before_the_fixture_become_its_frames(
    space: Workspace, fixture: Fixture, now: Instant
) -> None:
    """A folder of frames without a fixture is renamed to the fixture's, files and all."""
    early = match_without_fixture(space, "2027-03-06", now)
    (match_folder(space, early) / "frames" / "x.txt").write_text("kept")
    made = add_fixture(space, fixture, now)
    assert made.id == early.id
    assert (space.folder / made.folder / "frames" / "x.txt").read_text() == "kept"
    assert not (space.folder / early.folder).exists()


def test_a_crash_between_record_and_rename_is_healed(
    space: Workspace, fixture: Fixture, now: Instant
) -> None:
    """A folder that still has its former name is renamed when the match is next used."""
    early = match_without_fixture(space, "2027-03-06", now)
    match_folder(space, early)
    made = add_fixture(space, fixture, now)
    (space.folder / made.folder).rename(space.folder / early.folder)
    assert match_folder(space, made).is_dir()
    assert not (space.folder / early.folder).exists()


def test_entries_are_numbered_and_never_overwritten(
    space: Workspace, match: Match, now: Instant
) -> None:
    """Entries get the next numbers; superseding one keeps both; unknown ones are refused."""
    note = Entry(EntryId(0), Kind.NOTE, now, note="rain")
    first, second = add_entries(space, match, [note, note])
    assert (first.id, second.id) == (1, 2)
    add_entries(space, match, [replace(note, id=EntryId(3), note="snow", supersedes=first.id)])
    assert [e.note for e in log_of(space, match)] == ["rain", "rain", "snow"]
    with pytest.raises(NotFound):
        add_entries(space, match, [replace(note, id=EntryId(10), supersedes=EntryId(9))])
    assert len(log_of(space, match)) == 3
    assert [n.about for n in news_since(space, 0) if n.topic is Topic.LOG] == ["e1", "e2", "e3"]


def test_the_newest_sheet_holds(space: Workspace, match: Match, now: Instant) -> None:
    """Sheets are versions: none at first, then the latest."""
    assert newest_sheet(space, match) is None
    sheet = TeamSheet(SidePeople("Hollerau", "HOL"), SidePeople("Sankt Vend", "VND"))
    add_sheet(space, match, sheet, now)
    fuller = replace(sheet, people=(Person(PersonId("p1"), "Zoë d'Orval"),))
    add_sheet(space, match, fuller, now)
    assert newest_sheet(space, match) == fuller
