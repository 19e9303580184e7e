"""A changed fact finds the captions it changes, and no others."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta

import pytest
from cup_tie import FIXTURE, LOG, SHEET, CupTie, first, home, second

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption
from setpiece.captions.changes import Change, changed, changed_facts
from setpiece.captions.compose import Creator, compose
from setpiece.captions.situation import Situation, situation_for
from setpiece.captions.typed_over import typed_over
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Instant, Interval, MinuteLabel, instant
from setpiece.match.people import TeamSheet
from setpiece.match.state import Score
from setpiece.work.style_files import load_style

FRAMES: Mapping[str, tuple[str, Instant]] = {
    "joy": ("9r celebrates with 11r right", second(73, 50)),
    "header": ("9r scores", first(16, 30)),
    "own": ("9w celebrates", first(46, 50)),
    "tackle": ("5w tackles 9r", first(30)),
    "crowd": ("w supporters wave flags", first(31)),
    "late": ("4r clears", second(75)),
    "change": ("17w replaces 8w", second(62, 20)),
}


class Desk:
    """Captions written over one state of the facts, asked about over another."""

    def __init__(self, acts: Acts) -> None:
        self.acts = acts
        self.fixture: Fixture = FIXTURE
        self.sheet: TeamSheet = SHEET
        self.log: tuple[Entry, ...] = LOG
        self.shift_s = 0.0
        self.captions: dict[str, Caption] = {
            name: compose(line, self.situation(name), load_style(None, "north"), acts,
                          creator=Creator("Kim Arnesen"))
            for name, (line, _) in FRAMES.items()
        }  # fmt: skip

    def situation(self, name: str) -> Situation:
        """The frame's situation over the facts of now."""
        at = Interval.around(instant(FRAMES[name][1] + timedelta(seconds=self.shift_s)), 0.2)
        fold = Fold(self.fixture, self.sheet, self.log)
        return situation_for(self.fixture, self.sheet, fold, name, at)

    def changes(self) -> dict[str, Change[str]]:
        """What changed, by frame."""
        found = changed(
            self.captions, self.situation, lambda name: load_style(None, name), self.acts
        )
        return {change.key: change for change in found}

    def type_over(self, name: str, old: str, new: str) -> None:
        """Types other words over one caption."""
        caption = self.captions[name]
        text = caption.fields.description
        assert old in text
        values = replace(caption.fields, description=text.replace(old, new))
        style = load_style(None, "north")
        self.captions[name] = typed_over(caption, values, self.situation(name), style, self.acts)


@pytest.fixture
def desk(acts: Acts) -> Desk:
    """Seven captions over the tie as logged."""
    return Desk(acts)


def correct(entry_id: int, **more: object) -> tuple[Entry, ...]:
    """The log with one entry put right by a later one."""
    old = next(e for e in LOG if e.id == entry_id)
    new = replace(old, id=EntryId(16), supersedes=old.id, **more)  # type: ignore[arg-type]
    return (*LOG, new)


def test_without_a_change_nothing_is_found(desk: Desk) -> None:
    """Written again over the same facts every caption is the same."""
    assert desk.changes() == {}


def test_a_corrected_scorer_changes_the_captions_of_that_goal(desk: Desk) -> None:
    """Old and new text stand side by side, with the fact that changed."""
    desk.log = correct(10, person=home(11))
    found = desk.changes()
    assert set(found) == {"joy"}
    change = found["joy"]
    assert change.new is not None
    assert "after scoring from a free kick" in change.old.fields.description
    assert "after Ebba Roth scored from a free kick" in change.new.fields.description
    assert [f.field for f in change.fields] == ["description"]
    assert change.new.fields.creator == change.old.fields.creator


def test_an_earlier_goal_changes_every_score_after_it(desk: Desk) -> None:
    """A goal that was forgotten, logged late, moves the scores of later goals only."""
    forgotten = Entry(
        EntryId(16), Kind.GOAL, typed=second(90), happened=Interval.exactly(first(40)),
        side=LOG[1].side, person=home(7),
    )  # fmt: skip
    desk.log = (*LOG, forgotten)
    found = desk.changes()
    assert set(found) == {"joy", "own"}
    scores = {
        key: [(f.old, f.new) for f in c.facts if f.what == "score"] for key, c in found.items()
    }
    assert scores == {"joy": [("2–1", "3–1")], "own": [("1–1", "2–1")]}


def test_a_goal_disallowed_changes_its_captions(desk: Desk) -> None:
    """After the review the celebration says that it was disallowed."""
    desk.log = correct(10, standing=Standing.DISALLOWED)
    change = desk.changes()["joy"]
    assert change.new is not None
    assert "a goal that was disallowed" in change.new.fields.description


def test_a_withdrawn_goal_leaves_a_question_where_the_line_needs_it(desk: Desk) -> None:
    """`scores` without its goal can no longer be written: a person must."""
    desk.log = (*LOG, Entry(EntryId(16), Kind.WITHDRAWN, second(90), supersedes=EntryId(2)))
    change = desk.changes()["header"]
    assert change.new is None
    assert "no goal" in change.question
    assert change.facts[0].what == "entry"


def test_a_corrected_name_changes_every_caption_that_prints_it(desk: Desk) -> None:
    """The sheet's correction is found in each, in description, headline and persons."""
    people = tuple(
        replace(p, printed_name="Nora Lindkvist") if p.id == home(9) else p for p in SHEET.people
    )
    desk.sheet = replace(SHEET, people=people)
    found = desk.changes()
    assert set(found) == {"joy", "header", "tackle"}
    assert {f.field for f in found["tackle"].fields} == {
        "description", "headline", "persons", "keywords",
    }  # fmt: skip


def test_a_corrected_number_asks_who_was_meant(desk: Desk) -> None:
    """When the sheet's numbers change places, the line names who wears them now."""
    numbers = {home(9): 11, home(11): 9}
    people = tuple(replace(p, number=numbers.get(p.id, p.number)) for p in SHEET.people)
    desk.sheet = replace(SHEET, people=people)
    change = desk.changes()["tackle"]
    assert change.new is not None
    assert "Ebba Roth" in change.new.fields.description


def test_a_clock_fitted_anew_moves_frames_into_other_facts(desk: Desk) -> None:
    """Half an hour later the tackle is by one who is still on, the change is nowhere near."""
    desk.shift_s = -3600.0
    found = desk.changes()
    assert {"joy", "header", "own"} <= set(found)
    assert found["header"].new is None


def test_a_changed_fixture_changes_every_caption(desk: Desk) -> None:
    """Another ground stands in all of them."""
    desk.fixture = replace(FIXTURE, venue="Brickfield Park")
    found = desk.changes()
    assert set(found) == set(FRAMES)
    assert {f.field for f in found["tackle"].fields} >= {"description", "sublocation"}


def test_typed_text_is_held_by_its_facts(desk: Desk) -> None:
    """A text that was typed is not written again: the facts found in it are compared."""
    desk.type_over("joy", "celebrates with", "hugs")
    assert desk.changes() == {}
    desk.log = correct(10, how=How.HEADER, person=home(11))
    change = desk.changes()["joy"]
    assert change.new is None
    assert [(f.what, f.old, f.new) for f in change.facts] == [
        ("scorer", "Nora Lindqvist", "Ebba Roth")
    ]
    assert change.question == "The text was typed: correct it by hand."


@pytest.mark.parametrize("what", ["name", "title", "places", "score"])
def test_each_fact_of_typed_text_is_compared(what: str, desk: Desk, acts: Acts) -> None:
    """Names, titles, places and scores that changed are named with old and new."""
    desk.type_over("late", "Lotte Moreau of Hallern FC clears the ball",
                   "Hallern FC head coach Mara Feld looks on with the score at 2–1 as Lotte Moreau "
                   "clears the ball")  # fmt: skip
    if what == "name":
        people = tuple(replace(p, printed_name=p.printed_name.replace("Lotte", "Lota"))
                       for p in SHEET.people)  # fmt: skip
        desk.sheet = replace(SHEET, people=people)
    elif what == "title":
        people = tuple(replace(p, title="manager") if p.id == "hc" else p for p in SHEET.people)
        desk.sheet = replace(SHEET, people=people)
    elif what == "places":
        desk.fixture = replace(FIXTURE, city="Halden")
    else:
        desk.log = correct(10, standing=Standing.DISALLOWED)
    facts = desk.changes()["late"].facts
    assert what in {fact.what for fact in facts}
    assert all(fact.old != fact.new for fact in facts)


def test_a_tie_of_its_own_is_not_touched(desk: Desk, acts: Acts) -> None:
    """A change to one match says nothing of another's captions."""
    other = CupTie(acts)
    desk.log = correct(10, person=home(11))
    assert other.compose("9r celebrates", second(73, 50)).facts.people[0].name == "Nora Lindqvist"


def told(desk: Desk, name: str) -> set[tuple[str, str, str]]:
    """Which facts of a caption no longer stand, each with old and new."""
    found = changed_facts(desk.captions[name].facts, desk.situation(name))
    return {(fact.what, fact.old, fact.new) for fact in found}


def test_every_fact_is_told_with_old_and_new(desk: Desk) -> None:
    """Somebody gone from the sheet, another number, place, club, day, minute and score."""
    assert all(told(desk, name) == set() for name in FRAMES)
    people = tuple(p for p in SHEET.people if p.id != home(11))
    renumbered = tuple(replace(p, number=99) if p.id == home(9) else p for p in people)
    club = replace(SHEET.home, name="Hallern United")
    desk.sheet = replace(SHEET, people=renumbered, home=club)
    desk.fixture = replace(FIXTURE, venue="Brickfield Park", time_zone="Pacific/Kiritimati")
    assert told(desk, "joy") == {
        ("person", "Ebba Roth", "not on the sheet"),
        ("number", "9", "99"),
        ("places", "Kiln Lane, Hallern", "Brickfield Park, Hallern"),
        ("clubs", "Hallern FC, Whitmoor Rovers", "Hallern United, Whitmoor Rovers"),
        ("date", "2027-03-06", "2027-03-07"),
    }


def test_an_entry_taken_back_is_told_alone(desk: Desk) -> None:
    """Without its entry nothing can be said of score and minute."""
    desk.log = (*LOG, Entry(EntryId(16), Kind.WITHDRAWN, second(90), supersedes=EntryId(10)))
    assert told(desk, "joy") == {("entry", "e10", "withdrawn")}


def test_a_score_or_minute_that_moved_is_told(desk: Desk, acts: Acts) -> None:
    """By the caption's entry where it has one, else by the time of the frame."""
    forgotten = Entry(
        EntryId(16), Kind.GOAL, typed=second(90), happened=Interval.exactly(first(10)),
        side=LOG[1].side, person=home(7),
    )  # fmt: skip
    late = desk.captions["late"]
    desk.captions["late"] = replace(
        late, facts=replace(late.facts, score=Score(2, 1), minute=MinuteLabel(76), entries=())
    )
    assert told(desk, "late") == set()
    desk.log = (*LOG, forgotten)
    assert told(desk, "joy") == {("score", "2–1", "3–1")}
    assert told(desk, "late") == {("score", "2–1", "3–1")}
    desk.shift_s = 600.0
    assert ("minute", "76", "85 or 86") in told(desk, "late")


def test_another_scorer_is_told_by_name(desk: Desk) -> None:
    """Nobody known is unknown."""
    desk.log = correct(10, person=home(11))
    assert told(desk, "joy") == {("scorer", "Nora Lindqvist", "Ebba Roth")}
    desk.log = correct(10, person=None)
    assert told(desk, "joy") == {("scorer", "Nora Lindqvist", "unknown")}
