"""The check of what only a desk knows."""

from __future__ import annotations

from datetime import timedelta

from checking import JOY, codes
from cup_tie import CupTie, extra, second

from setpiece.captions.check import check
from setpiece.captions.check_sending import Delivered
from setpiece.captions.findings import Finding, Level
from setpiece.match.instants import Instant, instant


def sending(tie: CupTie, style: str = "club", at: Instant = JOY, **facts) -> tuple[Finding, ...]:
    """What the check finds with what a desk knows."""
    caption, situation = tie.compose("9r shoots", at, style), tie.situation(at)
    now = facts.pop("now", at)
    return check(
        caption, situation, tie.style(style), tie.acts, now=now, delivered=Delivered(**facts)
    )


def test_kill_embargo_and_exclusivity_cannot_be_overruled(tie: CupTie) -> None:
    """Every other error can, with a reason."""
    later = instant(JOY + timedelta(hours=1))
    for facts in (
        {"killed": True}, {"embargo_until": later}, {"exclusive_to": "North", "desk": "Club"},
    ):  # fmt: skip
        (found,) = sending(tie, **facts)
        assert (found.level, found.can_overrule) == (Level.ERROR, False)
    assert sending(tie, embargo_until=JOY) == ()
    assert sending(tie, exclusive_to="Club", desk="Club") == ()
    wrong = tie.check(tie.compose("8w tackles 9r", second(75)), second(75))
    assert all(f.can_overrule for f in wrong)


def test_an_embargo_holds_where_no_time_is_known(tie: CupTie) -> None:
    """Without a clock nothing under embargo goes out."""
    assert codes(sending(tie, now=None, embargo_until=JOY)) == {"embargo"}


def test_the_competitions_quota_is_counted(tie: CupTie, long_tie: CupTie) -> None:
    """120 in a match, 40 more in extra time, at least 20 s between two."""
    assert sending(tie, in_match=119) == ()
    assert codes(sending(tie, in_match=120)) == {"quota"}
    at = extra(100, 30)
    assert sending(long_tie, at=at, in_match=120, in_extra_time=39) == ()
    assert codes(sending(long_tie, at=at, in_extra_time=40)) == {"quota"}
    just = instant(JOY - timedelta(seconds=19))
    assert codes(sending(tie, last_at=just)) == {"spacing"}
    assert sending(tie, last_at=instant(JOY - timedelta(seconds=20))) == ()
