"""Every remark on a log as it is printed: what it is about, its sentence, entries and people."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from setpiece.match.audit import audit
from setpiece.match.entries import Kind, Standing
from setpiece.match.people import PersonId, Side

if TYPE_CHECKING:
    from conftest import Match

S = Kind.SUBSTITUTION
Told = tuple[str, str, list[int], list[str]]
CASES: list[tuple[list[tuple[Kind, int, dict[str, Any]]], list[Told]]] = [
    (
        [(S, 5000, {"person": "home 9", "other": "home 10"})],
        [
            (
                "not on the bench",
                "10 Jana Holm (Northgate) comes on but is on the pitch.",
                [5],
                ["home-10"],
            )
        ],
    ),
    (
        [(S, 5000, {"person": "home 9", "other": "away 14"})],
        [
            (
                "not on the bench",
                "14 Nina Okoro (Elmbridge) comes on but is not on that side's sheet.",
                [5],
                ["away-14"],
            )
        ],
    ),
    (
        [(S, 5000, {"person": "home 9", "other": PersonId("home-coach")})],
        [
            (
                "not on the bench",
                "Tess Lind (Northgate) comes on but is head coach.",
                [5],
                ["home-coach"],
            )
        ],
    ),
    (
        [(S, 5000, {"person": "home 15", "other": "home 14"})],
        [
            (
                "not on the pitch",
                "15 Olga Holm (Northgate) leaves but is on the bench.",
                [5],
                ["home-15"],
            ),
            ("too many on the pitch", "Northgate has 12 on the pitch.", [5], ["home-15"]),
        ],
    ),
    (
        [(S, 5000, {"person": "home 9"})],
        [
            (
                "half a substitution",
                "A substitution needs who leaves and who comes on.",
                [5],
                ["home-9"],
            )
        ],
    ),
    (
        [(S, 5000, {"person": "home 9", "other": "home 77"})],
        [
            (
                "not on the sheet",
                "Number 77 (Northgate) is not on the team sheet.",
                [5],
                ["home-77"],
            ),
            (
                "not on the bench",
                "Number 77 (Northgate) comes on but is not on that side's sheet.",
                [5],
                ["home-77"],
            ),
        ],
    ),
    (
        [(S, 5000, {"other": "home 14"})],
        [
            ("half a substitution", "A substitution needs who leaves and who comes on.", [5], []),
            ("too many on the pitch", "Northgate has 12 on the pitch.", [5], []),
        ],
    ),
    (
        [(Kind.LATE_CHANGE, 5000, {"person": "home 9", "other": "home 14"})],
        [("late change after kick-off", "A late change belongs before kick-off.", [5], ["home-9"])],
    ),
    (
        [(Kind.IN_GOAL, 5000, {"person": "home 14"})],
        [
            (
                "not on the pitch",
                "14 Nina Holm (Northgate) goes in goal but is not on the pitch.",
                [5],
                ["home-14"],
            )
        ],
    ),
    (
        [(Kind.CAPTAIN, 5000, {"person": "home 14"})],
        [
            (
                "not on the pitch",
                "14 Nina Holm (Northgate) takes the armband but is not on the pitch.",
                [5],
                ["home-14"],
            )
        ],
    ),
    (
        [(Kind.RETURN, 5000, {"person": "home 14"})],
        [
            (
                "cannot return",
                "14 Nina Holm (Northgate) returns but was not off for a time.",
                [5],
                ["home-14"],
            )
        ],
    ),
    (
        [(Kind.KIT, 5000, {"side": Side.HOME, "note": "z"})],
        [("no such kit", "Northgate has no kit z.", [5], [])],
    ),
    (
        [(Kind.SHIRT, 5000, {"person": "home 9", "number": 8})],
        [("number worn twice", "Two players now wear 8.", [5], ["home-8", "home-9"])],
    ),
    (
        [(Kind.SECOND_YELLOW, 5000, {"person": "home 9"})],
        [
            (
                "second yellow without a first",
                "9 Ines Holm (Northgate) has a second yellow but no first.",
                [5],
                ["home-9"],
            )
        ],
    ),
    (
        [(Kind.GOAL, 5000, {"person": "home 14"})],
        [
            (
                "not on the pitch",
                "14 Nina Holm (Northgate) scored but is on the bench.",
                [5],
                ["home-14"],
            )
        ],
    ),
    (
        [(Kind.GOAL, 5000, {"person": "home 9", "other": "home 14"})],
        [
            (
                "not on the pitch",
                "14 Nina Holm (Northgate) made the goal but is on the bench.",
                [5],
                ["home-9"],
            )
        ],
    ),
    (
        [(Kind.GOAL, 5000, {"person": "home 9", "side": Side.AWAY})],
        [
            (
                "goal for the wrong side",
                "9 Ines Holm (Northgate) plays for the other side; is it an own goal?",
                [5],
                ["home-9"],
            )
        ],
    ),
    (
        [(Kind.GOAL, 5000, {"person": "home 9", "side": Side.HOME, "how": "own goal"})],
        [
            (
                "goal for the wrong side",
                "An own goal counts for the other side, but 9 Ines Holm (Northgate) plays for it.",
                [5],
                ["home-9"],
            )
        ],
    ),
    (
        [(Kind.GOAL, 5000, {})],
        [("goal without a side", "A goal without a side is not counted.", [5], [])],
    ),
    (
        [(Kind.RED, 5000, {"person": "home 1"})],
        [
            (
                "nobody in goal",
                "Northgate has nobody in goal from here on; log who goes in goal.",
                [5],
                ["home-1"],
            )
        ],
    ),
    (
        [(Kind.YELLOW, 4000, {"person": "home 9"}), (Kind.YELLOW, 5000, {"person": "home 9"})],
        [
            (
                "second yellow without red",
                "9 Ines Holm (Northgate) has 2 yellows and was not sent off; "
                "log the last as a second yellow, or correct who it was.",
                [5, 6],
                ["home-9"],
            )
        ],
    ),
    (
        [(Kind.RED, 4000, {"person": "home 9"}), (Kind.RED, 5000, {"person": "home 9"})],
        [("sent off twice", "9 Ines Holm (Northgate) was sent off already.", [6], ["home-9"])],
    ),
    (
        [
            (
                S,
                4000 + 60 * i,
                {"person": f"home {i + 2}", "other": f"home {(i + 12 if i else 18)}"},
            )
            for i in range(6)
        ],
        [
            (
                "too many substitutions",
                "Northgate has made 6 substitutions; the competition allows 5.",
                [10],
                ["home-7"],
            )
        ],
    ),
    (
        [(Kind.RED, 4000 + 60 * i, {"person": f"home {i + 2}"}) for i in range(5)],
        [
            (
                "too few on the pitch",
                "Northgate has 6 on the pitch; with fewer than 7 a match does not go on.",
                [9],
                ["home-6"],
            )
        ],
    ),
    (
        [(Kind.GOAL, 3000, {"person": "home 9"})],
        [("outside any period", "A goal outside any period: half-time.", [5], [])],
    ),
    (
        [(Kind.SUSPENDED, 4000, {}), (Kind.GOAL, 4100, {"person": "home 9"})],
        [("while play stood still", "A goal while play was suspended (e5).", [6, 5], [])],
    ),
    (
        [
            (Kind.GOAL, 4000, {"person": "home 9", "standing": Standing.UNDER_REVIEW}),
            (Kind.GOAL, 5000, {"person": "home 8"}),
        ],
        [("still under review", "The goal is still under review in the log.", [5], ["home-9"])],
    ),
    (
        [
            (Kind.GOAL, 4000, {"person": "home 9"}),
            (Kind.GOAL, 4120, {"person": "home 9", "standing": Standing.DISALLOWED}),
        ],
        [
            (
                "goal and disallowed goal",
                "If the goal disallowed in minute 52 is that of minute 50, "
                "withdraw the earlier entry: it still counts.",
                [5, 6],
                [],
            )
        ],
    ),
    (
        [(Kind.GOAL, 7000, {"person": "home 9"})],
        [("outside any period", "A goal outside any period: full time.", [5], [])],
    ),
    (
        [(Kind.NOTE, 5000, {"printed": "20"})],
        [("minute against the clock", "Minute 20 is printed, the clock says 67.", [5], [])],
    ),
    (
        [(Kind.KICK_OFF, 5000, {"period": 2})],
        [("whistle twice", "The kick-off of period 2 is logged twice.", [3, 5], [])],
    ),
]


@pytest.mark.parametrize(("logged", "told"), CASES)
def test_a_remark_is_printed_whole(
    tie: Match, logged: list[tuple[Kind, int, dict[str, Any]]], told: list[Told]
) -> None:
    """In a match with all its whistles, what is logged draws these remarks and no others."""
    tie.whistles()
    for kind, at_s, more in logged:
        tie.log(kind, at_s, exact=True, **more)
    found = audit(tie.fold())
    assert [(r.about, r.says, list(r.entries), list(r.people)) for r in found] == told
