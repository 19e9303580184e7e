"""The board: score, people and cards, moved on by one entry at a time.

One table says what each kind of entry changes. Nothing is refused here: what cannot be right is
found by `audit`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from setpiece.match.clock import SHOOT_OUT
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.fixture import Rules
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId, Role, Side, TeamSheet, number_in_id
from setpiece.match.state import (
    Card,
    CardShown,
    GoalSoFar,
    KickSoFar,
    Left,
    Score,
    SideState,
    Worn,
)

CARDS = {Kind.YELLOW: Card.YELLOW, Kind.SECOND_YELLOW: Card.SECOND_YELLOW, Kind.RED: Card.RED}
"""The card each kind shows."""


@dataclass(slots=True)
class _SideBoard:
    """One side, as it changes."""

    on: set[PersonId] = field(default_factory=set)
    bench: set[PersonId] = field(default_factory=set)
    off: set[PersonId] = field(default_factory=set)
    dismissed: list[PersonId] = field(default_factory=list)
    left: list[Left] = field(default_factory=list)
    in_goal: PersonId | None = None
    captain: PersonId | None = None
    kit: str = ""


class Board:
    """The match as it stands after the entries applied so far."""

    def __init__(self, sheet: TeamSheet, rules: Rules) -> None:
        self.rules = rules
        self._people = {p.id: p for p in sheet.people}
        self._rank = {p.id: i for i, p in enumerate(sheet.people)}
        self.worn: dict[PersonId, int | None] = {p.id: p.number for p in sheet.people}
        self.score = Score()
        self.shoot_out: Score | None = None
        self.goals: tuple[GoalSoFar, ...] = ()
        self.cards: tuple[CardShown, ...] = ()
        self.kicks: tuple[KickSoFar, ...] = ()
        self.suspended = False
        self.abandoned = False
        self.last_entry: EntryId | None = None
        self._sides = {side: self._line_up(sheet, side) for side in Side}
        self._frozen: dict[Side, SideState | None] = dict.fromkeys(Side)

    def apply(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Change what this entry changes; `label` is its minute as printed."""
        change = _CHANGES.get(entry.kind)
        if change is not None:
            change(self, entry, label)
        self.last_entry = entry.id

    def side(self, side: Side) -> SideState:
        """One side, frozen. Lists are in the order of the sheet, so equal boards are equal."""
        frozen = self._frozen[side]
        if frozen is None:
            board = self._sides[side]
            frozen = SideState(
                on_pitch=tuple(
                    Worn(p, self.number_of(p)) for p in sorted(board.on, key=self._order)
                ),
                bench=tuple(sorted(board.bench, key=self._order)),
                dismissed=tuple(sorted(board.dismissed, key=self._order)),
                left=tuple(sorted(board.left, key=lambda left: self._order(left.person))),
                in_goal=self._keeper(board),
                captain=board.captain if board.captain in board.on else None,
                kit=board.kit,
                off=tuple(sorted(board.off, key=self._order)),
            )
            self._frozen[side] = frozen
        return frozen

    def number_of(self, person: PersonId) -> int | None:
        """The number worn now; for a number not on the sheet, the one in the identifier."""
        if person in self.worn:
            return self.worn[person]
        numbered = number_in_id(person)
        return numbered[1] if numbered else None

    def side_of(self, entry: Entry) -> Side | None:
        """The side an entry concerns: as it says, else the side of its person."""
        if entry.side is not None:
            return entry.side
        for person_id in (entry.person, entry.other):
            person = self._people.get(person_id) if person_id is not None else None
            if person is not None:
                return person.side
            numbered = number_in_id(person_id) if person_id is not None else None
            if numbered is not None:
                return numbered[0]
        return None

    def goal_side(self, entry: Entry) -> Side | None:
        """The side a goal counts for; an own goal's person belongs to the other."""
        if entry.side is not None:
            return entry.side
        side = self.side_of(entry)
        return side.other if side is not None and entry.how is How.OWN_GOAL else side

    def is_keeper(self, person: PersonId | None) -> bool:
        """Whether the sheet has that person as a goalkeeper."""
        found = self._people.get(person) if person is not None else None
        return found is not None and found.role is Role.GOALKEEPER

    # ----- what each kind changes -----

    def goal(self, entry: Entry, label: MinuteLabel | None) -> None:
        """A goal, or in the shoot-out a kick that was scored."""
        if entry.period == SHOOT_OUT:
            self.kick(entry, label)
            return
        side = self.goal_side(entry)
        if side is None:
            return
        made: Score | None = None
        if entry.standing is not Standing.DISALLOWED:
            self.score = made = self.score.plus(side)
        self.goals += (
            GoalSoFar(
                entry=entry.id,
                side=side,
                scorer=entry.person,
                assist=entry.other,
                how=entry.how,
                standing=entry.standing,
                label=label,
                score=made,
            ),
        )

    def kick(self, entry: Entry, label: MinuteLabel | None) -> None:
        """A kick from the penalty mark."""
        scored = entry.how is How.SCORED or entry.kind is Kind.GOAL
        tally = self.shoot_out or Score()
        side = self.side_of(entry)
        if scored and side is not None and entry.standing is not Standing.DISALLOWED:
            tally = tally.plus(side)
        how = How.SCORED if scored else _NOT_SCORED.get(entry.kind, entry.how)
        self.shoot_out = tally
        self.kicks += (KickSoFar(entry.id, side, entry.person, how, tally),)

    def missed(self, entry: Entry, label: MinuteLabel | None) -> None:
        """A penalty saved or missed: only in the shoot-out does it count as a kick."""
        if entry.period == SHOOT_OUT:
            self.kick(entry, label)

    def whistle(self, entry: Entry, label: MinuteLabel | None) -> None:
        """A period begins: play is on, and the shoot-out has a score."""
        self.suspended = False
        if entry.period == SHOOT_OUT and self.shoot_out is None:
            self.shoot_out = Score()

    def card(self, entry: Entry, label: MinuteLabel | None) -> None:
        """A card; all but a first yellow sends off."""
        card, side = CARDS[entry.kind], self.side_of(entry)
        self.cards += (CardShown(entry.id, side, entry.person, card, label),)
        if card is Card.YELLOW or entry.person is None or side is None:
            return
        board = self._touch(side)
        if entry.person in board.on:
            board.on.discard(entry.person)
            board.left.append(Left(entry.person, label, None))
        board.bench.discard(entry.person)
        board.off.discard(entry.person)
        if entry.person not in board.dismissed:
            board.dismissed.append(entry.person)

    def substitution(self, entry: Entry, label: MinuteLabel | None) -> None:
        """One leaves, another comes on; a goalkeeper takes over from who only stood in."""
        side = self.side_of(entry)
        if side is None:
            return
        board = self._touch(side)
        if entry.person is not None:
            board.on.discard(entry.person)
            board.off.discard(entry.person)
            if self.rules.return_substitutions and entry.kind is Kind.SUBSTITUTION:
                board.bench.add(entry.person)
            else:
                board.bench.discard(entry.person)
                board.left.append(Left(entry.person, label, entry.other))
        if entry.other is not None:
            board.on.add(entry.other)
            board.bench.discard(entry.other)
            if self.is_keeper(entry.other) and not self.is_keeper(board.in_goal):
                board.in_goal = entry.other

    def temporary_dismissal(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Off the pitch until a return."""
        side = self.side_of(entry)
        if side is not None and entry.person is not None:
            board = self._touch(side)
            if entry.person in board.on:
                board.on.discard(entry.person)
                board.off.add(entry.person)

    def comes_back(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Back on the pitch, if off for a time."""
        side = self.side_of(entry)
        if side is not None and entry.person is not None:
            board = self._touch(side)
            if entry.person in board.off:
                board.off.discard(entry.person)
                board.on.add(entry.person)

    def in_goal(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Somebody goes in goal."""
        side = self.side_of(entry)
        if side is not None:
            self._touch(side).in_goal = entry.person

    def captain(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Somebody takes the armband."""
        side = self.side_of(entry)
        if side is not None:
            self._touch(side).captain = entry.person

    def shirt(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Another number, or none, is worn from now on."""
        if entry.person is not None:
            self.worn[entry.person] = entry.number
            for side in Side:
                self._touch(side)

    def kit(self, entry: Entry, label: MinuteLabel | None) -> None:
        """A side changes its kit; the note holds the letter."""
        side = self.side_of(entry)
        if side is not None:
            self._touch(side).kit = entry.note.strip().casefold()[:1]

    def suspend(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Play is suspended."""
        self.suspended = True

    def resume(self, entry: Entry, label: MinuteLabel | None) -> None:
        """Play goes on, on another day too, even after it was abandoned."""
        self.suspended = self.abandoned = False

    def abandon(self, entry: Entry, label: MinuteLabel | None) -> None:
        """The match is abandoned."""
        self.abandoned = True

    def _keeper(self, board: _SideBoard) -> PersonId | None:
        """Who keeps goal: as said, else the only goalkeeper on the pitch."""
        if board.in_goal in board.on:
            return board.in_goal
        keepers = [p for p in board.on if self.is_keeper(p)]
        return keepers[0] if len(keepers) == 1 else None

    def _touch(self, side: Side) -> _SideBoard:
        self._frozen[side] = None
        return self._sides[side]

    def _order(self, person: PersonId) -> tuple[int, str]:
        return self._rank.get(person, len(self._rank)), person

    def _line_up(self, sheet: TeamSheet, side: Side) -> _SideBoard:
        players = sheet.players(side)
        starters = [p for p in players if p.starts]
        keepers = [p for p in starters if p.role is Role.GOALKEEPER]
        kits = [k for k in sheet.side(side).kits if not k.goalkeeper]
        return _SideBoard(
            on={p.id for p in starters},
            bench={p.id for p in players if not p.starts},
            in_goal=keepers[0].id if keepers else None,
            captain=next((p.id for p in starters if p.captain), None),
            kit=kits[0].letter if kits else "",
        )


_NOT_SCORED = {Kind.PENALTY_SAVED: How.SAVED, Kind.PENALTY_MISSED: How.MISSED}

_CHANGES: dict[Kind, Callable[[Board, Entry, MinuteLabel | None], None]] = {
    Kind.KICK_OFF: Board.whistle,
    Kind.GOAL: Board.goal,
    Kind.SHOOT_OUT_KICK: Board.kick,
    Kind.PENALTY_SAVED: Board.missed,
    Kind.PENALTY_MISSED: Board.missed,
    Kind.YELLOW: Board.card,
    Kind.SECOND_YELLOW: Board.card,
    Kind.RED: Board.card,
    Kind.SUBSTITUTION: Board.substitution,
    Kind.LATE_CHANGE: Board.substitution,
    Kind.TEMPORARY_DISMISSAL: Board.temporary_dismissal,
    Kind.RETURN: Board.comes_back,
    Kind.IN_GOAL: Board.in_goal,
    Kind.CAPTAIN: Board.captain,
    Kind.SHIRT: Board.shirt,
    Kind.KIT: Board.kit,
    Kind.SUSPENDED: Board.suspend,
    Kind.RESUMED: Board.resume,
    Kind.ABANDONED: Board.abandon,
}
"""What each kind changes; a kind that is not here only stands in the log."""

CHANGING = frozenset(_CHANGES)
"""The kinds that change a state."""
