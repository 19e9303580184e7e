"""Shot lists to begin with: league, cup, final, youth.

Common practice, no source. A photographer adds and strikes lines; these are only the start.
Subjects are the keys and shot words of the caption acts, and groups of people.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from setpiece.errors import WrongUse
from setpiece.match.entries import Kind
from setpiece.match.people import Role
from setpiece.plan.shotlist import Shot

BEFORE, MATCH, AFTER = "before", "match", "after"
COACHES = frozenset({Role.HEAD_COACH, Role.MANAGER})
TYPED_SUBJECTS = frozenset({"sponsor boards", "scoreboard"})
"""Subjects that no act implies: the photographer types them as keywords."""


def _shot(key: str, title: str, when: str, subjects: tuple[str, ...] = (), **more: Any) -> Shot:
    return Shot(key, title, when, frozenset(subjects), **more)


_GOAL = frozenset({Kind.GOAL})
_CARD = frozenset({Kind.YELLOW, Kind.SECOND_YELLOW, Kind.RED})
_KICK = frozenset({Kind.SHOOT_OUT_KICK})

_LEAGUE = (
    _shot("general-view", "General view of the ground", BEFORE, ("general view",)),
    _shot("arrivals", "Players arrive", BEFORE, ("arrivals",), each_side=True),
    _shot("warm-up", "Warm-up", BEFORE, ("warm-up",), each_side=True),
    _shot("coaches", "Coaches, close", BEFORE, roles=COACHES, each_side=True),
    _shot("line-up", "The eleven before kick-off", BEFORE, ("line-ups",), each_side=True),
    _shot("captains", "Captains and referee at the toss", BEFORE,
          ("tosses-coin", "exchanges-pennants", "captains"), people=2),
    _shot("supporters", "Supporters", MATCH, ("supporters",), each_side=True),
    _shot("duels", "Duels: faces and ball", MATCH,
          ("tackles", "challenges", "jumps", "heads", "shields-ball"), each_side=True, count=3),
    _shot("chances", "Shots at goal", MATCH,
          ("shoots", "heads", "volleys", "hits-post", "misses-chance"), each_side=True),
    _shot("goalkeepers", "Goalkeepers at work", MATCH,
          ("saves", "saves-penalty", "punches", "catches", "throws-out"), each_side=True),
    _shot("upright", "An upright for a column", MATCH,
          ("play", "celebrations"), upright=True, each_side=True),
    _shot("goal", "Every goal: the strike, or the ball in the net", MATCH, ("goals",),
          after=_GOAL, each=True),
    _shot("celebration", "Celebration, faces to the camera", MATCH, ("celebrations",), people=1,
          after=_GOAL),
    _shot("dejection", "The other side of a goal", MATCH,
          ("is-beaten", "sits-on-pitch", "looks-on", "reactions"), after=_GOAL),
    _shot("cards", "A card: player and referee", MATCH,
          ("shows-yellow", "shows-second-yellow", "shows-red"), people=1, after=_CARD),
    _shot("coach-at-work", "Coaches in the match", MATCH,
          ("instructs", "shouts", "gestures", "reactions", "dugout"), roles=COACHES,
          each_side=True),
    _shot("boards", "Play before the sponsors' boards", MATCH, ("sponsor boards",)),
    _shot("full-time", "Full time: joy and grief", AFTER, ("full time", "celebrations")),
    _shot("handshake", "Handshake at full time", AFTER, ("handshakes", "shakes-hands"), people=2),
    _shot("thanks", "Players thank their supporters", AFTER, ("thanks-supporters",)),
)  # fmt: skip
_CUP = (
    *_LEAGUE,
    _shot("scoreboard", "The scoreboard with the score", MATCH, ("scoreboard",)),
    _shot("shoot-out", "Shoot-out, if it comes: every kick, both rows", AFTER, ("shoot-out",),
          after=_KICK, each=True),
)  # fmt: skip
_FINAL = (
    *_CUP,
    _shot("ceremony", "Ceremony before kick-off", BEFORE, ("tributes", "sings-anthem")),
    _shot("medals", "Medals", AFTER, ("receives-medal",), each_side=True),
    _shot("trophy-lifted", "The trophy is lifted, all in the frame", AFTER,
          ("lifts-trophy",), people=3),
    _shot("trophy-upright", "Captain with the trophy, upright", AFTER,
          ("lifts-trophy", "holds-trophy"), upright=True),
    _shot("lap", "Lap of honour", AFTER, ("lap-of-honour",)),
    _shot("presentation", "Presentation, sponsors' wall in full", AFTER, ("presentation",)),
)  # fmt: skip
_OF_YOUTH = (
    "general-view", "warm-up", "line-up", "captains", "duels", "goalkeepers", "goal",
    "celebration", "coach-at-work", "handshake",
)  # fmt: skip
TEMPLATES: Mapping[str, tuple[Shot, ...]] = {
    "league": _LEAGUE,
    "cup": _CUP,
    "final": _FINAL,
    # no child's grief and nobody close is asked for
    "youth": tuple(shot for shot in _LEAGUE if shot.key in _OF_YOUTH),
}


def template(name: str) -> tuple[Shot, ...]:
    """The shots of a template. Raises WrongUse with the names there are."""
    if name not in TEMPLATES:
        raise WrongUse(
            "no such template", thing=name, next_step=f"Templates: {', '.join(TEMPLATES)}."
        )
    return TEMPLATES[name]
