"""The rules of the findings."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_up import at, delivery, entry, facts, frame

from setpiece.match.entries import Kind
from setpiece.plan.debrief.debrief import debrief
from setpiece.plan.debrief.facts import CorrectionFact, CoverageFact, EarlierFact, KickFact
from setpiece.plan.debrief.findings import Finding, whole_mm

KICK = KickFact(
    5, "74", "Goal, Nine from a free kick, 1–0", "free kick", "A",
    (-0.1, 0.0, 0.05, 0.1, 0.2), 300.0, 20.0, 0.9, 0.16, 3.2, (0.0, 0.05, 0.1),
    ((1, 900.0), (2, 600.0), (3, 320.0), (4, 260.0), (5, 213.0), (6, 140.0)), goal=True,
)  # fmt: skip


def found(**more: object) -> dict[str, Finding]:
    """The findings of the invented match with these facts, by rule."""
    return {f.rule: f for f in debrief(facts(**more)).findings}


def test_a_match_where_nothing_stands_out_has_no_finding() -> None:
    """A frame every minute, all sharp, nothing missed: no rule speaks."""
    assert debrief(facts()).findings == ()


def test_a_kick_that_a_shorter_lens_would_have_kept() -> None:
    """Three frames at 300 mm, five at 210 mm; a lens below half of it is not advised."""
    kick = found(kicks=(KICK,))["kick"]
    assert kick.title == "The free kick at 74'"
    assert kick.text == "Ball in the frame for 3 frames at 300 mm; 210 mm would have kept 5."
    assert kick.figure == "3 of 5"
    got_all = replace(KICK, marked=(-0.1, 0.0, 0.05, 0.1, 0.2))
    assert "kick" not in found(kicks=(got_all,))


def test_a_kick_that_nobody_marked_is_counted_by_the_plan() -> None:
    """Frames from the strike until the plan's window ends count, and the words say so."""
    kick = found(kicks=(replace(KICK, marked=None),))["kick"]
    assert kick.text.startswith("Ball and kicker in the frame for 3 frames")


def test_the_goal_that_was_slow_to_its_desk() -> None:
    """The slowest goal is told with its slowest part and the matches before; two minutes pass."""
    goal = delivery(1, 1801.0, 2100.0, event=at(1800.0), entry=2, card=at(2060.0), minute="31")
    earlier = (EarlierFact("2027-01-01", "Home v Other", 10, 2, 90.0, 240.0),)
    slow = found(deliveries=(goal,), earlier=earlier)["goal to the desk"]
    assert slow.figure == "5 min"
    assert slow.text.startswith("Shot to card took 4 min 19 s of it: let the camera send it")
    assert slow.text.endswith("The matches before: 4 min.")
    assert "goal to the desk" not in found(deliveries=(replace(goal, card=None, sent=at(1920.0)),))


def test_entries_that_no_frame_shows() -> None:
    """A card in a minute without a frame is told with its minute."""
    far = tuple(frame(n, 60.0 * n) for n in range(5))
    told = found(frames=far, entries=(entry(3, Kind.YELLOW, 2000.0),))["missed"]
    assert told.figure == "1 of 1"
    assert told.text == "No frame shows 34' yellow 3."


def test_a_shutter_that_was_softer_than_the_rest() -> None:
    """Half of 20 frames at 1/500 sharp against all at 1/1600 is told with both numbers."""
    slow = tuple(frame(200 + n, 60.0 * n, exposure_s=1 / 500, softer_px=4.0 * (n % 2))
                 for n in range(20))  # fmt: skip
    soft = found(frames=(*facts().frames, *slow))["soft"]
    assert soft.title == "Sharp at 1/500 s"
    assert soft.text == "10 of 20 frames at 1/500 s were sharp, 100% of all others."


def test_people_not_seen_and_a_side_that_lacks() -> None:
    """Six of 22 not seen, and a set of 9 to 2, are told."""
    cover = CoverageFact(5, 20, home=9, away=2, unseen=tuple("abcdef"), started=22)
    both = found(coverage=cover)
    assert both["unseen"].figure == "6 of 22"
    assert both["unseen"].text == "a, b, c, d and 2 more."
    assert both["lean"].text == "Away is the subject of 2 of 11 pictures."
    even = replace(cover, home=6, away=5, unseen=("a",))
    assert found(coverage=even) == {}


def test_what_went_out_wrong() -> None:
    """Desks, how long, the wrong name and the right one stand in one sentence."""
    wrong = CorrectionFact("A-0028", "45+2", "Four", "Five", ("City", "Blatt"), wrong_for_s=400.0)
    told = found(corrections=(wrong,))["wrong at desks"]
    assert told.figure == "2 desks"
    assert told.text == "City and Blatt had it for 6 min 40 s. “Four” was put right to “Five”."


def test_a_long_stretch_without_a_frame() -> None:
    """Nine empty minutes are told by their first and last."""
    gap = tuple(f for f in facts().frames if not 20 * 60 <= (f.elapsed_s or 0) < 29 * 60)
    told = found(frames=gap, entries=())["gap"]
    assert told.text == "Nothing was shot from 21' to 29'."
    late = tuple(f for f in facts().frames if f.period == 2 or (f.elapsed_s or 0) < 38 * 60)
    told = found(frames=late, entries=())["gap"]
    assert told.text == "Nothing was shot from 39' to 45+2'."


def test_three_findings_at_most_the_heaviest_first() -> None:
    """Of five that speak the three of most weight are kept, none of one rule twice."""
    wrong = CorrectionFact("A-0028", "45+2", "Four", "Five", ("City",), wrong_for_s=9000.0)
    cover = CoverageFact(5, 20, home=9, away=2, unseen=tuple("abcdef"), started=22)
    made = debrief(facts(kicks=(KICK, KICK), corrections=(wrong, wrong), coverage=cover)).findings
    assert len(made) == 3
    assert [f.weight for f in made] == sorted((f.weight for f in made), reverse=True)
    assert len({f.rule for f in made}) == 3
    assert all(0 < f.weight <= 1 for f in made)


def test_a_finding_weighs_what_the_docs_say() -> None:
    """The weights of docs/debrief.md, rule by rule, worked out by hand."""
    kick = found(kicks=(KICK,))["kick"].weight
    assert kick == pytest.approx(0.55 + 0.45 * 2 / 5)
    assert found(kicks=(replace(KICK, goal=False),))["kick"].weight == pytest.approx(0.58)
    goal = delivery(1, 1801.0, 2100.0, event=at(1800.0), entry=2, card=at(2060.0), minute="31")
    slow = found(deliveries=(goal,))["goal to the desk"]
    assert slow.weight == pytest.approx(0.3 + 0.5 * 300 / 1800 + 0.2 * 259 / 300)
    assert slow.title == "The goal at 31' to North"
    assert slow.text.endswith("or change cards sooner.")
    far = tuple(frame(n, 60.0 * n) for n in range(5))
    card, other = entry(3, Kind.YELLOW, 2000.0), entry(4, Kind.YELLOW, 60.0)
    assert found(frames=far, entries=(card, other))["missed"].weight == pytest.approx(0.5)
    struck = entry(5, Kind.GOAL, 2100.0)
    both = found(frames=far, entries=(other, struck, entry(6, Kind.YELLOW, 120.0)))["missed"]
    assert both.weight == pytest.approx(0.7 + 0.5 / 3)
    cover = CoverageFact(5, 20, home=9, away=2, unseen=tuple("abcdef"), started=22)
    told = found(coverage=cover)
    assert told["unseen"].weight == pytest.approx(0.15 + 0.4 * 6 / 22)
    assert told["lean"].weight == pytest.approx(0.2 + 0.4 * 7 / 11)
    assert (told["lean"].figure, told["lean"].title) == ("9 : 2", "Home and Away in the set")
    wrong = CorrectionFact("A-0028", "45+2", "Four", "Five", ("City", "Blatt"), wrong_for_s=400.0)
    assert found(corrections=(wrong,))["wrong at desks"].weight == pytest.approx(0.6 + 400 / 7200)
    late = tuple(f for f in facts().frames if f.period == 2 or (f.elapsed_s or 0) < 38 * 60)
    gap = found(frames=late, entries=())["gap"]
    assert (gap.figure, gap.weight) == ("9 min", pytest.approx(0.1 + 9 / 60))
    half = tuple(f for f in facts().frames if f.period == 2)
    assert found(frames=half, entries=())["gap"].weight == 0.6


@pytest.mark.parametrize(
    ("unseen", "speaks"), [(4, False), (5, True)], ids=["under a fifth", "over a fifth"]
)
def test_unseen_people_are_told_from_a_fifth_on(unseen: int, speaks: bool) -> None:
    """Of 22 who started five are more than a fifth, four are less."""
    cover = CoverageFact(5, 20, unseen=tuple("abcdef"[:unseen]), started=22)
    assert ("unseen" in found(coverage=cover)) is speaks


@pytest.mark.parametrize(
    ("home", "away", "speaks"),
    [(5, 0, False), (6, 0, True), (2, 4, False), (1, 5, True), (4, 8, False), (8, 3, True)],
)
def test_a_set_leans_below_a_third_of_six_pictures(home: int, away: int, speaks: bool) -> None:
    """A third is no lean, and five pictures are too few to tell."""
    assert ("lean" in found(coverage=CoverageFact(5, 20, home=home, away=away))) is speaks


@pytest.mark.parametrize(("mm", "said"), [(213.9, 210), (210.0, 210), (52.0, 50), (34.7, 34)])
def test_a_focal_length_is_rounded_down(mm: float, said: int) -> None:
    """What is advised never reaches beyond what keeps the frames."""
    assert whole_mm(mm) == said
