"""The stints in which the demo match is worked, and the clock that they move."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from pathlib import Path

from setpiece.work.demo.ground_time import AtTheGround
from setpiece.work.demo.lines import demo_lines
from setpiece.work.demo.planted import planted
from setpiece.work.demo.scenario import ENDS, STARTS
from setpiece.work.demo.working import STINTS
from setpiece.work.job import Unattended


def test_every_line_is_typed_in_one_stint() -> None:
    """The passages of the stints are those of the lines, each once."""
    truth = planted(Path("cards"))
    typed = [p for stint in STINTS for sending in stint.sendings for p in sending]
    assert sorted(typed) == sorted(truth.frame(x.frame).passage for x in demo_lines(truth))


def test_nothing_is_sent_before_it_was_shot() -> None:
    """Every frame of a stint was made before the photographer bends over the laptop."""
    truth = planted(Path("cards"))
    shot = {truth.frame(x.frame).passage: truth.frame(x.frame).true for x in demo_lines(truth)}
    for stint in STINTS:
        for passage in (p for sending in stint.sendings for p in sending):
            assert shot[passage] < stint.at


def test_the_stints_follow_each_other_from_the_clock_cards_on() -> None:
    """The first is before kick-off, the last after full time, and time only goes on."""
    assert STINTS[0].at < STARTS[1]
    assert STINTS[-1].at > ENDS[2]
    assert all(a.at < b.at for a, b in pairwise(STINTS))
    assert sum(stint.wrong_scorer for stint in STINTS) == 1


def test_the_clock_is_set_and_let_go_on() -> None:
    """It begins after full time, stands where it is set, never waits backwards, moves on."""
    clock = AtTheGround(Unattended(STARTS[1]))
    assert clock.now() > ENDS[2]
    clock.move_to(STARTS[2])
    assert clock.now() == STARTS[2]
    clock.wait_until(STARTS[1])
    assert clock.now() == STARTS[2]
    clock.move_on(12.5)
    assert clock.now() - STARTS[2] == timedelta(seconds=12.5)
