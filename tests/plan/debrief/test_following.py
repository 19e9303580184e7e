"""What followed each entry of the log."""

from __future__ import annotations

from made_up import entry, frame

from setpiece.match.entries import Kind
from setpiece.plan.debrief.following import REACH_S, follow


def test_the_first_frame_after_an_entry_has_its_delay() -> None:
    """A frame four seconds after a card follows it by four seconds; an earlier one does not."""
    card = entry(1, Kind.YELLOW, 600.0)
    (found,) = follow([card], [frame(1, 590.0), frame(2, 604.0), frame(3, 606.0)])
    assert (found.frame, found.least_s, found.most_s, found.frames) == ("A-0002", 4.0, 4.0, 2)
    assert not found.missed


def test_an_entry_known_loosely_has_a_range() -> None:
    """An entry somewhere in 20 s before its typing has a delay between two figures."""
    loose = entry(1, Kind.SUBSTITUTION, 600.0, width_s=20.0)
    (found,) = follow([loose], [frame(1, 585.0)])
    assert (found.least_s, found.most_s) == (0.0, 5.0)


def test_an_entry_that_no_frame_shows_in_its_reach_is_missed() -> None:
    """One second beyond the reach of its kind is too late; a damaged frame shows nothing."""
    card = entry(1, Kind.YELLOW, 600.0)
    late = frame(1, 601.0 + REACH_S[Kind.YELLOW])
    assert follow([card], [late])[0].missed
    assert follow([card], [frame(2, 605.0, damaged=True)])[0].missed
    assert not follow([card], [frame(3, 600.0 + REACH_S[Kind.YELLOW])])[0].missed


def test_a_pinned_entry_is_followed_by_the_frame_that_pins_it() -> None:
    """A frame a tenth of a second before the middle of its entry still shows it."""
    (found,) = follow([entry(1, Kind.GOAL, 600.0)], [frame(1, 599.9)])
    assert found.most_s == 0.0
    assert found.frames == 1


def test_kinds_that_want_no_picture_and_later_kick_offs_are_left_out() -> None:
    """Notes, added time and the second kick-off stand in no table of what was got."""
    entries = [
        entry(1, Kind.NOTE, 10.0),
        entry(2, Kind.ADDED_TIME, 20.0),
        entry(3, Kind.KICK_OFF, 4000.0),
        entry(4, Kind.KICK_OFF, 0.0, period=1),
    ]
    assert [f.entry.number for f in follow(entries, [])] == [4]
