"""The order of an outbox: urgency, then what is worth most for the link's time."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.store.delivery import Urgency
from setpiece.work.desk.worth import HALF_LIFE_S, Offer, in_order, worth

OFFERS = st.lists(
    st.tuples(
        st.sampled_from([1.0, 3.0]),
        st.floats(-60, 3600),
        st.floats(0.5, 120),
    ),
    min_size=2,
    max_size=6,
)


def delivered_worth(order: tuple[Offer, ...]) -> float:
    """What all of them are worth on arrival when they go in this order."""
    total, passed = 0.0, 0.0
    for offer in order:
        passed += offer.send_s
        total += offer.weight * 2 ** (-(offer.age_s + passed) / HALF_LIFE_S)
    return total


@settings(max_examples=60, deadline=None)
@given(OFFERS)
def test_no_other_order_delivers_more_worth(made: list[tuple[float, float, float]]) -> None:
    """Of every possible order of an outbox, ours has the greatest sum of worth on arrival."""
    offers = [
        Offer(number, Urgency.ORDINARY, weight, max(age_s, 0.0), send_s)
        for number, (weight, age_s, send_s) in enumerate(made)
    ]
    best = max(delivered_worth(order) for order in permutations(offers))
    assert delivered_worth(in_order(offers)) == pytest.approx(best, rel=1e-9)


def test_what_is_wrong_goes_before_what_is_new() -> None:
    """Kills go first, then corrections, then requests and goals, then the rest."""
    offers = [
        Offer(1, Urgency.ORDINARY, 3.0, 0.0, 1.0),
        Offer(2, Urgency.FIRST, 1.0, 3000.0, 60.0),
        Offer(3, Urgency.CORRECTION, 1.0, 5000.0, 60.0),
        Offer(4, Urgency.KILL, 1.0, 5000.0, 1.0),
    ]
    assert [o.key for o in in_order(offers)] == [4, 3, 2, 1]


def test_corrections_keep_the_order_in_which_they_were_queued() -> None:
    """Of two corrections the one queued first goes first, whatever its size."""
    offers = [
        Offer(7, Urgency.CORRECTION, 1.0, 0.0, 1.0),
        Offer(5, Urgency.CORRECTION, 1.0, 900.0, 90.0),
    ]
    assert [o.key for o in in_order(offers)] == [5, 7]


def test_a_picture_loses_half_of_its_worth_in_a_half_life() -> None:
    """Worth halves with each half-life; before its event a picture counts as fresh."""
    assert worth(3.0, 0.0) == 3.0
    assert worth(3.0, HALF_LIFE_S) == pytest.approx(1.5)
    assert worth(3.0, 2 * HALF_LIFE_S) == pytest.approx(0.75)
    assert worth(3.0, -100.0) == 3.0
