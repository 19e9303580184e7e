"""Finding pictures of every match by words, people, situation and what became of them."""

from __future__ import annotations

import csv
import io
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import fill, fit_clock, play, say, shoot
from sqlalchemy import insert

from setpiece.errors import NotFound, Stopped, WrongUse
from setpiece.match.entries import Entry, EntryId, Kind
from setpiece.match.instants import Instant, instant
from setpiece.match.people import Side
from setpiece.store.archive_tables import book_entry
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries, match_without_fixture
from setpiece.store.search_index import counts
from setpiece.store.workspace import Workspace
from setpiece.work.demo import scenario
from setpiece.work.find.pictures import Found, as_csv, catch_up, find, index_anew
from setpiece.work.find.search import Search, drop, every_kept, keep, kept, read_date, read_minutes
from setpiece.work.find.words import expression_of
from setpiece.work.job import Unattended

LEAD, COACH, SCARF = "f000000000001", "f000000000002", "f000000000003"


@pytest.fixture
def stock(space: Workspace, now: Instant, tmp_path: Path) -> Match:
    """Three captioned frames of the demo's match: a lead, a coach losing, supporters at level."""
    of = play(space, now)
    shoot(space, of, 1, "31:00", upright=True)
    shoot(space, of, 2, "41:30", lens="70-200mm f/2.8", focal_length_mm=135.0)
    shoot(space, of, 3, "05:00", period=2)
    shoot(space, of, 4, "32:00")
    fit_clock(space, of, now)
    sheet = scenario.sheet()
    home = next(p for p in sheet.people if p.side == "home" and p.starts)
    away = next(p for p in sheet.people if p.side == "away" and "coach" in p.role)
    say(
        space, of, LEAD, now,
        headline=f"{home.name} celebrates the lead",
        description=f"{home.name} celebrates after the free kick, 2–1, by the corner flag.",
        people=[home.name], keywords=["celebration", "joy"],
    )  # fmt: skip
    say(
        space, of, COACH, now,
        headline=f"{away.name} reacts", description=f"Head coach {away.name} reacts.",
        people=[away.name], keywords=["reaction", "dejection"],
    )  # fmt: skip
    say(
        space, of, SCARF, now,
        headline="Supporters", description="Supporters lift a scarf that reads “Žofie”.",
        keywords=["supporters"],
    )  # fmt: skip
    fill(space, of, LEAD, now, tmp_path / "copies")
    decide(space, of, SCARF, Decision.HOLD)
    return of


def found(space: Workspace, now: Instant, words: str = "", **wanted: object) -> list[str]:
    """Ids of what a search finds."""
    search = Search(words=words, **wanted)  # type: ignore[arg-type]
    return sorted(h.frame_id for h in find(space, search, Unattended(now)).hits)


def test_words_find_captions_with_their_pictures(
    space: Workspace, stock: Match, now: Instant
) -> None:
    """A hit carries match, file, minute and caption; a frame without a caption is none."""
    (hit,) = find(space, Search(words="corner flag"), Unattended(now)).hits
    assert (hit.match, hit.frame, hit.minute) == (stock.folder, "A-0001", 77)
    assert (space.folder / hit.path).is_file()
    assert "corner flag" in hit.description
    assert find(space, Search(), Unattended(now)).total == 3


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("žofie", [SCARF]),
        ("zofie", [SCARF]),
        ("ZOFIE scarf", [SCARF]),
        ("celebrat", [LEAD]),
        ('"corner flag"', [LEAD]),
        ('"flag corner"', []),
        ("celebartes", [LEAD]),
        ("suporters", [SCARF]),
        ("2-1", [LEAD, COACH]),
        ("dejection", [COACH]),
        ("kangaroo", []),
        ("scarf kangaroo", []),
        ("leading", [LEAD]),
        ("coach losing", [COACH]),
        ("lantern", [LEAD, COACH, SCARF]),
    ],
)
def test_words_meet_accents_beginnings_slips_scores_and_situations(
    space: Workspace, stock: Match, now: Instant, words: str, expected: list[str]
) -> None:
    """What is typed finds what is meant."""
    assert found(space, now, words) == sorted(expected)


def test_a_slip_is_said(space: Workspace, stock: Match, now: Instant) -> None:
    """What was looked for instead stands in the notes, and so does a word nobody wrote."""
    notes = find(space, Search(words="suporters"), Unattended(now)).notes
    assert "nothing has suporters: looked for supporters" in notes
    assert find(space, Search(words="kangaroo"), Unattended(now)).notes == (
        "no caption has kangaroo",
    )


def test_a_number_is_never_taken_for_another(space: Workspace, stock: Match) -> None:
    """A shirt number with a slip finds nothing: numbers are not corrected."""
    assert not expression_of(space, "20277").possible


def test_filters_narrow(space: Workspace, stock: Match, now: Instant) -> None:
    """Each filter leaves the frames that meet it."""
    day = date(2027, 3, 6)
    wanted: list[tuple[dict[str, object], list[str]]] = [
        ({"keywords": ("joy",)}, [LEAD]),
        ({"situation": "leading"}, [LEAD]),
        ({"situation": "second half"}, [LEAD, COACH, SCARF]),
        ({"competition": "lantern cup"}, [LEAD, COACH, SCARF]),
        ({"since": day, "until": day}, [LEAD, COACH, SCARF]),
        ({"since": day + timedelta(days=1)}, []),
        ({"minutes": (70, 80)}, [LEAD]),
        ({"camera": "a"}, [LEAD, COACH, SCARF]),
        ({"camera": "alder"}, [LEAD, COACH, SCARF]),
        ({"lens": "400"}, [LEAD, SCARF]),
        ({"lens": "70-200"}, [COACH]),
        ({"upright": True}, [LEAD]),
        ({"upright": False}, [COACH, SCARF]),
        ({"match": "marnstein"}, [LEAD, COACH, SCARF]),
        ({"match": "elsewhere"}, []),
        ({"in_set": True}, [LEAD, COACH]),
        ({"delivered_to": "city"}, [LEAD]),
        ({"unused": True}, [COACH, SCARF]),
        ({"published": True}, []),
    ]
    for values, expected in wanted:
        assert found(space, now, **values) == sorted(expected), values


def test_people_and_sides_are_those_of_the_picture(
    space: Workspace, stock: Match, now: Instant
) -> None:
    """A person or a side named in the picture is found there, not wherever the word stands."""
    sheet = scenario.sheet()
    assert found(space, now, sides=(sheet.home.name,)) == [LEAD]
    assert found(space, now, sides=(sheet.away.name,)) == [COACH]
    assert found(space, now, people=("Žofie",)) == []
    coach = next(p for p in sheet.people if p.side == "away" and "coach" in p.role)
    assert found(space, now, people=(coach.name,)) == [COACH]


def test_a_published_frame_is_no_unused_stock(space: Workspace, stock: Match, now: Instant) -> None:
    """A use in the ledger counts until it is reversed."""
    use = {"kind": "use", "day": "2027-03-07", "entry": "{}", "made": now.isoformat()}
    with space.writing() as connection:
        connection.execute(insert(book_entry).values(number=1, frame_id=COACH, **use))
    assert found(space, now, published=True) == [COACH]
    assert found(space, now, unused=True) == [SCARF]
    with space.writing() as connection:
        connection.execute(
            insert(book_entry).values(**(use | {"number": 2, "kind": "reversal", "reverses": 1}))
        )
    assert found(space, now, published=True) == []


def test_a_new_caption_is_found_at_once(space: Workspace, stock: Match, now: Instant) -> None:
    """The index follows captions and the log from the news; nothing new costs nothing."""
    catch_up(space, Unattended(now))
    assert catch_up(space, Unattended(now)) == 0
    say(space, stock, COACH, now, headline="h", description="The coach waves.")
    assert catch_up(space, Unattended(now)) == 1
    assert (found(space, now, "waves"), found(space, now, "dejection")) == ([COACH], [])
    goal = Entry(EntryId(0), Kind.GOAL, instant(scenario.at(2, "35:00")), side=Side.HOME)
    add_entries(space, stock, [goal])
    assert (found(space, now, "3-1"), found(space, now, "2-1")) == ([COACH], [LEAD])


def test_a_decision_counts_without_indexing(space: Workspace, stock: Match, now: Instant) -> None:
    """Use, delivery and publication are asked of the workspace itself."""
    assert found(space, now, in_set=True) == sorted([LEAD, COACH])
    decide(space, stock, SCARF, Decision.USE)
    assert catch_up(space, Unattended(now)) == 0
    assert found(space, now, in_set=True) == sorted([LEAD, COACH, SCARF])


def test_the_index_can_be_made_anew(space: Workspace, stock: Match, now: Instant) -> None:
    """Made again, it holds each captioned frame once and finds the same."""
    say(space, stock, COACH, now, headline="h", description="The coach reacts twice.")
    before = found(space, now, "coach")
    assert index_anew(space, Unattended(now)) == 3
    assert counts(space) == (3, 0)
    assert found(space, now, "coach") == before


class Stops(Unattended):
    """A photographer who stops at once."""

    def stopped(self) -> bool:
        """Yes."""
        return True


def test_a_stopped_catch_up_goes_on(space: Workspace, stock: Match, now: Instant) -> None:
    """Stopped before the first match, the next search indexes it."""
    with pytest.raises(Stopped):
        find(space, Search(words="coach"), Stops(now))
    assert found(space, now, "coach") == [COACH]


def test_frames_without_a_fixture_are_found_by_words(space: Workspace, now: Instant) -> None:
    """A caption typed before the fixture was made has no situation but is found."""
    of = match_without_fixture(space, "2027-03-06", now)
    frame = shoot(space, of, 1, "29:30")
    say(space, of, frame, now, headline="General view", description="The stand before the match.")
    assert found(space, now, "general view") == [frame]


def test_common_words_come_newest_first_and_say_so(
    space: Workspace, stock: Match, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no word is rare nothing is ranked; past 20,000 the number is left open."""
    from setpiece.store import search as store
    from setpiece.work.find import words as find_words

    monkeypatch.setattr(find_words, "RARE", 1)
    answer = find(space, Search(words="lantern"), Unattended(now))
    assert [h.frame_id for h in answer.hits] == [COACH, LEAD, SCARF]
    assert answer.notes == ("these words are common: newest first",)
    monkeypatch.setattr(store, "COUNTED_AT_MOST", 1)
    answer = find(space, Search(words="lantern"), Unattended(now), most=1)
    assert answer.total is None
    assert answer.notes == ("more than 20,000 pictures: newest first",)


def test_searches_are_saved_and_run_again(space: Workspace, stock: Match, now: Instant) -> None:
    """A saved search keeps every filter; a forgotten one is not found."""
    search = Search(
        words="coach", minutes=(80, 90), since=date(2026, 8, 1), upright=False, unused=True
    )
    keep(space, " losing coaches ", search, Unattended(now))
    assert kept(space, "losing coaches") == search
    assert every_kept(space) == {"losing coaches": search}
    drop(space, "losing coaches")
    with pytest.raises(NotFound):
        kept(space, "losing coaches")
    with pytest.raises(WrongUse):
        keep(space, " ", search, Unattended(now))


def test_hits_leave_with_their_captions(space: Workspace, stock: Match, now: Instant) -> None:
    """The CSV has a row a picture, and every text as it is."""
    answer: Found = find(space, Search(words="scarf"), Unattended(now))
    (row,) = csv.DictReader(io.StringIO(as_csv(answer)))
    assert row["description"] == "Supporters lift a scarf that reads “Žofie”."
    assert (row["match"], row["frame"], row["decision"]) == (stock.folder, "A-0003", "hold")


@pytest.mark.parametrize("text", ["x", "80-", "-", "8O"])
def test_minutes_that_are_none_are_refused(text: str) -> None:
    """A stretch is two numbers."""
    with pytest.raises(WrongUse):
        read_minutes(text)


def test_dates_and_stretches_must_make_sense(space: Workspace, stock: Match, now: Instant) -> None:
    """An end before its beginning, a strange date, an unknown desk or camera are wrong use."""
    assert (read_minutes("80–90"), read_minutes("74"), read_minutes("")) == (
        (80, 90),
        (74, 74),
        None,
    )
    for values in ({"since": date(2027, 1, 2), "until": date(2027, 1, 1)}, {"minutes": (9, 2)}):
        with pytest.raises(WrongUse):
            Search(**values)  # type: ignore[arg-type]
    with pytest.raises(WrongUse):
        read_date("6 March")
    for values in ({"delivered_to": "Nobody"}, {"camera": "Z"}):
        with pytest.raises(NotFound):
            found(space, now, **values)
