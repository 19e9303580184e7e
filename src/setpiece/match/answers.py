"""What `log state` and `minute` answer, in the form that is printed as JSON."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.audit import audit
from setpiece.match.clock import PLAYED, SHOOT_OUT
from setpiece.match.entries import Kind
from setpiece.match.fold import Fold
from setpiece.match.instants import MinuteLabel
from setpiece.match.log_exchange import write_clock
from setpiece.match.people import PersonId, Side, number_in_id
from setpiece.match.remark import Remark
from setpiece.match.state import CardShown, GoalSoFar, Phase, Score, State

Pair = tuple[int, int]
"""A figure of home and away."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """Shirt numbers of both sides, in order; None for a shirt without one."""

    home: tuple[int | None, ...]
    away: tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class GoalAnswer:
    """A goal so far. `score` is the running score it made, None if it was disallowed."""

    minute: str | None
    side: Side
    number: int | None
    name: str
    how: str
    standing: str
    score: Pair | None


@dataclass(frozen=True, slots=True)
class CardAnswer:
    """A card so far."""

    minute: str | None
    side: Side | None
    number: int | None
    name: str
    card: str


@dataclass(frozen=True, slots=True)
class LogAnswer:
    """The match as a log has it, at one moment.

    `half_time` is None before half-time; `periods` holds the goals of each period begun;
    `shoot_out` is None without one. `on_pitch` is None when no team sheet is known.
    """

    phase: Phase
    period: int | None
    minute: str | None
    score: Pair
    half_time: Pair | None
    periods: tuple[Pair, ...]
    shoot_out: Pair | None
    on_pitch: Numbers | None
    goals: tuple[GoalAnswer, ...]
    cards: tuple[CardAnswer, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MinuteAnswer:
    """A match minute and the time of its period that it covers, `until_s` not included."""

    minute: str
    period: int
    from_s: float
    until_s: float
    clock: str


def log_answer(fold: Fold, state: State, remarks: tuple[Remark, ...] | None = None) -> LogAnswer:
    """The answer for a state of that fold; warnings are of the whole log."""
    found = audit(fold) if remarks is None else remarks
    return LogAnswer(
        phase=state.phase,
        period=state.period,
        minute=None if state.label is None else str(state.label),
        score=_pair(state.score),
        half_time=_half_time(fold, state),
        periods=_periods(fold, state),
        shoot_out=None if state.shoot_out is None else _pair(state.shoot_out),
        on_pitch=_numbers(fold, state),
        goals=tuple(_goal(goal, fold) for goal in state.goals),
        cards=tuple(_card(card, fold) for card in state.cards),
        warnings=tuple(remark.says for remark in found),
    )


def _pair(score: Score) -> Pair:
    return score.home, score.away


def _half_time(fold: Fold, state: State) -> Pair | None:
    """The half-time score, once half-time has come."""
    if _without_whistles(fold) and state == fold.last():
        return _pair(fold.score_after(1))
    goes_on = any(p > 1 for p in fold.clock.periods)
    ended = any(e.kind in (Kind.PERIOD_END, Kind.ABANDONED) for e in fold.entries)
    before = state.phase in (Phase.BEFORE, Phase.FIRST_HALF) or state.period == 1
    return None if before or not (goes_on or ended) else _pair(fold.score_after(1))


def _without_whistles(fold: Fold) -> bool:
    """Whether the log is a list of minutes alone, which is read as a whole match."""
    whistles = (Kind.KICK_OFF, Kind.PERIOD_END)
    return bool(fold.entries) and not any(e.kind in whistles for e in fold.entries)


def _periods(fold: Fold, state: State) -> tuple[Pair, ...]:
    """Goals of each period with minutes that had begun, each goal in the period it fell in."""
    goals = {g.entry: g for g in state.goals if g.score is not None}
    counted = {p: Score() for p in fold.clock.periods if p in PLAYED and _has_begun(p, state)}
    if _without_whistles(fold) and state == fold.last():
        counted = {1: Score(), 2: Score(), **counted}
    for entry in fold.entries:
        goal = goals.get(entry.id)
        if goal is not None and (period := fold.period_of(entry)) in counted:
            counted[period] = counted[period].plus(goal.side)
    return tuple(_pair(score) for score in counted.values())


_LAST_BEGUN = {
    Phase.BEFORE: 0,
    Phase.FIRST_HALF: 1,
    Phase.HALF_TIME: 1,
    Phase.SECOND_HALF: 2,
    Phase.FULL_TIME: 2,
    Phase.EXTRA_FIRST: 3,
    Phase.EXTRA_INTERVAL: 3,
    Phase.EXTRA_SECOND: 4,
}


def _has_begun(period: int, state: State) -> bool:
    return period <= _LAST_BEGUN.get(state.phase, state.period or SHOOT_OUT)


def _numbers(fold: Fold, state: State) -> Numbers | None:
    if not any(p.starts for p in fold.sheet.people):
        return None
    home, away = (
        tuple(
            sorted(
                (worn.number for worn in state.side(side).on_pitch),
                key=lambda n: (n is None, n or 0),
            )
        )
        for side in Side
    )
    return Numbers(home, away)


def _goal(goal: GoalSoFar, fold: Fold) -> GoalAnswer:
    number, name = _person(goal.scorer, fold)
    return GoalAnswer(
        None if goal.label is None else str(goal.label),
        goal.side,
        number,
        name,
        goal.how.value,
        goal.standing.value,
        None if goal.score is None else _pair(goal.score),
    )


def _card(card: CardShown, fold: Fold) -> CardAnswer:
    number, name = _person(card.person, fold)
    minute = None if card.label is None else str(card.label)
    return CardAnswer(minute, card.side, number, name, card.card.value)


def _person(person_id: PersonId | None, fold: Fold) -> tuple[int | None, str]:
    """A person's number on the sheet and name."""
    if person_id is None:
        return None, ""
    person = fold.sheet.person(person_id)
    if person is not None:
        return person.number, person.name
    numbered = number_in_id(person_id)
    return (numbered[1], "") if numbered else (None, "")


def minute_answer(label: MinuteLabel, span: tuple[int, float, float]) -> MinuteAnswer:
    """The answer for a minute and the span it covers."""
    period, from_s, until_s = span
    return MinuteAnswer(
        minute=str(label),
        period=period,
        from_s=from_s,
        until_s=until_s,
        clock=f"{write_clock(from_s)} to {write_clock(until_s - 1)}",
    )
