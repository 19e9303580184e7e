"""The situation of one frame: the match, the sheet, and what may have been true just then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache

from setpiece.captions.lexicon import Vocabulary, words_of
from setpiece.match.entries import Entry, EntryId, Kind, history
from setpiece.match.fixture import Fixture
from setpiece.match.fold import Fold
from setpiece.match.instants import Instant, Interval, MinuteLabel
from setpiece.match.names import folded
from setpiece.match.people import Person, PersonId, Side, TeamSheet
from setpiece.match.state import Phase, Score, State


@dataclass(frozen=True, slots=True)
class Situation:
    """One frame in its match. `at` is true time with its uncertainty.

    `state` holds in the middle of `at`; `states` are all that may have held within it, more
    than one when something happened that close to the frame.
    """

    fixture: Fixture
    sheet: TeamSheet
    fold: Fold
    frame_id: str
    at: Interval
    state: State
    states: tuple[State, ...]

    @property
    def pinned(self) -> EntryId | None:
        """The entry that this frame pins, as the strike of a goal."""
        return self.fold.pins(self.frame_id)

    @property
    def is_over(self) -> bool:
        """Whether the match has ended for good."""
        if self.state.phase is Phase.ABANDONED:
            return True
        return self.state.phase in (Phase.FULL_TIME, Phase.OVER) and self.next_period is None

    @property
    def next_period(self) -> int | None:
        """The next period the log has after this frame, None when none follows."""
        later = [
            e.period
            for e in self.fold.entries
            if e.kind is Kind.KICK_OFF
            and e.period is not None
            and self.fold.when(e).start > self.at.end
        ]
        return min(later, default=None)

    def person(self, person_id: PersonId | None) -> Person | None:
        """The person with that identifier, None when not on the sheet."""
        return self.sheet.person(person_id) if person_id is not None else None

    def entry(self, entry_id: EntryId | None) -> Entry | None:
        """The entry of that id, if it stands."""
        return self.fold.entry(entry_id) if entry_id is not None else None

    def as_typed(self, entry_id: EntryId) -> Entry | None:
        """The entry of that id as it was typed, whether or not it stands."""
        return next((e for e in self.fold.log if e.id == entry_id), None)

    def standing(self, entry_id: EntryId) -> Entry | None:
        """The entry that stands for this one: itself or what replaced it; None if withdrawn."""
        if (entry := self.entry(entry_id)) is not None:
            return entry
        versions = reversed(history(self.fold.log, entry_id))
        return next((e for v in versions if (e := self.entry(v.id)) is not None), None)

    def minute_of(self, entry_id: EntryId) -> MinuteLabel | None:
        """The minute an entry is printed with."""
        entry = self.fold.entry(entry_id)
        return self.fold.minute_of(entry) if entry is not None else None

    def possible_scores(self) -> frozenset[Score]:
        """Every score that may have stood when the frame was made."""
        return frozenset(state.score for state in self.states)

    def possible_labels(self) -> frozenset[MinuteLabel]:
        """Every minute that the frame may have been made in."""
        ends = (self.fold.label_at(self.at.start), self.fold.label_at(self.at.end))
        labels = {state.label for state in self.states} | set(ends)
        return frozenset(label for label in labels if label is not None)


JUST_AFTER_S = 5.0
"""A frame of a goal may be made this long before the ball is in. Our choice."""


def happened_by(when: Instant, situation: Situation) -> bool:
    """Whether what happened then may be told at this frame: before it, or as it was made."""
    return when <= situation.at.end + timedelta(seconds=JUST_AFTER_S)


def situation_for(
    fixture: Fixture, sheet: TeamSheet, fold: Fold, frame_id: str, at: Interval
) -> Situation:
    """The situation of a frame made within `at`."""
    state = fold.state_at(at.middle)
    states = fold.states_within(at) or (state,)
    return Situation(fixture, sheet, fold, frame_id, at, state, states)


@lru_cache(maxsize=8)
def vocabulary_of(sheet: TeamSheet) -> Vocabulary:
    """The words of one match that the line may hold: names, kit letters, colours, sides."""
    names = {
        word
        for person in sheet.people
        for name in (person.printed_name, person.known_as, person.family_name, *person.aliases)
        for word in (*words_of(name), *words_of(folded(name)))
    }
    kits = (*sheet.home.kits, *sheet.away.kits, *sheet.officials_kits)
    clubs = [sheet.side(side) for side in Side]
    phrases = [kit.colour for kit in kits]
    phrases += [name for club in clubs for name in (club.name, club.short_name) if name]
    return Vocabulary(
        names=frozenset(names),
        letters=frozenset(kit.letter for kit in kits),
        kits=frozenset(words_of(phrase) for phrase in phrases),
    )
