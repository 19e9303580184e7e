"""Shot lists to begin with: league, cup, final, youth, and the making of single wants.

Common practice, no source. A photographer adds and strikes lines; these are only the start.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from setpiece.errors import WrongUse
from setpiece.match.people import PersonId
from setpiece.plan.shotlist import Shot

BEFORE, MATCH, AFTER = "before", "match", "after"


def _shot(key: str, title: str, when: str, subjects: str, **more: int | bool) -> Shot:
    return Shot(key, title, when, frozenset(subjects.split()), **more)  # type: ignore[arg-type]


_LEAGUE = (
    _shot("general view", "General view of the ground", BEFORE, "general-view"),
    _shot("arrivals", "Players arrive", BEFORE, "arrival", each_side=True),
    _shot("warm-up", "Warm-up", BEFORE, "warm-up", each_side=True),
    _shot("coaches", "Both coaches, close", BEFORE, "coach-at-work portrait", each_side=True),
    _shot("line-up", "The eleven before kick-off", BEFORE, "line-up", each_side=True),
    _shot("captains", "Captains and referee at the toss", BEFORE, "captains", people=2),
    _shot("supporters", "Supporters of both sides", MATCH, "supporters", each_side=True),
    _shot("duels", "Duels, faces and ball", MATCH, "duel header", each_side=True, count=3),
    _shot("upright", "An upright of each side for a column", MATCH,
          "duel header shot goalkeeper save celebration", upright=True, each_side=True),
    _shot("chances", "Shots at goal", MATCH, "shot header", each_side=True),
    _shot("goalkeepers", "Both goalkeepers at work", MATCH, "save goalkeeper", each_side=True),
    _shot("goal", "Every goal: the strike or the ball in the net", MATCH, "goal ball-in-net"),
    _shot("celebration", "Celebration, faces to the camera", MATCH, "celebration", people=1),
    _shot("dejection", "The other side of a goal", MATCH, "dejection"),
    _shot("cards", "Cards, player and referee", MATCH, "card", people=1),
    _shot("coach at work", "Coaches in the match", MATCH, "coach-at-work bench", each_side=True),
    _shot("boards", "Play before the sponsors' boards", MATCH, "board-advertising"),
    _shot("full time", "Final whistle: joy and grief", AFTER,
          "final-whistle celebration dejection"),
    _shot("handshake", "Handshake at full time", AFTER, "handshake", people=2),
    _shot("thanks", "Players thank their supporters", AFTER, "supporters lap-of-honour"),
)  # fmt: skip
_CUP = (
    *_LEAGUE,
    _shot("away end", "Travelling supporters", MATCH, "away-supporters"),
    _shot("scoreboard", "The scoreboard with the score", MATCH, "scoreboard"),
    _shot("shoot-out", "Shoot-out, if it comes: every kick, both rows", AFTER, "penalty"),
)
_FINAL = (
    *_CUP,
    _shot("trophy before", "The trophy before the match", BEFORE, "trophy"),
    _shot("ceremony", "Ceremony before kick-off", BEFORE, "flag-ceremony moment-of-silence"),
    _shot("medals", "Medals", AFTER, "medals", each_side=True),
    _shot("trophy lifted", "The trophy is lifted, all in the frame", AFTER, "trophy", people=3),
    _shot("trophy upright", "Captain with the trophy, upright", AFTER, "trophy", upright=True),
    _shot("lap", "Lap of honour", AFTER, "lap-of-honour"),
    _shot("presentation", "Presentation, sponsors' wall in full", AFTER, "presentation"),
)
_YOUTH = tuple(
    shot
    for shot in _LEAGUE
    if shot.key in {
        "general view", "warm-up", "line-up", "captains", "duels", "goalkeepers", "goal",
        "celebration", "coach at work", "handshake",
    }
)  # fmt: skip
TEMPLATES: Mapping[str, tuple[Shot, ...]] = {
    "league": _LEAGUE,
    "cup": _CUP,
    "final": _FINAL,
    "youth": _YOUTH,  # no single child is wanted close: dejection and portraits are left out
}


def template(name: str) -> tuple[Shot, ...]:
    """The shots of a template. Raises WrongUse with the names there are."""
    if name not in TEMPLATES:
        raise WrongUse(
            "no such template", thing=name, next_step=f"Templates: {', '.join(TEMPLATES)}."
        )
    return TEMPLATES[name]


def person_wanted(person: PersonId, title: str, *, who: str = "", count: int = 1) -> Shot:
    """A want for one person: the programme's cover player, a debut, a return."""
    return Shot(f"person {person}", title, MATCH, person=person, count=count, who=who)


def story_wanted(
    key: str, title: str, subjects: str, *, when: str = MATCH, who: str = "", upright: bool = False
) -> Shot:
    """A want for a story: sponsors' boards, a presentation, supporters."""
    return replace(_shot(key, title, when, subjects, upright=upright), who=who)
