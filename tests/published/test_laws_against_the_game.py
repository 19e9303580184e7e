"""What the Laws of the Game say of periods, players, dismissals and kicks, and what we do.

Sources, read in stored copies: IFAB Laws of the Game 2024-25, Law 7 (thefa.com); Law 10, section
3 (ayso1455.org); Law 3 as taught by U.S. Soccer (learning.ussoccer.com) and section 6
(theisab.com). What is marked (from memory) was not seen in a copy.
"""

from __future__ import annotations

import pytest
from checks import Check, each
from open_football import KICK_OFF, log_csv

from setpiece.match.audit import audit
from setpiece.match.audit_people import FEWEST_PLAYERS
from setpiece.match.clock import minutes_before, period_length_s
from setpiece.match.exchange import read_log_csv
from setpiece.match.fixture import Fixture, Rules
from setpiece.match.fold import Fold
from setpiece.match.people import Person, Role, Side, SidePeople, TeamSheet, numbered_id
from setpiece.match.whistles import PAUSE_S

pytestmark = pytest.mark.published

LAWS = "IFAB Laws of the Game 2024-25"
EXACT = "a number of the Laws"
RULES = Rules()

CHECKS = (
    Check("length of a half, min", LAWS, "Law 7 section 1", 45,
          lambda: period_length_s(1, RULES) / 60, 0, EXACT),
    Check("length of the second half, min", LAWS, "Law 7 section 1", 45,
          lambda: period_length_s(2, RULES) / 60, 0, EXACT),
    Check("longest half of extra time, min", LAWS, "Law 7 (from memory)", 15,
          lambda: period_length_s(4, RULES) / 60, 0, EXACT),
    Check("minutes before extra time", LAWS, "Law 7 section 1", 90,
          lambda: minutes_before(3, RULES), 0, EXACT),
    Check("half-time interval allowed for, min", LAWS, "Law 7 section 2", 15,
          lambda: sum(PAUSE_S[1]) / 120, 0, "the middle of what an estimate allows"),
    Check("players of a side", LAWS, "Law 3 section 1", 11,
          lambda: RULES.players, 0, EXACT),
    Check("fewest players to go on with", LAWS, "Law 3 section 1", 7,
          lambda: FEWEST_PLAYERS, 0, EXACT),
    Check("substitutions in an official competition", LAWS, "Law 3 section 2", 5,
          lambda: RULES.substitutions, 0, EXACT),
    Check("one more substitution in extra time", LAWS, "Law 3 section 2", 1,
          lambda: RULES.extra_time_substitutions, 0, EXACT),
)  # fmt: skip


@each(CHECKS)
def test_numbers_are_those_of_the_laws(check: Check) -> None:
    """Lengths and numbers are those of the Laws."""
    check.hold()


def _sheet() -> TeamSheet:
    people = [
        Person(
            numbered_id(side, n), f"{side} {n}",
            Role.GOALKEEPER if n in (1, 13) else Role.PLAYER, side, n, starts=n <= 11,
        )
        for side in Side
        for n in range(1, 19)
    ]  # fmt: skip
    return TeamSheet(SidePeople("Home", "Home"), SidePeople("Away", "Away"), tuple(people))


def _fold(*rows: str, rules: Rules = RULES) -> Fold:
    sheet = _sheet()
    text = log_csv([row.split(",") for row in rows])
    log = read_log_csv(text, sheet, typed=KICK_OFF)
    return Fold(Fixture("laws", "Home", "Away", "", KICK_OFF, "UTC", rules=rules), sheet, log)


def _on(fold: Fold, side: Side) -> set[int | None]:
    return {w.number for w in fold.last().side(side).on_pitch}


def _about(fold: Fold) -> set[str]:
    return {remark.about for remark in audit(fold)}


def test_law_3_section_6_a_player_sent_off_after_kick_off_is_not_replaced() -> None:
    """A dismissal leaves ten, and sending somebody on in place of the dismissed is noticed."""
    fold = _fold(",,30,red,home,5,,,")
    assert len(_on(fold, Side.HOME)) == 10
    replaced = _fold(",,30,red,home,5,,,", ",,31,substitution,home,5,14,,")
    assert "not on the pitch" in _about(replaced)


def test_law_3_section_6_one_sent_off_before_kick_off_may_be_replaced() -> None:
    """Sent off before kick-off and replaced by a late change: eleven, and no substitution used."""
    fold = _fold(",,,late change,home,5,14,,")
    assert len(_on(fold, Side.HOME)) == 11
    assert 5 not in _on(fold, Side.HOME)
    assert fold.last().home.bench.count(numbered_id(Side.HOME, 5)) == 0


def test_law_3_section_6_a_substitute_sent_off_leaves_eleven_on() -> None:
    """A red card on the bench takes nobody off the pitch, but the substitute out of the match."""
    fold = _fold(",,30,red,home,14,,,")
    assert len(_on(fold, Side.HOME)) == 11
    assert numbered_id(Side.HOME, 14) not in fold.last().home.bench
    late = _fold(",,30,red,home,14,,,", ",,60,substitution,home,9,14,,")
    assert "not on the bench" in _about(late)


def test_law_3_section_3_a_replaced_player_takes_no_further_part() -> None:
    """Somebody who was replaced and comes on again is noticed, unless returns are allowed."""
    rows = (",,30,substitution,home,9,14,,", ",,60,substitution,home,14,9,,")
    assert "not on the bench" in _about(_fold(*rows))
    assert _about(_fold(*rows, rules=Rules(return_substitutions=True))) == set()


def test_law_3_section_2_a_sixth_substitution_is_for_extra_time() -> None:
    """Six substitutions in 90 minutes are too many; the sixth in extra time is not."""
    five = [f",,{60 + n},substitution,home,{n},{n + 10},," for n in range(2, 7)]
    assert "too many substitutions" in _about(_fold(*five, ",,80,substitution,home,7,17,,"))
    assert "too many substitutions" not in _about(_fold(*five, ",,100,substitution,home,7,17,,"))


def test_law_3_section_1_fewer_than_seven_is_noticed() -> None:
    """A fifth dismissal leaves six, with which a match does not go on."""
    reds = [f",,{30 + n},red,home,{n},,," for n in range(2, 6)]
    assert "too few on the pitch" not in _about(_fold(*reds))
    assert "too few on the pitch" in _about(_fold(*reds, ",,50,red,home,6,,,"))


def test_law_12_a_second_caution_sends_off() -> None:
    """A second yellow sends off; two yellows without it are noticed (Law 12, from memory)."""
    fold = _fold(",,30,yellow,home,5,,,", ",,60,second yellow,home,5,,,")
    assert len(_on(fold, Side.HOME)) == 10
    assert _about(fold) == set()
    two = _fold(",,30,yellow,home,5,,,", ",,60,yellow,home,5,,,")
    assert "second yellow without red" in _about(two)


def test_law_10_cautions_are_not_carried_into_the_kicks() -> None:
    """A yellow in the match and one during the kicks are no second yellow (Law 10 section 3)."""
    fold = _fold(
        ",,30,yellow,home,5,,,", "5,,,kick-off,,,,,", "5,,,yellow,home,5,,,",
        "5,,,shoot-out kick,home,5,,scored,",
    )  # fmt: skip
    assert "second yellow without red" not in _about(fold)


def test_law_10_only_those_on_the_pitch_at_the_end_kick() -> None:
    """A kick by a substituted, dismissed or unused player is noticed (Law 10 section 3)."""
    kick = "5,,,shoot-out kick,home,{},,scored,"
    for number in (9, 5, 16):
        fold = _fold(",,30,red,home,5,,,", ",,60,substitution,home,9,14,,", kick.format(number))
        assert "may not kick" in _about(fold)
    assert "may not kick" not in _about(_fold(",,60,substitution,home,9,14,,", kick.format(14)))


def test_law_10_the_kicks_are_no_goals_of_the_match() -> None:
    """The kicks have a score of their own; the score of the match stays (Law 10, from memory)."""
    fold = _fold(
        ",,30,goal,home,9,,,", ",,80,goal,away,9,,,", "5,,,kick-off,,,,,",
        "5,,,goal,home,9,,,", "5,,,penalty saved,away,9,,,",
    )  # fmt: skip
    last = fold.last()
    assert (last.score.home, last.score.away) == (1, 1)
    assert last.shoot_out is not None
    assert (last.shoot_out.home, last.shoot_out.away) == (1, 0)


def test_law_10_nobody_kicks_twice_before_every_team_mate_has() -> None:
    """A second kick by the same player while team-mates have not kicked is noticed."""
    kicks = [f"5,,,shoot-out kick,{side},{n},,scored," for n in (9, 9) for side in ("home", "away")]
    assert "kick out of turn" in _about(_fold(*kicks))
    in_turn = [f"5,,,shoot-out kick,{s},{n},,scored," for n in (9, 10) for s in ("home", "away")]
    assert "kick out of turn" not in _about(_fold(*in_turn))


def test_law_10_sides_kick_in_turn() -> None:
    """Two kicks of the same side running are noticed."""
    kicks = [f"5,,,shoot-out kick,home,{n},,scored," for n in (9, 10)]
    assert "kick out of turn" in _about(_fold(*kicks))
