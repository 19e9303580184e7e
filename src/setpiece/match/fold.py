"""The fold: the match at any instant, from the team sheet and the log.

An entry counts from just after it happened, so the fold at the instant of a goal still gives
the score before it. Where an entry happened is often an interval; `state_at` lets it take effect
at the interval's end and names it in `State.unsure`, `states_within` lists every possibility.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import floor

from setpiece.match.board import CHANGING, Board
from setpiece.match.clock import minute_label
from setpiece.match.entries import Entry, EntryId, Kind, current
from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant, Interval, MinuteLabel
from setpiece.match.match_clock import LAST_PLACE, PHASES, STRETCH_S, MatchClock, split
from setpiece.match.people import Side, TeamSheet
from setpiece.match.placing import Placed, place, place_entries
from setpiece.match.possible import Possibilities, possible_states
from setpiece.match.state import Phase, Score, State
from setpiece.match.whistles import seconds


class Fold:
    """Everything the log says of a match, asked by instant or by minute.

    With `as_known_at` the answers are those of the log as it was typed up to then.
    """

    def __init__(
        self,
        fixture: Fixture,
        sheet: TeamSheet,
        log: Iterable[Entry],
        *,
        as_known_at: Instant | None = None,
    ) -> None:
        self.fixture = fixture
        self.sheet = sheet
        self.log = tuple(log)
        self.entries = current(self.log, as_known_at=as_known_at)
        self.clock = MatchClock(fixture, self.entries)
        self.placed: tuple[Placed, ...] = place_entries(self.entries, self.clock)
        self._by_id = {p.entry.id: p for p in self.placed}
        self._places = [p.latest for p in self.placed]
        self._labels = [p.label(self.clock) for p in self.placed]
        self._facts = self._run()
        self._made = {g.entry: g.score for g in self._facts[-1].state.goals}
        self._pins = {e.frame: e.id for e in self.entries if e.frame}
        # Minutes alone and a kick-off that is only estimated: what is when is known loosely.
        self._minutes_float = any(p.true is None for p in self.placed) and not all(
            self.clock.exact(period) for period in self.clock.periods
        )
        self._waits = sorted(
            (p.earliest, p.latest, p.entry.id) for p in self.placed if p.earliest < p.latest
        )
        self._possible = Possibilities(self.placed, self.clock)
        self._chosen: dict[frozenset[int], _Facts] = {}

    # ----- the match at a moment -----

    def state_at(self, when: Instant | MinuteLabel) -> State:
        """The match at that instant, or at the end of that minute.

        A minute of a period that has not begun gives what is known now, without a minute.
        """
        if isinstance(when, MinuteLabel):
            return self._state_at_place(self.clock.label_places(when, None)[2], when)
        state = self._state_at_place(self.clock.place_at(seconds(when)))
        if self._minutes_float:
            return replace(state, unsure=self.undecided(Interval.exactly(when)))
        return state

    def state_on_clock(self, period: int, elapsed_s: float) -> State:
        """The match when that period's clock shows that time."""
        return self._state_at_place(self.clock.place_of(period, elapsed_s))

    def last(self) -> State:
        """The match after everything that is logged."""
        return self._state_at_place(LAST_PLACE)

    def score_after(self, period: int) -> Score:
        """The score at the end of that period."""
        return self._facts[bisect_left(self._places, 2 * period * STRETCH_S)].state.score

    def states_within(self, interval: Interval) -> tuple[State, ...]:
        """Every different state the match may have been in then, in order of time.

        More than one is a question for the photographer: before or after?
        """
        return possible_states(self._possible.moments(interval), self._state_of)

    def undecided(self, interval: Interval) -> tuple[EntryId, ...]:
        """The entries that may lie on either side of some instant of that interval."""
        found: dict[EntryId, None] = {}
        sure: list[frozenset[int]] = []
        for moment in self._possible.moments(interval):
            sure.append(moment.before)
            found.update((self.placed[i].entry.id, None) for i in moment.undecided)
        for index in frozenset().union(*sure) - frozenset.intersection(*sure):
            if self.placed[index].entry.kind in CHANGING:
                found[self.placed[index].entry.id] = None
        return tuple(sorted(found))

    # ----- minutes and instants -----

    def label_at(self, when: Instant) -> MinuteLabel | None:
        """The minute as printed at that instant; None when no period is being played."""
        return self.clock.label_at(*split(self.clock.place_at(seconds(when))))

    def true_time(self, label: MinuteLabel) -> Interval | None:
        """When that minute was, None if the match has not had it."""
        return self.clock.true_time(label)

    # ----- entries -----

    def when(self, entry: Entry) -> Interval:
        """When the entry happened, as far as it is known.

        An entry that only its typing dates happened in the three minutes before, or since the
        whistle that bounds it.
        """
        placed = self._placed(entry)
        found = placed.true or self.clock.true_range(placed.earliest, placed.latest)
        return found or Interval.exactly(entry.typed)

    def minute_of(self, entry: Entry) -> MinuteLabel | None:
        """The minute the entry is printed with: its own printed one, else the clock's.

        A substitution between two periods has the first minute of the next, as results print it;
        anything else between periods has none.
        """
        return self._placed(entry).label(self.clock)

    def period_of(self, entry: Entry) -> int | None:
        """The period an entry lies in, None between two or when it is not known."""
        placed = self._placed(entry)
        if not placed.dated:
            return entry.period
        stretch, _ = split(placed.latest)
        return (stretch + 1) // 2 if stretch % 2 else None

    def on_clock(self, entry: Entry) -> tuple[int | None, float | None]:
        """The period an entry lies in, and the clock of it in whole seconds if it is known so.

        A clock reading that the entry itself gives is not cut.
        """
        if entry.elapsed_s is not None or entry.kind is Kind.KICK_OFF:
            return entry.period, entry.elapsed_s
        placed = self._placed(entry)
        if placed.entry.kind is Kind.PERIOD_END:
            return entry.period, self._end_on_clock(entry.period or 1) if placed.true else None
        stretch, running_s = split(placed.latest)
        if not placed.dated or stretch % 2 == 0:
            return entry.period, None
        exact = placed.true is not None and placed.true.width_s <= 1.0
        elapsed_s = self.clock.elapsed_at(stretch, running_s) if exact else None
        return (stretch + 1) // 2, None if elapsed_s is None else float(floor(elapsed_s))

    def score_made_by(self, entry_id: EntryId) -> Score | None:
        """The running score that goal made; None when it does not count or is no goal."""
        return self._made.get(entry_id)

    def pins(self, frame_id: str) -> EntryId | None:
        """The entry that frame pins: its caption has the score that the entry made."""
        return self._pins.get(frame_id)

    def entry(self, entry_id: EntryId) -> Entry | None:
        """The entry of that id, if it stands."""
        placed = self._by_id.get(entry_id)
        return placed.entry if placed else None

    def steps(self) -> Iterator[tuple[Placed, State, State]]:
        """Every entry in the order it counts, with the state before and after it."""
        facts = [known.state for known in self._facts]
        yield from zip(self.placed, facts, facts[1:], strict=False)

    # ----- how it is done -----

    def _end_on_clock(self, period: int) -> float | None:
        """What the clock shows at a final whistle that is known to the second."""
        span = self.clock.spans.get(period)
        if span is None or span.end is None or not self.clock.exact(period):
            return None
        if span.end.width_s > 1.0:
            return None
        running_s = (span.end.start - span.start.start).total_seconds()
        elapsed_s = self.clock.elapsed_at(2 * period - 1, running_s)
        return None if elapsed_s is None else float(floor(elapsed_s))

    def _placed(self, entry: Entry) -> Placed:
        return self._by_id.get(entry.id) or place(entry, self.clock)

    def _run(self) -> list[_Facts]:
        """What is known before the first entry and after each."""
        board = Board(self.sheet, self.fixture.rules)
        facts = [_Facts.of(board, None)]
        for placed, label in zip(self.placed, self._labels, strict=True):
            board.apply(placed.entry, label)
            facts.append(_Facts.of(board, label, facts[-1]))
        return facts

    def _state_of(self, happened: frozenset[int], stretch: int, running_s: float) -> State:
        """The state after just these entries, at that place."""
        if happened == frozenset(range(len(happened))):
            return self._dressed(self._facts[len(happened)], stretch, running_s)
        if happened not in self._chosen:
            board = Board(self.sheet, self.fixture.rules)
            facts = _Facts.of(board, None)
            for index in sorted(happened):
                label = self._labels[index]
                board.apply(self.placed[index].entry, label)
                facts = _Facts.of(board, label, facts)
            self._chosen[happened] = facts
        return self._dressed(self._chosen[happened], stretch, running_s)

    def _state_at_place(self, at: float, label: MinuteLabel | None = None) -> State:
        facts = self._facts[bisect_left(self._places, at)]
        stretch, running_s = split(at)
        unsure = []
        for earliest, latest, entry_id in self._waits:
            if earliest >= at:
                break
            if latest >= at:
                unsure.append(entry_id)
        if stretch > self.clock.last_stretch:
            return self._dressed(facts, self.clock.last_stretch, None, None, tuple(unsure))
        return self._dressed(facts, stretch, running_s, label, tuple(unsure))

    def _dressed(
        self,
        facts: _Facts,
        stretch: int,
        running_s: float | None,
        label: MinuteLabel | None = None,
        unsure: tuple[EntryId, ...] = (),
    ) -> State:
        """Those facts with the phase, the period and the minute of a place."""
        known = facts.state
        period = (stretch + 1) // 2 if stretch % 2 else None
        elapsed_s = None if running_s is None else self.clock.elapsed_at(stretch, running_s)
        if facts.stopped is not None:
            label = facts.stopped_label
        elif label is None and elapsed_s is not None and period is not None:
            label = minute_label(period, elapsed_s, self.fixture.rules)
        return State(
            facts.stopped or PHASES[stretch],
            known.score,
            known.home,
            known.away,
            period,
            label,
            elapsed_s,
            known.goals,
            known.cards,
            known.shoot_out,
            known.last_entry,
            known.kicks,
            unsure,
        )


@dataclass(frozen=True, slots=True)
class _Facts:
    """A board frozen; the minute at which play stopped, if it stands still."""

    state: State
    stopped: Phase | None
    stopped_label: MinuteLabel | None

    @classmethod
    def of(cls, board: Board, label: MinuteLabel | None, before: _Facts | None = None) -> _Facts:
        """The board after an entry of that minute."""
        stopped: Phase | None = None
        if board.abandoned or board.suspended:
            stopped = Phase.ABANDONED if board.abandoned else Phase.SUSPENDED
        stood_still = before is not None and before.stopped is not None
        return cls(
            State(
                phase=Phase.BEFORE,
                score=board.score,
                home=board.side(Side.HOME),
                away=board.side(Side.AWAY),
                goals=board.goals,
                cards=board.cards,
                shoot_out=board.shoot_out,
                last_entry=board.last_entry,
                kicks=board.kicks,
            ),
            stopped,
            before.stopped_label if before is not None and stood_still else label,
        )
