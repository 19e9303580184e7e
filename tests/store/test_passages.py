"""What was said of passages by hand, kept."""

from __future__ import annotations

import pytest

from setpiece.errors import NotFound
from setpiece.frames.passages import Joined, Pinned, Split
from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.passages import add_pin, pins_of, take_back_pin
from setpiece.store.workspace import Workspace


def test_what_was_said_is_kept_in_order_and_taken_back(
    space: Workspace, match: Match, now: Instant
) -> None:
    """Splits, joins and pins come back as they were said; the newest is taken back first."""
    said = (Split("f1"), Joined(("f1", "f2")), Pinned("p1", ("f1", "f3")))
    for pin in said:
        add_pin(space, match, pin, now)
    assert pins_of(space, match) == said
    assert take_back_pin(space, match) == said[2]
    assert pins_of(space, match) == said[:2]


def test_there_may_be_nothing_to_take_back(space: Workspace, match: Match) -> None:
    """Without anything said by hand that is said."""
    with pytest.raises(NotFound, match="by hand"):
        take_back_pin(space, match)
