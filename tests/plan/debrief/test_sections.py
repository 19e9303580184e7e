"""What the debrief says, section by section, of one whole invented match."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_up import SECOND, at, delivery, entry, facts, frame

from setpiece.match.entries import Kind
from setpiece.plan.debrief.debrief import debrief
from setpiece.plan.debrief.facts import (
    CorrectionFact,
    CoverageFact,
    EarlierFact,
    KickFact,
    MatchFacts,
    MoneyFact,
)
from setpiece.plan.debrief.findings import got_words
from setpiece.plan.debrief.sections import MOST_WAYS, Lines, Picture, Rows, Section, sections
from setpiece.plan.debrief.timeline import printed_minute

FREE_KICK = KickFact(2, "31", "Goal, Nine", "free kick", "A", (0.0, 0.1), 300.0, 10.0, 0.9, 0.15,
                     1.5, (0.0,), goal=True, seat="West")  # fmt: skip
PENALTY = KickFact(3, "60", "Penalty saved", "penalty", "B", (-0.1, 0.1))
GOAL = delivery(1, 1801.0, 1900.0, event=at(1800.0), entry=2, card=at(1850.0), minute="31")


def named(name: str, **more: object) -> Section:
    """One section of the invented match with these facts."""
    return next(s for s in sections(debrief(facts(**more))) if s.name == name)


def lines(section: Section) -> list[tuple[str, str]]:
    """Its lines of text."""
    return [line for b in section.blocks if isinstance(b, Lines) for line in b.lines]


def table(section: Section) -> Rows:
    """Its one table."""
    (rows,) = [b for b in section.blocks if isinstance(b, Rows)]
    return rows


@pytest.mark.parametrize(
    ("period", "number", "printed"),
    [
        (1, 0, "1'"), (1, 44, "45'"), (1, 45, "45+1'"), (2, 0, "46'"), (2, 44, "90'"),
        (2, 45, "90+1'"), (2, 49, "90+5'"), (3, 0, "91'"), (3, 14, "105'"), (3, 15, "105+1'"),
        (4, 0, "106'"), (4, 14, "120'"), (4, 16, "120+2'"),
    ],
)  # fmt: skip
def test_a_minute_is_printed_as_results_print_it(period: int, number: int, printed: str) -> None:
    """Past the regular end of its period a minute has a plus (as in match/clock.py)."""
    assert printed_minute(period, number) == printed


def test_the_timeline_tells_the_fullest_and_the_emptiest() -> None:
    """The busiest minute, the longest stretch without a frame, and what lies outside play."""
    burst = tuple(frame(200 + n, 605.0 + n) for n in range(4))
    early = (frame(300, -60.0, period=None, elapsed_s=None),)
    section = named("timeline", frames=(*facts().frames, *burst, *early))
    assert section.title == "The match in frames"
    assert section.lead == (
        "The busiest minute was 11' with 5 frames. Nothing was shot from 41' to 45+2'. "
        "1 frame was made before, between and after."
    )
    (picture,) = section.blocks
    assert isinstance(picture, Picture)
    assert len(picture.narrow) == 2
    assert (section.place, section.together) == ("whole", False)
    none_missing = tuple(frame(n, 60.0 * n) for n in range(45)) + tuple(
        frame(50 + n, SECOND + 60.0 * n) for n in range(45)
    )
    quiet = (*none_missing, *early, frame(301, -61.0, period=None, elapsed_s=None))
    assert named("timeline", frames=quiet).lead == (
        "The busiest minute was 1' with 1 frame. 2 frames were made before, between and after."
    )


def test_three_minutes_without_a_frame_are_told_and_two_are_not() -> None:
    """The stretch is told by its first and last minute."""
    for empty, told in ((2, False), (3, True)):
        held = [n for n in range(47) if not 10 <= n < 10 + empty]
        frames = tuple(frame(n, 60.0 * n) for n in held) + tuple(
            frame(50 + n, SECOND + 60.0 * n) for n in range(47)
        )
        lead = named("timeline", frames=frames).lead
        assert ("Nothing was shot from 11' to 13'." in lead) is told


def test_the_log_is_held_against_the_frames() -> None:
    """Minute, words, first frame, delay and count; what was missed has a cross and the word."""
    section = named(
        "log",
        entries=(
            entry(1, Kind.KICK_OFF, 0.0, minute=""),
            entry(2, Kind.GOAL, 1800.0, words="Goal, Nine, 1–0"),
            entry(3, Kind.YELLOW, 2035.0),
            entry(4, Kind.SUBSTITUTION, 2290.0, width_s=30.0),
            entry(5, Kind.PENALTY_SAVED, 2441.0),
        ),
    )
    assert section.title == "What the log says, and what was got of it"
    assert section.lead == "No frame shows 1 of 5 entries."
    rows = table(section)
    assert rows.head == ("min.", "entry", "first frame", "after it", "frames")
    assert rows.rows == (
        ("", "kick-off 1", "A-0000", "at once", "2"),
        ("31'", "Goal, Nine, 1–0", "A-0030", "at once", "1"),
        ("34'", "yellow 3", "A-0034", "5 s", "1"),
        ("39'", "substitution 4", "A-0038", "0–20 s", "2"),
        ("41'", "penalty saved 5", "", "✗ missed", ""),
    )
    assert (rows.minutes, rows.figures, section.place) == (True, (3, 4), "left")
    assert named("log").lead == "Every entry has its frame."


def test_the_way_to_the_desk_is_told_in_parts() -> None:
    """The middle of every part; drawings where there is a goal and where matches came before."""
    earlier = (EarlierFact("2027-01-01", "Home v Other", 10, 2, 300.0, 240.0),)
    section = named("desk", deliveries=(GOAL,), earlier=earlier)
    assert section.lead == ("Half of the pictures were at a desk within 1 min 39 s of the shutter.")
    assert section.title == "From what happened to the desk"
    rows = table(section)
    assert rows.head == ("part of the way", "middle value")
    assert rows.rows == (
        ("event to shot", "1 s"),
        ("shot to card", "49 s"),
        ("card to sent", "50 s"),
    )
    assert (rows.figures, section.place) == ((1,), "right")
    assert [type(b).__name__ for b in section.blocks] == ["Picture", "Rows", "Picture"]
    no_goal = named("desk", deliveries=(replace(GOAL, entry=None, event=None),))
    assert [type(b).__name__ for b in no_goal.blocks] == ["Rows"]
    unknown = (replace(earlier[0], median_s=None),)
    assert len(named("desk", deliveries=(GOAL,), earlier=unknown).blocks) == 2


@pytest.mark.parametrize(
    ("kick", "words"),
    [
        (FREE_KICK, "Camera A, 300 mm at 10 frames a second, from West. "
         "The plan gives 1.5 frames on average; got 1 (as marked)."),
        (replace(FREE_KICK, marked=None, seat=""), "Camera A, 300 mm at 10 frames a second. "
         "The plan gives 1.5 frames on average; got 2 (by the plan's window)."),
        (replace(FREE_KICK, planned=None, frames_per_s=None),
         "Camera A, 300 mm, from West. Got 1 (as marked); the plan was not asked."),
        (PENALTY, "Camera B, a lens not known. "
         "No frame was marked, and the plan was not asked."),
    ],
)  # fmt: skip
def test_a_kick_is_told_with_what_was_planned_and_got(kick: KickFact, words: str) -> None:
    """Camera, lens, rate and seat as far as they are known, then the plan and what was got."""
    section = named("kicks", kicks=(kick,))
    assert lines(section) == [(f"{kick.minute}'", kick.words), ("", words)]
    assert section.title == "Penalties and free kicks, planned and got"
    assert section.lead == "Full are the frames that hold ball and kicker."
    assert section.place == "right"
    assert [type(b).__name__ for b in section.blocks] == ["Lines", "Picture", "Lines"]


def test_how_a_kick_was_counted_has_its_words() -> None:
    """Marked by a person, by the plan's window, or not at all."""
    assert [got_words(k) for k in (FREE_KICK, replace(FREE_KICK, marked=None), PENALTY)] == [
        "as marked", "by the plan's window", "not marked",
    ]  # fmt: skip


def test_sharp_frames_are_counted_of_those_that_can_be_told() -> None:
    """Damaged frames and those that stand alone are in neither number."""
    some = tuple(frame(n, 60.0 * n, softer_px=2.0 if n < 10 else 0.2) for n in range(40))
    alone = (frame(90, 100.0, softer_px=None), frame(91, 160.0, damaged=True))
    section = named("sharp", frames=some + alone)
    assert section.lead == (
        "30 of 40 frames (75%) are within 1 px of the sharpest of their camera in their passage; "
        "frames that stand alone are left out."
    )
    assert (section.title, section.together) == ("Sharp, and with what", True)


def test_what_the_set_holds_is_told_line_by_line() -> None:
    """Sides, what a desk wanted, what is missing, who was not seen; nothing where all is well."""
    cover = CoverageFact(3, 20, ("Warm-up", "Lap"), ("Captain", "Bench"), 5, 4, 1,
                         ("Five", "Six"), 22)  # fmt: skip
    section = named("coverage", coverage=cover)
    assert section.lead == "The set answers 3 of 20 lines of the shot list."
    assert (section.title, section.place) == ("What the set holds", "left")
    assert lines(section) == [
        ("Sides", "Home 5, Away 4, neither 1."),
        ("Wanted, not got", "Captain, Bench."),
        ("Not in the set", "Warm-up; Lap."),
        ("Not seen", "2 of 22 who started: Five, Six."),
    ]
    assert lines(named("coverage", coverage=CoverageFact(20, 20, home=1))) == [
        ("Sides", "Home 1, Away 0.")
    ]
    assert lines(named("coverage", coverage=CoverageFact(0, 20))) == []


def test_what_was_put_right_is_told_with_desks_and_cause() -> None:
    """A correction with both names, one without, and a kill."""
    section = named(
        "wrong",
        corrections=(
            CorrectionFact("A-0028", "46", "Four", "Five", ("City", "Blatt"), wrong_for_s=400.0,
                           cause="the log"),
            CorrectionFact("A-0030", "47", "", "Five", ("City",)),
            CorrectionFact("A-0031", "48", "Four", "", ("City",)),
            CorrectionFact("A-0029", "", "", "", ("City",), kill=True, wrong_for_s=60.0),
        ),
    )  # fmt: skip
    assert (section.title, section.lead, section.place) == ("Put right", "", "right")
    assert lines(section) == [
        ("46'", "A-0028 was wrong at City and Blatt for 6 min 40 s: Four was named, right is "
         "Five. Cause: the log."),
        ("47'", "A-0030 was wrong at City: nobody was named, right is Five."),
        ("48'", "A-0031 was wrong at City."),
        ("A-0029", "A-0029 was killed at City for 1 min."),
    ]  # fmt: skip


def test_money_is_told_with_what_is_still_open() -> None:
    """Uses and outlets, worth, paid and unpaid, spent."""
    money = MoneyFact(2, ("Gazette", "", "Blatt"), ("140.00 EUR", "5.00 CHF"), ("60.00 EUR",), 2,
                      ("9.50 EUR", "1.00 CHF"))  # fmt: skip
    section = named("money", money=money)
    assert (section.title, section.place) == ("Published and earned so far", "right")
    assert lines(section) == [
        ("Published", "2 uses in Gazette, Blatt."),
        ("Worth", "140.00 EUR, 5.00 CHF."),
        ("Paid", "60.00 EUR; 2 unpaid."),
        ("Spent", "9.50 EUR, 1.00 CHF."),
    ]
    assert lines(named("money", money=MoneyFact(1, ("",)))) == [
        ("Published", "1 use."),
        ("Paid", "nothing yet."),
    ]


def test_every_picture_on_its_way_has_a_row() -> None:
    """Its parts in order, a dash where one ran together with the next; sixty at most."""
    section = named("ways", deliveries=(replace(GOAL, words="Goal: Nine"),))
    rows = table(section)
    assert rows.head == ("min.", "picture", "desk", "to shot", "to card", "to choice",
                         "to caption", "to desk", "all")  # fmt: skip
    assert rows.rows == (("31'", "Goal", "North", "1 s", "49 s", "–", "–", "50 s", "1 min 40 s"),)
    assert (rows.minutes, rows.figures) == (True, (3, 4, 5, 6, 7, 8))
    assert (section.title, section.lead) == ("Every picture on its way", "")
    many = tuple(replace(GOAL, frame=f"f{n}", minute="") for n in range(MOST_WAYS + 3))
    cut = named("ways", deliveries=many)
    assert cut.lead == "The first 60; 3 more are left out."
    assert len(table(cut).rows) == MOST_WAYS
    assert table(cut).rows[0][0] == ""


def test_the_settings_used_are_a_table() -> None:
    """One row a camera and lens, with the frames it made."""
    rows = table(named("settings"))
    assert rows.head == ("camera", "lens", "frames", "focal length", "shutter", "aperture", "ISO")
    assert rows.rows == (("A", "400mm f/2.8", "80", "400 mm", "1/1600 s", "f/2.8", "800"),)
    assert rows.figures == (2,)


def test_sections_without_facts_are_left_out() -> None:
    """An empty match has its drawing alone."""
    bare: MatchFacts = facts(frames=(), entries=(), lengths_s={})
    assert [s.name for s in sections(debrief(bare))] == ["timeline"]
    assert sections(debrief(bare))[0].lead == ""
