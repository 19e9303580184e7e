"""Entries of the log in a few words."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.instants import instant
from setpiece.match.people import Side
from setpiece.match.state import Score
from setpiece.plan.debrief.words import entry_words
from setpiece.work.demo.squads import person_id, sheet

GOAL = Entry(EntryId(1), Kind.GOAL, instant(datetime(2027, 3, 6, tzinfo=UTC)),
             side=Side.HOME, person=person_id(Side.HOME, 9))  # fmt: skip


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"how": How.FREE_KICK}, "Goal, Ørbeck from a free kick, 2–1"),
        ({"how": How.OWN_GOAL}, "Goal, Ørbeck, own goal, 2–1"),
        ({"person": person_id(Side.HOME, 11)}, "Goal, Hanna Kolbrand, 2–1"),
        ({"person": None}, "Goal, 2–1"),
        ({"standing": Standing.DISALLOWED}, "Goal disallowed, Ørbeck"),
        ({"kind": Kind.SUBSTITUTION, "other": person_id(Side.HOME, 19)},
         "Substitution, Kolmsen for Ørbeck"),
        ({"kind": Kind.SUBSTITUTION}, "Substitution, somebody for Ørbeck"),
        ({"kind": Kind.PENALTY_SAVED, "other": person_id(Side.AWAY, 1)},
         "Penalty saved, Ørbeck and Håkvik"),
        ({"kind": Kind.KICK_OFF, "period": 2}, "Second half"),
        ({"kind": Kind.PERIOD_END, "period": 2}, "Final whistle"),
        ({"kind": Kind.YELLOW}, "Yellow card, Ørbeck"),
        ({"kind": Kind.TRIBUTE, "person": None}, "Tribute"),
    ],
)  # fmt: skip
def test_an_entry_is_told_by_family_names(changed: dict[str, object], words: str) -> None:
    """Kind, who, how and score in a few words; who shares a family name has her whole one."""
    score = Score(2, 1) if "standing" not in changed else None
    assert entry_words(replace(GOAL, **changed), sheet(), score) == words  # type: ignore[arg-type]
