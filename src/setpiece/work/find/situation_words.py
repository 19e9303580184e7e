"""The situation of a picture in the words it is looked for by: equaliser, losing, shoot-out.

What a goal was follows from the score it made; whether it won the match is known after the end
only, and by the final score. Words of one meaning stand together, so that each of them finds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from setpiece.match.entries import EntryId, How, Kind, Standing
from setpiece.match.fold import Fold
from setpiece.match.people import Side
from setpiece.match.state import GoalSoFar, Phase, Score, State

SCORE_WORDS: Mapping[int, str] = MappingProxyType(
    {-1: "losing behind trailing", 0: "level drawing", 1: "leading ahead winning"}
)
"""How a side stands, by the sign of its lead."""

OPENER = "opener opening goal"
EQUALISER = "equaliser equalizer leveller"
LEAD = "lead goal go ahead"
EXTENDS = "extends lead"
REDUCES = "pulls one back reduces deficit"
WINNER = "winner winning goal decider"

_HOW = {
    How.OWN_GOAL: "own goal",
    How.PENALTY: "penalty goal",
    How.FREE_KICK: "free kick goal",
    How.HEADER: "header headed goal",
}
_ENDED = (Phase.FULL_TIME, Phase.OVER)


def words_of_state(state: State, sides: Iterable[Side]) -> str:
    """The phase, the score as one word, how the sides shown stand, added time."""
    score = state.score
    words = [state.phase.value, f"{score.home}to{score.away}"]
    for side in sides:
        lead = score.of(side) - score.of(side.other)
        words.append(SCORE_WORDS[(lead > 0) - (lead < 0)])
    if state.label is not None and state.label.added:
        words.append("added time stoppage time injury time")
    return " ".join(words)


def words_of_entries(entries: Iterable[EntryId], fold: Fold) -> str:
    """What the logged entries of a caption were: kind, way, and for a goal its part."""
    last = fold.last()
    goals = {g.entry: g for g in last.goals}
    words = []
    for entry_id in entries:
        entry = fold.entry(entry_id)
        if entry is None:
            continue
        words += [entry.kind.value, entry.how.value]
        if entry.kind is Kind.GOAL and entry_id in goals:
            words.append(words_of_goal(goals[entry_id], last))
    return " ".join(w for w in words if w)


def words_of_goal(goal: GoalSoFar, last: State) -> str:
    """What a goal was for its side; `last` is the match at its end as far as it is logged."""
    if goal.standing is Standing.DISALLOWED or goal.score is None:
        return "disallowed goal"
    own, other = goal.score.of(goal.side), goal.score.of(goal.side.other)
    words = [_HOW.get(goal.how, "goal")]
    if own + other == 1:
        words.append(OPENER)
    if own == other:
        words.append(EQUALISER)
    elif own == other + 1:
        words.append(LEAD)
    elif own > other:
        words.append(EXTENDS)
    else:
        words.append(REDUCES)
    if last.phase in _ENDED and _won_it(goal.side, own, last.score):
        words.append(WINNER)
    return " ".join(words)


def _won_it(side: Side, own: int, final: Score) -> bool:
    """Whether it is the goal that the side could not have done without."""
    return final.of(side) > final.of(side.other) and own == final.of(side.other) + 1
