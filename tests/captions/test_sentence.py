"""The sentence in two languages."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cup_tie import LOG, SHEET, CupTie, extra, first, kicks, second

from setpiece.captions.acts import Acts

JOY = second(73, 50)


@pytest.mark.parametrize(
    ("line", "english", "german"),
    [
        (
            "9r celebrates with 11r right",
            "Nora Lindqvist of Hallern FC celebrates with team-mate Ebba Roth (right) after "
            "scoring from a free kick to make it 2–1 during",
            "Nora Lindqvist von Hallern FC jubelt mit Mitspielerin Ebba Roth (rechts) nach ihrem "
            "Freistoßtreffer zum 2:1 (74.) im Spiel",
        ),
        (
            "9r celebrates with 4r left and 11r right",
            "Nora Lindqvist of Hallern FC celebrates with team-mates Lotte Moreau (left) and Ebba "
            "Roth (right)",
            "Nora Lindqvist von Hallern FC jubelt mit Mitspielerinnen Lotte Moreau (links) und "
            "Ebba Roth (rechts)",
        ),
        (
            "9r celebrates with someone left",
            "Nora Lindqvist of Hallern FC celebrates with a team-mate (left)",
            "Nora Lindqvist von Hallern FC jubelt mit einer Mitspielerin (links)",
        ),
        (
            "9r consoles someone left",
            "Nora Lindqvist of Hallern FC consoles a team-mate (left)",
            "Nora Lindqvist von Hallern FC tröstet eine Mitspielerin (links)",
        ),
        (
            "9r shields ball 6w",
            "Nora Lindqvist of Hallern FC shields the ball from Ruth van der Berg of Whitmoor",
            "Nora Lindqvist von Hallern FC schirmt den Ball gegen Ruth van der Berg von Whitmoor "
            "Rovers ab im Spiel",
        ),
        (
            "w coach reacts",
            "Whitmoor Rovers manager Tom Birch reacts",
            "Teammanager Tom Birch von Whitmoor Rovers reagiert",
        ),
        (
            "r supporters celebrate",
            "Hallern FC supporters celebrate after Nora Lindqvist scored",
            "Fans von Hallern FC jubeln nach dem Freistoßtreffer von Nora Lindqvist",
        ),
        (
            "r bench celebrates",
            "The Hallern FC bench celebrates after",
            "Die Bank von Hallern FC jubelt nach",
        ),
    ],
)
def test_one_line_gives_two_desks_two_languages(
    line: str, english: str, german: str, tie: CupTie
) -> None:
    """From the same line each desk gets its language, its grammar and not only its words."""
    assert tie.compose(line, JOY).fields.description.startswith(english)
    text = tie.compose(line, JOY, "nordblatt").fields.description
    assert text.startswith(f"Hallern, Samstag, 6. März 2027: {german}")


def test_german_follows_the_pronouns_of_the_sheet(acts: Acts) -> None:
    """Nouns are in the gender the sheet states, and in none where it states none."""
    for pronouns, words in (
        ("he", "Mitspieler Ebba Roth (rechts) nach seinem Freistoßtreffer"),
        ("", "Teammitglied Ebba Roth (rechts) nach dem eigenen Freistoßtreffer"),
    ):
        people = tuple(replace(p, pronouns=pronouns) for p in SHEET.people)
        tie = CupTie(acts, LOG, replace(SHEET, people=people))
        text = tie.compose("9r celebrates with 11r right", JOY, "nordblatt").fields.description
        assert words in text


def test_english_needs_no_pronouns(tie: CupTie) -> None:
    """No English caption says she, her, he or his."""
    for line in ("9r celebrates with 11r right", "9r scores", "17w replaces 8w"):
        at = second(73, 20) if "scores" in line else JOY if "9r" in line else second(62, 20)
        words = tie.compose(line, at).fields.description.lower().split()
        assert not {"she", "her", "he", "his", "they", "their"} & set(words)


@pytest.mark.parametrize(
    ("at", "log", "words"),
    [
        (first(-10), "tie", "before the"), (first(30), "tie", "during the"),
        (first(50), "tie", "at half-time of the"), (second(95), "tie", "after the"),
        (second(95), "long", "before extra time of the"),
        (extra(106), "long", "at half-time of extra time of the"),
        (kicks(-1), "long", "before the penalty shoot-out of the"),
        (kicks(2), "long", "during the penalty shoot-out of the"),
        (kicks(20), "long", "after the"),
    ],
)  # fmt: skip
def test_where_in_the_match_is_said(
    at, log: str, words: str, tie: CupTie, long_tie: CupTie
) -> None:
    """Before, during, between and after: as the log has it at that instant."""
    which = {"tie": tie, "long": long_tie}[log]
    text = which.compose("r coach reacts", at).fields.description
    assert f"reacts {words} Aldbrook" in text


@pytest.mark.parametrize(
    ("style", "words"),
    [("north", "to make it 2–1 during"), ("gazette", "to make it 2-1 (74') during"),
     ("club", "to make it 2–1 in the 74th minute during"), ("nordblatt", "zum 2:1 (74.) im")],
)  # fmt: skip
def test_each_style_prints_score_and_minute_its_way(style: str, words: str, tie: CupTie) -> None:
    """Score form and minute wording are the desk's."""
    assert words in tie.compose("9r scores", second(73, 20), style).fields.description


@pytest.mark.parametrize(
    ("style", "words"),
    [("gazette", "(45+2')"), ("club", "in added time (45+2)"), ("nordblatt", "(45+2.)")],
)
def test_added_time_is_printed_as_such(style: str, words: str, tie: CupTie) -> None:
    """A goal in added time has the minute with its plus."""
    assert words in tie.compose("5r scores", first(46, 30), style).fields.description


def test_the_date_is_the_frames_own_at_the_venue(acts: Acts) -> None:
    """A frame past midnight there has the next day, whatever the day in UTC."""
    from cup_tie import FIXTURE, KICK_OFF

    from setpiece.captions.compose import compose
    from setpiece.captions.situation import situation_for
    from setpiece.match.fold import Fold
    from setpiece.match.instants import Interval, instant

    late = replace(FIXTURE, time_zone="Pacific/Auckland")
    situation = situation_for(
        late, SHEET, Fold(late, SHEET, LOG), "f", Interval.exactly(instant(KICK_OFF))
    )
    tie = CupTie(acts)
    text = compose("r coach reacts", situation, tie.style(), acts).fields.description
    assert "on Sunday, 7 March 2027" in text


def test_alt_text_says_what_is_seen(tie: CupTie) -> None:
    """Colours and numbers, no name, no club, no score."""
    alt = tie.compose("9r celebrates with 11r right", JOY).fields.alt_text
    assert alt == (
        "A player in red with the number 9 celebrates with a player in red with the number 11 "
        "(right)."
    )
    german = tie.compose("9r celebrates with someone left", JOY, "nordblatt").fields.alt_text
    assert german == (
        "Eine Spielerin in Rot mit der Nummer 9 jubelt mit einer Spielerin in Rot (links)."
    )


def test_a_quotation_passes_through(tie: CupTie) -> None:
    """What was quoted stands in the caption in quotation marks."""
    text = tie.compose("9r celebrates quote what a night", JOY).fields.description
    assert text.endswith("“what a night”.")


def test_the_sponsor_may_be_left_out(tie: CupTie, acts: Acts) -> None:
    """A desk may name the competition its own way, or without the sponsor."""
    from setpiece.captions.compose import compose

    plain = replace(tie.style(), drop_sponsors=("Aldbrook Bank",))
    own = replace(tie.style(), competitions={"Aldbrook Bank Women's Cup": "Cup"})
    situation = tie.situation(JOY)
    assert "the Women's Cup semi-final" in (
        compose("9r shoots", situation, plain, acts).fields.description
    )
    assert "the Cup semi-final" in compose("9r shoots", situation, own, acts).fields.description
