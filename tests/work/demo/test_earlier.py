"""The demo's earlier matches."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from setpiece.match.entries import EntryId, Kind
from setpiece.match.fold import Fold
from setpiece.match.people import Side
from setpiece.match.state import Phase
from setpiece.work.demo.earlier import EARLIER, Earlier, fixture_of, log_of, sheet_of
from setpiece.work.demo.scenario import KICK_OFF_PLANNED

SCORES = {"Hallmoos": "2–1", "Oberwang": "2–1", "Steinach": "2–0"}


@pytest.mark.parametrize("match", EARLIER, ids=lambda m: m.short_name)
def test_a_match_is_played_to_its_score(match: Earlier) -> None:
    """Its log has a whistle at each end of both halves, and its goals make the score."""
    entries = log_of(match)
    assert [e.kind for e in entries if e.kind in (Kind.KICK_OFF, Kind.PERIOD_END)] == [
        Kind.KICK_OFF, Kind.PERIOD_END, Kind.KICK_OFF, Kind.PERIOD_END,
    ]  # fmt: skip
    numbered = [replace(e, id=EntryId(n)) for n, e in enumerate(entries, 1)]
    last = Fold(fixture_of(match), sheet_of(match), numbered).last()
    assert str(last.score) == SCORES[match.short_name]
    assert last.phase in (Phase.FULL_TIME, Phase.OVER)


@pytest.mark.parametrize("match", EARLIER, ids=lambda m: m.short_name)
def test_both_sides_have_eleven_and_a_coach(match: Earlier) -> None:
    """Eleven start on either side, one captain each; names stand once on a sheet."""
    sheet = sheet_of(match)
    for side in Side:
        assert sum(p.starts for p in sheet.players(side)) == 11
        assert sum(p.captain for p in sheet.players(side)) == 1
    names = [p.name for p in sheet.people]
    assert len(names) == len(set(names))


def test_the_matches_lie_before_the_main_one_and_their_files_do_not_collide() -> None:
    """Each begins after the one before it; file numbers of all are apart."""
    starts = [m.starts[1] for m in EARLIER]
    assert all(a < b for a, b in pairwise(starts))
    assert starts[-1] < KICK_OFF_PLANNED
    numbers = [m.first_number for m in EARLIER]
    assert all(b - a > 2 * len(m.pictures) for (a, b), m in zip(pairwise(numbers), EARLIER,
                                                                strict=False))  # fmt: skip
