"""The log held against the sheet, the rules and itself."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from setpiece.match.audit import audit
from setpiece.match.entries import EntryId, Kind, Standing
from setpiece.match.fold import Fold
from setpiece.match.instants import Interval
from setpiece.match.people import PersonId, Side, SidePeople, TeamSheet
from setpiece.match.remark import Remark, who

if TYPE_CHECKING:
    from conftest import Match


def found(tie: Match) -> list[str]:
    """What the remarks are about."""
    return [r.about for r in audit(tie.fold())]


def says(tie: Match, about: str) -> Remark:
    """The one remark about that."""
    (remark,) = [r for r in audit(tie.fold()) if r.about == about]
    return remark


def test_a_good_log_draws_no_remark(tie: Match) -> None:
    """A whole match of goals, cards and substitutions has nothing wrong with it."""
    tie.whistles()
    tie.log(Kind.GOAL, 960, exact=True, person="home 9", other="home 10", side=Side.HOME)
    tie.log(Kind.GOAL, 1500, exact=True, person="home 4", side=Side.AWAY, how="own goal")
    tie.log(Kind.YELLOW, 2000, exact=True, person="home 4")
    tie.log(Kind.SECOND_YELLOW, 4000, exact=True, person="home 4")
    tie.log(Kind.SUBSTITUTION, 4100, exact=True, person="home 9", other="home 14")
    tie.log(Kind.CAPTAIN, 4200, exact=True, person="home 8")
    tie.log(Kind.SUBSTITUTION, 4300, exact=True, person="away 1", other="away 13")
    tie.log(Kind.NOTE, 4400, exact=True, note="rain")
    tie.log(Kind.SHIRT, 4500, exact=True, person="home 8", number=40)
    assert audit(tie.fold()) == ()


@pytest.mark.parametrize(
    ("kind", "more", "about", "text"),
    [
        (Kind.SUBSTITUTION, {"person": "home 9", "other": "home 10"}, "not on the bench",
         "is on the pitch"),
        (Kind.SUBSTITUTION, {"person": "home 9", "other": "away 14"}, "not on the bench",
         "is not on that side's sheet"),
        (Kind.SUBSTITUTION, {"person": "home 9", "other": PersonId("home-coach")},
         "not on the bench", "is head coach"),
        (Kind.SUBSTITUTION, {"person": "home 15", "other": "home 14"}, "not on the pitch",
         "is on the bench"),
        (Kind.SUBSTITUTION, {"person": "home 9"}, "half a substitution", "who comes on"),
        (Kind.SUBSTITUTION, {"person": "home 9", "other": "home 77"}, "not on the sheet",
         "Number 77 (Northgate) is not on the team sheet"),
        (Kind.SUBSTITUTION, {"other": "home 14"}, "too many on the pitch", "has 12"),
        (Kind.LATE_CHANGE, {"person": "home 9", "other": "home 14"}, "late change after kick-off",
         "before kick-off"),
        (Kind.IN_GOAL, {"person": "home 14"}, "not on the pitch", "goes in goal"),
        (Kind.CAPTAIN, {"person": "home 14"}, "not on the pitch", "takes the armband"),
        (Kind.RETURN, {"person": "home 14"}, "cannot return", "was not off"),
        (Kind.KIT, {"side": Side.HOME, "note": "z"}, "no such kit", "no kit z"),
        (Kind.SHIRT, {"person": "home 9", "number": 8}, "number worn twice", "now wear 8"),
        (Kind.SECOND_YELLOW, {"person": "home 9"}, "second yellow without a first", "no first"),
        (Kind.GOAL, {"person": "home 14"}, "not on the pitch", "scored but is on the bench"),
        (Kind.GOAL, {"person": "home 9", "other": "home 14"}, "not on the pitch", "made the goal"),
        (Kind.GOAL, {"person": "home 9", "side": Side.AWAY}, "goal for the wrong side",
         "is it an own goal?"),
        (Kind.GOAL, {"person": "home 9", "side": Side.HOME, "how": "own goal"},
         "goal for the wrong side", "counts for the other side"),
        (Kind.GOAL, {}, "goal without a side", "not counted"),
        (Kind.RED, {"person": "home 1"}, "nobody in goal", "log who goes in goal"),
    ],
)  # fmt: skip
def test_what_looks_wrong_is_said_with_its_reason(
    tie: Match, kind: Kind, more: dict, about: str, text: str
) -> None:
    """Each entry that cannot be right as it stands draws its remark, and is kept all the same."""
    tie.whistles()
    entry = tie.log(kind, 5000, exact=True, **more)
    remark = says(tie, about)
    assert text in remark.says
    assert remark.entries == (entry.id,)


def test_somebody_who_left_is_said_with_the_minute(tie: Match) -> None:
    """A player who scores after she was replaced, or after her dismissal, is noticed."""
    tie.whistles()
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, person="home 9", other="home 14")
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, person="home 8", other="home 15")
    tie.log(Kind.GOAL, 5600, exact=True, person="home 9")
    assert "left the match in minute 67" in says(tie, "not on the pitch").says
    tie.log(Kind.RED, 5700, exact=True, person="away 9")
    tie.log(Kind.GOAL, 5800, exact=True, person="away 9")
    assert "was sent off" in audit(tie.fold())[-1].says


def test_somebody_out_before_the_match(tie: Match) -> None:
    """A starter replaced in the warm-up who is sent on later is noticed."""
    tie.log(Kind.LATE_CHANGE, -900, exact=True, person="home 9", other="home 14")
    tie.whistles()
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, person="home 8", other="home 9")
    assert "left the match before it" in says(tie, "not on the bench").says


def test_sent_off_in_the_warm_up_and_replaced(tie: Match) -> None:
    """Sent off before kick-off and replaced by a late change is what the Laws allow."""
    tie.log(Kind.RED, -900, exact=True, person="home 9")
    tie.log(Kind.LATE_CHANGE, -600, exact=True, person="home 9", other="home 14")
    tie.whistles()
    assert found(tie) == []
    assert len(tie.on(Side.HOME)) == 11


def test_two_yellows_and_twice_sent_off(tie: Match) -> None:
    """Two yellows without a dismissal and a second dismissal are noticed."""
    tie.whistles()
    for at_s in (1000, 2000):
        tie.log(Kind.YELLOW, at_s, exact=True, person="home 4")
    assert says(tie, "second yellow without red").entries == (EntryId(5), EntryId(6))
    tie.log(Kind.RED, 2001, exact=True, person="home 4")
    assert "second yellow without red" not in found(tie)
    tie.log(Kind.RED, 2500, exact=True, person="home 4")
    assert "sent off twice" in found(tie)


def test_substitutions_of_the_competition(tie: Match) -> None:
    """More substitutions than the competition allows are noticed; a concussion's is not counted."""
    tie.rules(substitutions=2).whistles()
    for n in (2, 3):
        tie.log(Kind.SUBSTITUTION, 4000 + n, exact=True, person=f"home {n}", other=f"home {n + 10}")
    tie.log(Kind.SUBSTITUTION, 4500, exact=True, person="home 4", other="home 14", how="concussion")
    assert found(tie) == []
    sixth = tie.log(Kind.SUBSTITUTION, 4600, exact=True, person="home 6", other="home 16")
    assert says(tie, "too many substitutions").entries == (sixth.id,)


def test_a_substitute_goalkeeper_who_comes_soon_is_no_remark(tie: Match) -> None:
    """A goalkeeper sent off and replaced within minutes is fine; later or never is said."""
    tie.whistles()
    tie.log(Kind.RED, 5000, exact=True, person="home 1")
    tie.log(Kind.SUBSTITUTION, 5100, exact=True, person="home 9", other="home 13")
    assert found(tie) == []
    tie.entries[-1] = replace(tie.entries[-1], happened=Interval.exactly(tie.at(5900)))
    assert found(tie) == ["nobody in goal"]


def test_a_goal_still_under_review_when_play_went_on(tie: Match) -> None:
    """A review that nobody closed is noticed once the half has ended."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.GOAL, 1000, exact=True, person="home 9", standing=Standing.UNDER_REVIEW)
    assert found(tie) == []
    tie.log(Kind.NOTE, 1100, exact=True)
    assert found(tie) == []
    tie.log(Kind.PERIOD_END, 2800, period=1)
    assert found(tie) == ["still under review"]


def test_a_goal_and_its_disallowance_as_two_entries(tie: Match) -> None:
    """A goal disallowed minutes after a goal of the same side may be that goal: it is asked."""
    tie.whistles()
    tie.log(Kind.GOAL, 1000, exact=True, person="home 9")
    tie.log(Kind.GOAL, 1130, exact=True, person="home 9", standing=Standing.DISALLOWED)
    remark = says(tie, "goal and disallowed goal")
    assert remark.entries == (EntryId(5), EntryId(6))
    assert "minute 17" in remark.says
    for change in (
        {"person": tie.who("home 10")},
        {"person": tie.who("away 9")},
        {"happened": Interval.exactly(tie.at(2500))},
        {"happened": Interval.exactly(tie.at(900))},
    ):
        kept = tie.entries[-1]
        tie.entries[-1] = replace(kept, **change)
        assert "goal and disallowed goal" not in found(tie)
        tie.entries[-1] = kept
    tie.entries[4] = replace(tie.entries[4], happened=Interval.exactly(tie.at(3000)))
    assert "goal and disallowed goal" in found(tie)
    tie.entries[4] = replace(tie.entries[4], standing=Standing.DISALLOWED)
    assert "goal and disallowed goal" not in found(tie)


def test_kicks_of_a_log_without_people(tie: Match) -> None:
    """Without a sheet only what needs none is said; kicks without people too."""
    tie.sheet = TeamSheet(SidePeople("A", "A"), SidePeople("B", "B"))
    tie.whistles()
    tie.log(Kind.KICK_OFF, 7000, period=5)
    for at_s, side in ((7060, Side.HOME), (7120, Side.AWAY), (7180, Side.AWAY)):
        tie.log(Kind.SHOOT_OUT_KICK, at_s, exact=True, side=side, how="scored")
    tie.log(Kind.SHOOT_OUT_KICK, 7240, exact=True, how="scored", person=PersonId("stranger"))
    tie.log(Kind.GOAL, 1000, exact=True, person="home 9")
    assert found(tie) == ["kick out of turn"]


def test_whistles_that_nobody_logged(tie: Match) -> None:
    """A kick-off or an end that was forgotten is said with its estimate at the venue's time."""
    tie.log(Kind.NOTE, 750, exact=True, period=1, elapsed_s=750.0)
    tie.log(Kind.KICK_OFF, 3730, period=2)
    told = [r.says for r in audit(tie.fold())]
    assert "The kick-off of the first half was not logged; it is taken as 15:01:07" in told[0]
    assert "The end of the first half was not logged" in told[1]


def test_a_half_that_never_ends(tie: Match) -> None:
    """Twenty minutes of added time mean that a whistle is missing."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.GOAL, 3000, exact=True, person="home 9")
    assert found(tie) == []
    late = tie.log(Kind.GOAL, 4000, exact=True, person="home 9")
    assert says(tie, "period too long").entries == (late.id,)


def test_whistles_twice_and_out_of_order(tie: Match) -> None:
    """The same whistle twice, and an end before its kick-off, are noticed."""
    tie.whistles()
    again = tie.log(Kind.KICK_OFF, 3740, period=2)
    assert says(tie, "whistle twice").entries == (EntryId(3), again.id)
    tie.entries[1] = replace(tie.entries[1], typed=tie.at(-60))
    assert "whistles out of order" in found(tie)


@pytest.mark.parametrize("at_s", [-600, 3400, 6900])
def test_a_goal_when_no_period_was_played(tie: Match, at_s: float) -> None:
    """A goal before, between or after the halves is noticed."""
    tie.whistles()
    tie.log(Kind.GOAL, at_s, exact=True, person="home 9")
    assert "outside any period" in found(tie)


def test_a_goal_that_says_nothing_of_when(tie: Match) -> None:
    """A file's goal without period, clock and minute is noticed; one with its period is not."""
    tie.whistles()
    tie.log(Kind.GOAL, 9, person="home 9", side=Side.HOME, imported=True)
    tie.log(Kind.GOAL, 9, person="home 9", side=Side.HOME, period=2, imported=True)
    assert found(tie) == ["outside any period"]


def test_a_minute_after_the_final_whistle(tie: Match) -> None:
    """45+9 of a half that ended in 45+3 is noticed; its last minute is not."""
    tie.whistles()
    tie.log(Kind.GOAL, 9, person="home 9", printed="45+3", imported=True)
    assert found(tie) == []
    tie.log(Kind.GOAL, 9, person="home 9", printed="45+9", imported=True)
    assert "after the end of the first half" in says(tie, "outside any period").says


def test_minutes_that_cannot_be(tie: Match) -> None:
    """Added time inside a half and minutes past the last are noticed, and still placed."""
    tie.log(Kind.GOAL, 9, person="home 9", printed="47+2", imported=True)
    tie.log(Kind.GOAL, 9, person="home 9", printed="121", imported=True)
    tie.log(Kind.GOAL, 9, person="home 9", printed="12", period=2, imported=True)
    assert found(tie).count("no such minute") == 3
    assert tie.fold().last().score.home == 3


def test_92_without_extra_time_may_be_added_time(tie: Match) -> None:
    """A minute just past 90 in a match without extra time is asked for."""
    tie.log(Kind.GOAL, 9, person="home 9", printed="92", imported=True)
    assert "is it 90+2?" in says(tie, "extra time not logged").says
    tie.log(Kind.GOAL, 9, person="home 9", printed="110", imported=True)
    assert "extra time not logged" not in found(tie)


def test_minutes_out_of_order(tie: Match) -> None:
    """Minutes that run back in the log are said once for all; corrections may come late."""
    for minute in ("10", "30", "20", "25", "40"):
        tie.log(Kind.NOTE, 9, printed=minute, imported=True)
    assert says(tie, "minutes out of order").entries == (EntryId(3), EntryId(4))
    tie.log(Kind.NOTE, 9, printed="5", imported=True, supersedes=EntryId(1))
    assert says(tie, "minutes out of order").entries == (EntryId(3), EntryId(4))


def test_goals_whose_order_nobody_knows(tie: Match) -> None:
    """Two goals typed within three minutes of each other may have come in either order."""
    tie.whistles()
    tie.log(Kind.GOAL, 1000, person="home 9")
    tie.log(Kind.GOAL, 1060, person="away 9")
    assert "order of goals not sure" in found(tie)
    tie.entries[-1] = replace(tie.entries[-1], happened=Interval.exactly(tie.at(1055)))
    assert found(tie) == []


def test_goals_while_play_stands_still(tie: Match) -> None:
    """A goal while play is suspended or after it was abandoned is noticed."""
    tie.log(Kind.KICK_OFF, 0, period=1)
    tie.log(Kind.SUSPENDED, 600)
    tie.log(Kind.GOAL, 700, exact=True, person="home 9")
    assert "suspended (e2)" in says(tie, "while play stood still").says
    tie.log(Kind.RESUMED, 800)
    tie.log(Kind.GOAL, 900, exact=True, person="home 9")
    assert found(tie).count("while play stood still") == 1


def test_counted_from_zero_against_the_clock(tie: Match) -> None:
    """Printed minutes one lower than the clock, most of them, look counted from zero."""
    tie.whistles()
    for n, printed in enumerate(("10", "20", "30", "50")):
        at_s = (605, 1205, 1805, 4035)[n]
        tie.log(Kind.NOTE, at_s, exact=True, printed=printed)
    assert "4 of 4 printed minutes" in says(tie, "counted from zero").says
    tie.entries[4] = replace(tie.entries[4], printed=None)
    assert "3 of 3" in says(tie, "counted from zero").says


def test_counted_from_zero_by_the_files_clock(tie: Match) -> None:
    """A file that gives clock and minute is compared with itself."""
    for n in range(3):
        tie.log(Kind.NOTE, 9, period=1, elapsed_s=600.0 * n + 30, printed=str(10 * n or 1),
                imported=True)  # fmt: skip
    assert "counted from zero" not in found(tie)
    for n in range(8):
        tie.log(Kind.NOTE, 9, period=2, elapsed_s=200.0 * n + 30, imported=True,
                printed=str(45 + (200 * n + 30) // 60))  # fmt: skip
    assert "counted from zero" in found(tie)


def test_counted_from_zero_by_half_time_substitutions(tie: Match) -> None:
    """Minutes alone tell by half-time substitutions: 45 and none at 46."""
    tie.log(Kind.SUBSTITUTION, 9, person="home 9", other="home 14", printed="45", imported=True)
    assert "1 substitution stands at minute 45" in says(tie, "counted from zero").says
    tie.log(Kind.SUBSTITUTION, 9, person="home 8", other="home 15", printed="45", imported=True)
    assert "2 substitutions stand" in says(tie, "counted from zero").says
    tie.log(Kind.SUBSTITUTION, 9, person="home 7", other="home 16", printed="46", imported=True)
    assert found(tie) == []


def test_a_minute_against_the_clock(tie: Match) -> None:
    """A printed minute two or more off the clock is said; one off is usage."""
    tie.whistles()
    tie.log(Kind.GOAL, 1141, exact=True, person="home 9", printed="19")
    assert found(tie) == []
    tie.log(Kind.GOAL, 1500, exact=True, person="home 9", printed="29")
    assert "Minute 29 is printed, the clock says 26" in says(tie, "minute against the clock").says
    tie.log(Kind.NOTE, 1600, printed="50", happened=Interval.around(tie.at(1600), 60))
    tie.log(Kind.NOTE, 3400, exact=True, printed="70")
    assert found(tie).count("minute against the clock") == 1


def test_too_few_to_go_on(tie: Match) -> None:
    """With six on the pitch a match does not go on."""
    tie.whistles()
    for n in range(6, 11):
        tie.log(Kind.RED, 1000 + n, exact=True, person=f"home {n}")
    assert "has 6 on the pitch" in says(tie, "too few on the pitch").says


def test_kickers_of_a_shoot_out(tie: Match) -> None:
    """A kick by a substituted player, and a second kick before every team-mate, are noticed."""
    tie.whistles()
    tie.log(Kind.SUBSTITUTION, 5000, exact=True, person="home 9", other="home 14")
    tie.log(Kind.KICK_OFF, 7000, period=5)
    for at_s, person in ((7060, "home 9"), (7120, "away 9"), (7180, "home 14"), (7240, "away 9")):
        tie.log(Kind.SHOOT_OUT_KICK, at_s, exact=True, person=person, how="scored")
    assert found(tie) == ["may not kick", "kick out of turn"]


def test_returns_and_kits_that_are_right(tie: Match) -> None:
    """A return after a temporary dismissal and a kit of the side draw no remark."""
    tie.whistles()
    tie.log(Kind.TEMPORARY_DISMISSAL, 1000, exact=True, person="home 9")
    tie.log(Kind.RETURN, 1600, exact=True, person="home 9")
    tie.log(Kind.KIT, 3000, exact=True, side=Side.HOME, note="r")
    tie.log(Kind.IN_GOAL, 3100, exact=True, person="home 1")
    assert found(tie) == []


def test_corrections_of_corrections(tie: Match) -> None:
    """An entry corrected twice, and a correction of nothing, are noticed."""
    tie.whistles()
    goal = tie.log(Kind.GOAL, 1000, exact=True, person="home 9")
    tie.log(Kind.GOAL, 1000, exact=True, person="home 10", supersedes=goal.id)
    tie.log(Kind.GOAL, 1000, exact=True, person="home 11", supersedes=goal.id)
    assert says(tie, "corrected twice").entries == (EntryId(6), EntryId(7))
    lost = tie.log(Kind.NOTE, 1000)
    tie.entries[-1] = replace(lost, id=EntryId(30), supersedes=EntryId(20))
    assert "corrects nothing" in found(tie)
    tie.log(Kind.WITHDRAWN, 1001, supersedes=EntryId(7))
    assert found(tie).count("corrected twice") == 1


def test_an_unfinished_shoot_out_has_its_whistles(tie: Match) -> None:
    """Kicks without their own kick-off are said to lack it."""
    tie.whistles()
    tie.log(Kind.SHOOT_OUT_KICK, 7060, exact=True, person="home 9", how="scored")
    assert "The kick-off of the shoot-out was not logged" in audit(tie.fold())[0].says


def test_people_in_remarks(tie: Match) -> None:
    """A remark names number, name and side as far as they are known."""
    assert who(None, tie.sheet) == "somebody"
    assert who(tie.who("home 9"), tie.sheet) == "9 Ines Holm (Northgate)"
    assert who(PersonId("referee"), tie.sheet) == "Rut Berg"
    assert who(tie.who("away 70"), tie.sheet) == "number 70 (Elmbridge)"
    assert who(PersonId("stranger"), tie.sheet) == "stranger"


def test_remarks_are_for_what_was_known(tie: Match) -> None:
    """A fold of an earlier knowledge is audited as it was known then."""
    tie.whistles(until=1)
    tie.log(Kind.GOAL, 5000, exact=True, person="home 14")
    fold = Fold(tie.fixture, tie.sheet, tie.entries, as_known_at=tie.at(2900))
    assert audit(fold) == ()
