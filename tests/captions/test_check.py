"""The check: people, the match, words; what it finds and what it leaves alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from checking import EVENT, JOY, codes, typed
from cup_tie import LOG, CupTie, extra, first, kicks, second

from setpiece.captions.check import check
from setpiece.captions.compose import compose
from setpiece.captions.findings import Level
from setpiece.captions.typed_over import typed_over
from setpiece.match.entries import Entry, EntryId, Kind
from setpiece.match.instants import Interval, MinuteLabel, instant
from setpiece.match.people import Side, numbered_id


def test_a_true_caption_has_no_finding(tie: CupTie, style_name: str) -> None:
    """Nothing is found in a plain caption of any style."""
    caption = tie.compose("9r celebrates with 11r right", JOY, style_name)
    assert tie.check(caption, JOY, style_name) == ()


# ----- people -----


def test_who_is_not_on_the_pitch_is_told_why(tie: CupTie) -> None:
    """Substituted and when; on the bench; sent off and when."""
    for line, at, code, why in (
        ("8w tackles 9r", second(75), "not where the act needs her", "substituted 63'"),
        ("16r shoots", second(70), "not where the act needs her", "on the bench"),
        ("5w shoots", second(82), "dismissed", "sent off 81'"),
    ):
        found = tie.check(tie.compose(line, at), at)
        told = next(f for f in found if f.code == code)
        assert told.level is Level.ERROR
        assert why in told.message


def test_who_plays_does_not_sit_on_the_bench(tie: CupTie) -> None:
    """An act of the bench needs somebody who is not on the pitch."""
    found = tie.check(tie.compose("9r sits on bench", JOY), JOY)
    assert "not where the act needs her" in codes(found, Level.ERROR)


def test_only_who_keeps_goal_saves(tie: CupTie) -> None:
    """A save by an outfield player is an error."""
    found = tie.check(tie.compose("5r saves", JOY), JOY)
    assert any("does not keep goal" in f.message for f in found)


def test_a_change_within_the_clocks_uncertainty_is_a_doubt(tie: CupTie) -> None:
    """A frame that may be from before or after the change asks which."""
    at = second(62, 10)
    situation = tie.situation(at, uncertainty_s=2)
    caption = compose("ivy marsh shoots", situation, tie.style(), tie.acts)
    found = check(caption, situation, tie.style(), tie.acts)
    uncertain = next(f for f in found if f.code == "time uncertain")
    assert uncertain.level is Level.DOUBT
    assert uncertain.choices


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("Nora Lindquist of Hallern FC shoots", "name not as on the sheet"),
        ("Nora LINDQVIST of Hallern FC shoots", "name not as on the sheet"),
        ("Sofia Pena of Hallern FC shoots", "name not as on the sheet"),
        ("Norah Lindqvist of Hallern FC shoots", "name not as on the sheet"),
        ("Quinn Nobody of Hallern FC shoots", "unknown person"),
        ("Moreau of Hallern FC clears the ball", "ambiguous person"),
        ("Nora Lindqvist of Whitmoor Rovers shoots", "wrong side"),
        ("Whitmoor Rovers' Nora Lindqvist shoots", "wrong side"),
        ("Ana Brandt (left), Nora Lindqvist and Pia Kern of Whitmoor Rovers look on", "wrong side"),
        ("Nora Lindqvist (10) of Hallern FC shoots", "number not worn"),
        ("Number 10 Nora Lindqvist of Hallern FC shoots", "number not worn"),
        ("Hallern FC manager Mara Feld reacts", "role title not the club's"),
        ("Tom Birch, head coach of Whitmoor Rovers, reacts", "role title not the club's"),
        ("Tilda Ørsted of Hallern FC tackles Jo Kemp of Whitmoor Rovers",
         "not where the act needs her"),
        ("Jo Kemp of Whitmoor Rovers scores", "scorer not the log's"),
        ("Hallern FC players celebrate a goal by Ebba Roth", "scorer not the log's"),
        ("Mara Voss of Hallern FC reacts after scoring", "scorer not the log's"),
        ("Nora Lindqvist of Hallern FC shoots with the score at 1–0", "score not the log's"),
        ("Nora Lindqvist of Hallern FC shoots in the 12th minute", "minute not the log's"),
        ("Nora Lindqvist of Hallern FC shoots (12')", "minute not the log's"),
        ("Nora Lindqvist of Hallern FC celebrates the winner", "winner before full time"),
        ("Nora Lindqvist of Hallern FC celebrates the equaliser for 2–1",
         "equaliser not the log's"),
        ("Nora Lindqvist of Hallern FC celebrated", "not in the present tense"),
        ("Nora Lindqvist of Hallern FC lies on the pitch with concussion", "diagnosis"),
        ("Hallern FC supporters sing because they are drunk", "motive"),
    ],
)  # fmt: skip
def test_free_text_is_held_to_sheet_and_log(text: str, code: str, tie: CupTie) -> None:
    """Names, numbers, sides, titles, scores, minutes and claims are found in any text."""
    assert code in codes(typed(tie, f"{text} {EVENT}", JOY), Level.ERROR)


@pytest.mark.parametrize(
    "text",
    [
        "Nora Lindqvist of Hallern FC shoots",
        "Lindqvist of Hallern FC shoots",
        "Nora Lindqvist (9) of Hallern FC shoots past Grace Oduya (1) of Whitmoor Rovers",
        "Hallern FC's Nora Lindqvist (9, left) embraces team-mate Ebba Roth (11)",
        "Hallern FC head coach Mara Feld and Whitmoor Rovers manager Tom Birch look on",
        "Nora Lindqvist of Hallern FC celebrates after scoring for 2–1 in the 74th minute",
        "Supporters of Hallern FC celebrate the goal by Nora Lindqvist for 2–1",
        "Mara Voss of Hallern FC looks on, who scored an own goal for 1–1 in added time (45+2)",
        "Ruth van der Berg of Whitmoor Rovers walks past referee Ida Holm",
        "Lu of Whitmoor Rovers looks on",
        "Mayor Eva Lunde applauds",
    ],
)
def test_true_free_text_is_left_alone(text: str, tie: CupTie) -> None:
    """Nothing true is called an error, however it is put."""
    assert codes(typed(tie, f"{text} {EVENT}", JOY), Level.ERROR) == set()


def test_after_full_time_a_shirt_of_the_other_side_is_a_remark(tie: CupTie) -> None:
    """Shirts are swapped then: the wrong side is only said."""
    found = typed(
        tie, f"Nora Lindqvist of Whitmoor Rovers waves {EVENT.replace('during', 'after')}",
        second(95),
    )  # fmt: skip
    assert codes(found, Level.REMARK) >= {"wrong side"}
    assert "wrong side" not in codes(found, Level.ERROR)


def test_two_of_one_side_typed_without_placement_are_a_doubt(tie: CupTie) -> None:
    """One placement tells two apart; without any it is asked; a change tells them apart."""
    text = f"Nora Lindqvist and Ebba Roth of Hallern FC embrace {EVENT}"
    assert codes(typed(tie, text, JOY), Level.DOUBT) == {"placement missing"}
    placed = text.replace("Ebba Roth", "Ebba Roth (right)")
    assert codes(typed(tie, placed, JOY)) == set()
    change = f"Bea Quill of Whitmoor Rovers replaces team-mate Ivy Marsh {EVENT}"
    assert codes(typed(tie, change, second(62, 20))) == set()


# ----- the match -----


def test_a_goal_under_review_is_a_doubt(long_tie: CupTie) -> None:
    """It is neither right nor wrong yet: a person chooses."""
    at = extra(94, 50)
    found = long_tie.check(long_tie.compose("9w celebrates", at), at)
    assert codes(found, Level.DOUBT) == {"goal under review"}


def _loose_goal(tie: CupTie) -> CupTie:
    """The tie with its last goal known only to three minutes."""
    loose = tuple(
        replace(e, happened=Interval(instant(e.typed - timedelta(seconds=60)),
                                     instant(e.typed + timedelta(seconds=60))), frame="")
        if e.id == 10 else e
        for e in LOG
    )  # fmt: skip
    return CupTie(tie.acts, loose)


def test_a_goal_that_may_be_later_than_the_frame_is_a_doubt(tie: CupTie) -> None:
    """A celebration within the log's uncertainty asks whether the goal came before it."""
    loose, at = _loose_goal(tie), second(73, 30)
    found = loose.check(loose.compose("9r celebrates", at), at)
    assert "time uncertain" in codes(found, Level.DOUBT)
    assert "time uncertain" not in codes(tie.check(tie.compose("9r celebrates", JOY), JOY))


def test_doubts_are_raised_only_for_what_is_printed(tie: CupTie) -> None:
    """A minute left open by the log is no matter where the style prints none."""
    loose, at = _loose_goal(tie), second(75)
    for style, doubted in (("gazette", True), ("north", False)):
        found = loose.check(loose.compose("9r celebrates", at, style), at, style)
        assert ("time uncertain" in codes(found, Level.DOUBT)) is doubted


def test_a_minute_at_its_turn_is_a_doubt_where_it_is_printed(tie: CupTie) -> None:
    """Within the clock's uncertainty of a full minute both are offered."""
    at = second(60)
    for style, doubted in (("club", True), ("north", False)):
        found = tie.check(tie.compose("9r shoots", at, style), at, style)
        assert ("time uncertain" in codes(found, Level.DOUBT)) is doubted


def test_a_caption_older_than_its_fact_is_an_error(tie: CupTie) -> None:
    """A goal that was withdrawn since, or given to another, makes the caption old."""
    caption = tie.compose("9r celebrates", JOY)
    gone = Entry(EntryId(16), Kind.WITHDRAWN, LOG[-1].typed, supersedes=EntryId(10))
    goal = next(e for e in LOG if e.id == 10)
    other = replace(goal, id=EntryId(16), supersedes=goal.id, person=numbered_id(Side.HOME, 11))
    assert other.person != goal.person
    for entry in (gone, other):
        found = CupTie(tie.acts, (*LOG, entry)).check(caption, JOY)
        assert "older than a fact it used" in codes(found, Level.ERROR)


@pytest.mark.parametrize("style", ["north", "gazette", "club", "nordblatt"])
@pytest.mark.parametrize("typed_text", [False, True])
def test_a_goal_that_was_only_pinned_since_says_the_same(
    tie: CupTie, style: str, typed_text: bool
) -> None:
    """Pinned or timed within its minute, a goal leaves a caption of it without a finding."""
    caption = tie.compose("9r celebrates", JOY, style)
    if typed_text:
        house = tie.style(style)
        caption = typed_over(caption, caption.fields, tie.situation(JOY), house, tie.acts)
        assert caption.facts.entries == (10,)
    goal = next(e for e in LOG if e.id == 10)
    pinned = replace(goal, id=EntryId(16), supersedes=goal.id, frame="f-strike")
    later = CupTie(tie.acts, (*LOG, pinned))
    assert codes(later.check(caption, JOY, style)) == codes(tie.check(caption, JOY, style)) == set()


# ----- words and people to protect -----


def test_adjectives_and_slang_are_remarked_but_not_in_quotations(tie: CupTie) -> None:
    """The list is the language's, and the style may add to it."""
    text = f"Nora Lindqvist of Hallern FC celebrates a stunning screamer {EVENT}"
    assert codes(typed(tie, text, JOY), Level.REMARK) == {"adjective", "slang"}
    quoted = f"Nora Lindqvist of Hallern FC celebrates {EVENT} “a stunning screamer”."
    assert codes(typed(tie, quoted, JOY)) == set()


def test_more_than_two_sentences_are_an_error(tie: CupTie) -> None:
    """Two are enough; an abbreviation ends none."""
    two = f"Nora Lindqvist of Hallern FC shoots {EVENT} The pitch is wet."
    assert codes(typed(tie, two, JOY)) == set()
    assert "too many sentences" in codes(typed(tie, f"{two} It rains.", JOY))


def test_people_to_protect_are_held(tie: CupTie) -> None:
    """By the act, by words, and near an injury although nothing says so."""
    for line, at in (
        ("steward stops invader", second(60)),
        ("9r walks with mascots", first(-4)),
        ("9r shoots", second(88, 20)),
    ):
        found = tie.check(tie.compose(line, at), at)
        assert codes(found) == {"people to protect"}
        assert found[0].choices == ("use it", "hold it", "spike it")
    text = f"A supporter of Hallern FC sits beside a stretcher {EVENT}"
    assert "people to protect" in codes(typed(tie, text, JOY), Level.DOUBT)


def test_a_frame_near_an_invader_is_held_without_a_caption(dark_tie: CupTie) -> None:
    """What is logged near decides, captioned or not; never the pixels."""
    from setpiece.captions.check_words import care_near

    language = dark_tie.acts.languages["en"]
    assert care_near(dark_tie.situation(first(21)), language) == ("note near this frame",)
    assert care_near(dark_tie.situation(first(5)), language) == ()


def test_an_under_18_is_remarked(tie: CupTie) -> None:
    """Named only as the public sheet names her."""
    found = tie.check(tie.compose("18w sits on bench", second(70)), second(70))
    assert codes(found) == {"under 18"}


def test_errors_stand_first_and_each_once(tie: CupTie) -> None:
    """Errors, then doubts, then remarks; the same finding is said once."""
    text = f"Nora Lindquist of Hallern FC celebrates a stunning goal {EVENT}"
    found = typed(tie, text, second(88, 10))
    levels = [f.level for f in found]
    assert levels == sorted(levels, key=[Level.ERROR, Level.DOUBT, Level.REMARK].index)
    assert len(set(found)) == len(found)


def test_a_printed_minute_in_the_log_is_taken_as_it_is(tie: CupTie) -> None:
    """A minute typed into the log leaves none open, whatever its seconds."""
    goal = replace(LOG[9], happened=None, printed=MinuteLabel(74), frame="")
    printed = CupTie(tie.acts, (*LOG[:9], goal, *LOG[10:]))
    at = second(75, 30)
    caption = printed.compose("9r celebrates after 74 goal", at, "gazette")
    assert codes(printed.check(caption, at, "gazette"), Level.ERROR) == set()


def test_a_shoot_out_score_is_apart(long_tie: CupTie) -> None:
    """Kicks scored are no goals of the match and no false scorers."""
    at = kicks(4, 5)
    caption = long_tie.compose("9w scores kick", at)
    assert long_tie.check(caption, at) == ()
