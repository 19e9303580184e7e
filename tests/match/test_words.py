"""Words that are read and written outside the program: sheets, logs, JSON. They do not change."""

from __future__ import annotations

import pytest

from setpiece.match.entries import How, Kind, Standing
from setpiece.match.fixture import Rules
from setpiece.match.names import SCORES, Why
from setpiece.match.people import Role, Side
from setpiece.match.roles import KEEPER_POSITIONS, OFFICIALS, WORDS, role_of
from setpiece.match.sheet_exchange import COLUMNS, OTHER_WORDS, read_sheet_csv
from setpiece.match.sheet_text import BENCH, START, read_person_line, read_sheet_text
from setpiece.match.state import Card, Phase
from setpiece.match.typed import KINDS, RULINGS
from setpiece.match.whistles import IN_PLAY, SIGNALS

ROLES = {
    "head coach": "head coach, coach, trainer",
    "manager": "manager",
    "assistant coach": "assistant coach, assistant head coach, assistant manager, "
    "goalkeeping coach, goalkeeper coach, fitness coach",
    "physiotherapist": "physiotherapist, physio, sports therapist",
    "doctor": "doctor, team doctor, club doctor",
    "staff": "kit manager, kit woman, kit man, team manager, analyst, staff",
    "referee": "referee",
    "assistant referee": "assistant referee, assistant referees, assistants",
    "fourth official": "fourth official",
    "video referee": "video referee, video assistant referee",
    "guest": "guest",
    "goalkeeper": "goalkeeper, keeper",
    "player": "player",
}


@pytest.mark.parametrize("role", ROLES)
def test_the_words_of_sheets_mean_their_roles(role: str) -> None:
    """In any capitals, with hyphens, and with what comes before a title."""
    for word in ROLES[role].split(", "):
        assert role_of(word) is Role(role)
        assert role_of(word.upper().replace(" ", "-")) is Role(role)
        assert role_of(f" Interim {word.title()}") is Role(role)
    for before in "interim caretaker acting first second senior lead joint".split():
        assert role_of(f"{before} {ROLES[role].split(', ')[0]}") is Role(role)
    assert role_of(f"former {role}") is None


def test_every_word_of_a_sheet_is_told_above() -> None:
    """No word means a role that does not stand in this table."""
    told = {word for words in ROLES.values() for word in words.split(", ")}
    assert set(WORDS) == told
    assert {r.value for r in OFFICIALS} == {
        "referee", "assistant referee", "fourth official", "video referee",
    }  # fmt: skip


WRITTEN = {
    Side: "home away",
    Kind: "kick-off|period end|goal|penalty awarded|penalty taken|penalty saved|penalty missed|"
    "penalty retaken|shoot-out kick|yellow|second yellow|red|substitution|late change|"
    "temporary dismissal|return|injury|treatment|review|break|added time|in goal|captain|shirt|"
    "kit|tribute|floodlights|suspended|resumed|abandoned|note|withdrawn",
    How: "|header|penalty|free kick|own goal|scored|saved|missed|concussion",
    Standing: "given|under review|stands|disallowed",
    Role: "player|goalkeeper|head coach|manager|assistant coach|physiotherapist|doctor|staff|"
    "referee|assistant referee|fourth official|video referee|guest",
    Phase: "before kick-off|first half|half-time|second half|full time|first half of extra time|"
    "interval of extra time|second half of extra time|shoot-out|suspended|abandoned|over",
    Card: "yellow|second yellow|red",
}


@pytest.mark.parametrize("kind", WRITTEN, ids=lambda k: k.__name__)
def test_what_is_written_into_files_keeps_its_words(kind: type) -> None:
    """A log or sheet of last season is read with the words of this one."""
    words = WRITTEN[kind].split("|") if "|" in WRITTEN[kind] else WRITTEN[kind].split()
    assert [member.value for member in kind] == words  # type: ignore[attr-defined]


def test_a_log_line_opens_with_its_kinds_word() -> None:
    """A kind's own word opens its line; short ones and rulings are told here."""
    short = {
        "disallowed": "goal", "stands": "goal", "under review": "goal",
        "penalty": "penalty awarded", "kick": "shoot-out kick", "sub": "substitution",
        "added": "added time",
    }  # fmt: skip
    for word, kind in KINDS.items():
        assert kind.value == short.get(word, word)
    assert len(KINDS) == 35
    assert {w: s.value for w, s in RULINGS.items()} == {
        "disallowed": "disallowed", "stands": "stands", "under review": "under review",
    }  # fmt: skip


def test_a_sheet_has_the_columns_of_the_docs() -> None:
    """Their order, and the other headings that are understood."""
    assert ",".join(COLUMNS) == (
        "side,number,name,known_as,family_name,pronouns,position,role,title,captain,starts,"
        "under_18,earlier_number,aliases,id"
    )
    text = "team,no.,player,pos,starter,u18\nhome,9,Eda,gk,yes,x\n"
    (eda,) = read_sheet_csv(text).people
    assert (eda.side, eda.number, eda.printed_name, eda.position) == (Side.HOME, 9, "Eda", "gk")
    assert (eda.starts, eda.under_18, eda.role) == (True, True, Role.GOALKEEPER)
    assert dict(OTHER_WORDS) == {
        "team": "side", "shirt": "number", "no": "number", "no.": "number", "#": "number",
        "player": "name", "printed_name": "name", "pos": "position", "starting": "starts",
        "starter": "starts", "start": "starts", "u18": "under_18",
    }  # fmt: skip


@pytest.mark.parametrize("word", ["yes", "Y", "true", "1", "x", "C"])
def test_yes_is_said_in_many_ways(word: str) -> None:
    """Each of them makes a captain; the words for no and nothing at all do not."""
    (eda,) = read_sheet_csv(f"name,captain\nEda,{word}\n").people
    assert eda.captain
    for no in ("", "no", "N", "false", "0"):
        (eda,) = read_sheet_csv(f"name,captain\nEda,{no}\n").people
        assert not eda.captain


@pytest.mark.parametrize("heading", sorted(BENCH | START))
def test_a_heading_parts_those_who_start_from_the_bench(heading: str) -> None:
    """In any capitals and with a colon; who stands under it starts or does not."""
    pasted = read_sheet_text(f"Line-up\n1 Ada\n{heading.upper()}:\n2 Bea\n", side=Side.HOME)
    assert pasted.not_understood == ()
    assert [p.starts for p in pasted.sheet.people] == [True, heading in START]


def test_the_headings_are_those_of_the_docs() -> None:
    """Common words of team sheets."""
    assert {"substitutes", "subs", "bench", "replacements", "reserves"} == BENCH
    assert {
        "starting xi", "starting eleven", "starting 11", "line up", "lineup", "team",
    } == START  # fmt: skip


@pytest.mark.parametrize("position", sorted(KEEPER_POSITIONS))
def test_a_position_in_goal_makes_a_goalkeeper(position: str) -> None:
    """Short and long words, of other languages too."""
    (keeper,) = read_person_line(f"1 Ada Holm ({position.upper()})", Side.HOME)
    assert keeper.role is Role.GOALKEEPER
    assert {"gk", "goalkeeper", "keeper", "g", "tw", "por"} == KEEPER_POSITIONS


def test_a_surer_match_scores_higher() -> None:
    """The order of the reasons is the order of their scores, from 100 down to 40."""
    assert [SCORES[why] for why in Why] == [100, 100, 95, 95, 95, 90, 80, 60, 40]
    assert [why.value for why in Why] == [
        "number", "whole name", "last word", "word", "alias", "earlier number", "beginning",
        "part", "slip",
    ]  # fmt: skip


def test_the_rules_are_those_of_the_laws_unless_told() -> None:
    """45 and 15 minutes, eleven players, five substitutions and one (Laws 3 and 7, from memory)."""
    assert Rules() == Rules(45, 15, 11, 5, 1, False, False)


def test_kinds_that_only_happen_in_play() -> None:
    """Goals and penalties fall in a period; whistles are logged as they are heard."""
    assert {k.value for k in IN_PLAY} == {
        "goal", "penalty awarded", "penalty taken", "penalty saved", "penalty missed",
        "penalty retaken",
    }  # fmt: skip
    assert {k.value for k in SIGNALS} == {
        "kick-off", "period end", "suspended", "resumed", "abandoned",
    }  # fmt: skip
