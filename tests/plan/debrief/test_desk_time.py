"""From what happened to the desk."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_up import at, delivery

from setpiece.plan.debrief.desk_time import desk_times, duration, way
from setpiece.plan.debrief.facts import Step


def test_every_part_of_a_way_is_told() -> None:
    """Event, shot, card, choice, caption and receipt give five parts that add up."""
    one = way(delivery(1, 2.0, 90.0, event=at(0.0), card=at(50.0), chosen=at(60.0),
                       captioned=at(85.0)))  # fmt: skip
    assert [p.seconds for p in one.parts] == [2.0, 48.0, 10.0, 25.0, 5.0]
    assert [p.steps for p in one.parts] == [(s,) for s in Step]
    assert one.total_s == 90.0
    assert one.slowest.words == "shot to card"


def test_a_step_that_is_not_known_runs_together_with_the_next() -> None:
    """Without the time of the choice, card to captioned is one part."""
    one = way(delivery(1, 0.0, 90.0, card=at(50.0), captioned=at(85.0)))
    assert [p.words for p in one.parts] == [
        "shot to card",
        "card to captioned",
        "captioned to sent",
    ]


def test_a_frame_chosen_before_it_was_taken_in_loses_no_time() -> None:
    """A choice on the camera, before the card came in, makes no part of its own."""
    one = way(delivery(1, 0.0, 90.0, card=at(50.0), chosen=at(10.0), captioned=at(70.0)))
    assert [p.seconds for p in one.parts] == [50.0, 20.0, 20.0]
    assert one.total_s == 90.0


@given(st.lists(st.floats(0, 5000), min_size=6, max_size=6))
def test_the_parts_add_up_to_the_whole_way(times: list[float]) -> None:
    """However the steps lie in time, their parts are not negative and sum to the whole."""
    event, shot, card, chosen, captioned, sent = times
    shot, sent = max(event, shot), max(times)
    one = way(delivery(1, shot, sent, event=at(event), card=at(card), chosen=at(chosen),
                       captioned=at(captioned)))  # fmt: skip
    assert all(p.seconds >= 0 for p in one.parts)
    assert one.total_s == pytest.approx(sent - event, abs=1e-3)
    assert [s for p in one.parts for s in p.steps] == list(Step)


def test_the_first_picture_of_an_entry_counts() -> None:
    """Of two deliveries of one goal the earlier receipt is the first."""
    late = delivery(1, 0.0, 200.0, event=at(0.0), entry=7)
    soon = delivery(2, 0.0, 100.0, event=at(0.0), entry=7)
    times = desk_times([late, soon])
    assert times.first[7].delivery.frame == "f2"
    assert times.median_s == 150.0
    assert desk_times([]).median_s is None


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0.0, "0 s"), (0.44, "0.4 s"), (9.0, "9 s"), (38.2, "38 s"), (60.0, "1 min"),
     (125.0, "2 min 05 s"), (3599.6, "1 h 00 min"), (5880.0, "1 h 38 min")],
)  # fmt: skip
def test_durations_are_printed_as_one_says_them(seconds: float, words: str) -> None:
    """Tenths below ten seconds, whole seconds, minutes, hours."""
    assert duration(seconds) == words
