"""What the match was: score, minute, scorer, standing of a goal, and what is uncertain."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from setpiece.captions.acts import Acts
from setpiece.captions.caption import Caption
from setpiece.captions.findings import Finding, doubt, error
from setpiece.captions.freetext import Found, Mention
from setpiece.captions.language import Language
from setpiece.captions.situation import Situation, happened_by
from setpiece.match.entries import Entry, EntryId, How, Kind, Standing
from setpiece.match.instants import MinuteLabel
from setpiece.match.people import PersonId
from setpiece.match.state import GoalSoFar, Score

TOLD_WITHIN_S = 240
"""A text may give the minute of a goal this long before its frame. Our choice."""


_TOLD = {
    Kind.GOAL: "told_goal",
    Kind.YELLOW: "told_card",
    Kind.SECOND_YELLOW: "told_card",
    Kind.RED: "told_card",
    Kind.SUBSTITUTION: "told_change",
    Kind.PENALTY_AWARDED: "told_penalty",
    Kind.PENALTY_TAKEN: "told_penalty",
    Kind.PENALTY_SAVED: "told_penalty",
    Kind.PENALTY_MISSED: "told_penalty",
}
"""The list of words, in the language's file, by which a text speaks of an entry of that kind."""


def check_entry(caption: Caption, situation: Situation, acts: Acts) -> Iterator[Finding]:
    """The entries the caption rests on still stand, and say what they said.

    One that was only pinned or timed anew since says the same.
    """
    for entry_id in caption.facts.entries:
        entry = situation.standing(entry_id)
        if entry is None or _says_otherwise(entry_id, entry, situation):
            what = "withdrawn" if entry is None else "replaced"
            yield error(
                "older than a fact it used",
                f"Entry e{entry_id} of the log was {what} since",
                f"e{entry_id}",
            )
            continue
        yield from _before_or_after(caption, entry, situation, acts)
        if entry.kind is Kind.GOAL and entry.standing is Standing.UNDER_REVIEW:
            yield doubt(
                "goal under review",
                "The goal is under review",
                f"e{entry.id}",
                choices=("wait for the decision", "it stands", "it is disallowed"),
            )


def _says_otherwise(was: EntryId, entry: Entry, situation: Situation) -> bool:
    """Whether an entry tells something else than the one it replaced, beside when it was."""
    old = situation.as_typed(was) or entry
    told = [(e.kind, e.side, e.person, e.how, e.number, _other(e)) for e in (old, entry)]
    counts = [e.standing is not Standing.DISALLOWED for e in (old, entry)]
    return told[0] != told[1] or counts[0] != counts[1]


def _other(entry: Entry) -> PersonId | None:
    """The second person of an entry; who made a goal is told by no caption of it."""
    return None if entry.kind is Kind.GOAL else entry.other


def up_to_date(caption: Caption, situation: Situation) -> Caption:
    """The caption with the entries that stand now for those it was written with."""
    standing = (situation.standing(e) for e in caption.facts.entries)
    entries = tuple(e.id for e in standing if e is not None)
    if entries == caption.facts.entries:
        return caption
    return replace(caption, facts=replace(caption.facts, entries=entries))


def _before_or_after(
    caption: Caption, entry: Entry, situation: Situation, acts: Acts
) -> Iterator[Finding]:
    """A doubt where a picture said to follow a goal may have been made before it."""
    reading = caption.reading
    if reading is None or reading.bound is None or reading.bound.said:
        return
    act = acts.acts.get(reading.act)
    follows = act is not None and act.binds == "goal" and not act.needs_entry
    if follows and situation.fold.when(entry).end > situation.at.end:
        yield doubt(
            "time uncertain",
            "The log leaves open whether the goal came before this frame",
            f"e{entry.id}",
            choices=("before", "after"),
        )


def allowed_scores(caption: Caption, situation: Situation) -> set[Score]:
    """Scores this caption may print: its goal's, or those of the frame's time, or the final."""
    made = {situation.fold.score_made_by(e) for e in caption.facts.entries} - {None}
    goals = {
        e
        for e in caption.facts.entries
        if (entry := situation.entry(e)) is not None and entry.kind is Kind.GOAL
    }
    scores: set[Score] = {s for s in made if s is not None}
    if not (goals and scores):
        scores |= situation.possible_scores()
        scores |= {state.shoot_out for state in situation.states if state.shoot_out is not None}
        if caption.reading is None:
            scores |= _recent(situation)
    return scores


def _recent(situation: Situation) -> set[Score]:
    """The score that the last goal made, for a text that has no entry of its own."""
    goals = [g for g in _goals(situation) if g.score is not None]
    return {g.score for g in goals[-1:] if g.score is not None}


def check_scores(caption: Caption, found: Found, situation: Situation) -> Iterator[Finding]:
    """Every score in the text is one the log gives for this frame."""
    allowed = allowed_scores(caption, situation)
    for score, _ in found.scores:
        if score not in allowed:
            shown = " or ".join(str(s) for s in sorted(allowed))
            yield error(
                "score not the log's",
                f"The log gives {shown} here, the text {score}",
                str(score),
                choices=tuple(str(s) for s in sorted(allowed)),
            )
    if found.scores and not caption.facts.entries and len(situation.possible_scores()) > 1:
        yield doubt(
            "time uncertain",
            "A goal falls so close to this frame that either score may be right",
            choices=tuple(str(s) for s in sorted(situation.possible_scores())),
        )


def check_minutes(
    caption: Caption, found: Found, situation: Situation, language: Language
) -> Iterator[Finding]:
    """Every minute in the text is the entry's, or the frame's."""
    allowed = {
        label for e in caption.facts.entries if (label := situation.minute_of(e)) is not None
    }
    own = bool(allowed)
    if not allowed:
        allowed = set(situation.possible_labels())
        if caption.reading is None:
            allowed |= _told_of(found, situation, language)
    for label, _ in found.minutes:
        if not _same(label, allowed):
            shown = " or ".join(f"{a}'" for a in sorted(allowed)) or "no minute"
            yield error(
                "minute not the log's",
                f"The log gives {shown} here, the text {label}'",
                str(label),
                choices=tuple(str(a) for a in sorted(allowed)),
            )
    if found.minutes and own:
        yield from _open_minute(caption, situation)
    possible = situation.possible_labels()
    if found.minutes and not own and caption.reading is not None and len(possible) > 1:
        yield doubt(
            "time uncertain",
            "The clock leaves two minutes open for this frame",
            choices=tuple(str(a) for a in sorted(possible)),
        )


def _told_of(found: Found, situation: Situation, language: Language) -> set[MinuteLabel]:
    """Minutes that a text without an entry of its own may tell of.

    Those of entries whose kind it speaks of: of somebody it names, of goals whose score it
    prints, and of a goal shortly before.
    """
    low = found.text.lower()
    named = {m.person for m in found.mentions}
    printed = {score for score, _ in found.scores}
    labels: set[MinuteLabel | None] = set()
    for entry in situation.fold.entries:
        when = situation.fold.when(entry)
        if not happened_by(when.start, situation):
            continue
        words = language.words.get(_TOLD.get(entry.kind, ""), ())
        if not any(word in low for word in words):
            continue
        concerns = bool({entry.person, entry.other} & named)
        if entry.kind is Kind.GOAL:
            ago = situation.at.start - when.end
            concerns |= situation.fold.score_made_by(entry.id) in printed
            concerns |= ago <= timedelta(seconds=TOLD_WITHIN_S)
        if concerns:
            labels.add(situation.fold.minute_of(entry))
    return {label for label in labels if label is not None}


def _open_minute(caption: Caption, situation: Situation) -> Iterator[Finding]:
    """A doubt where the log itself leaves open in which minute the entry happened."""
    for entry_id in caption.facts.entries:
        entry = situation.entry(entry_id)
        if entry is None or entry.printed is not None:
            continue
        when = situation.fold.when(entry)
        ends = {situation.fold.label_at(when.start), situation.fold.label_at(when.end)}
        labels = sorted(label for label in ends if label is not None)
        if len(labels) > 1:
            yield doubt(
                "time uncertain",
                f"The log leaves the minute of this {entry.kind} open",
                f"e{entry_id}",
                choices=tuple(str(label) for label in labels),
            )


def _same(label: MinuteLabel, allowed: set[MinuteLabel]) -> bool:
    return label in allowed


def check_scorers(
    caption: Caption, found: Found, situation: Situation, language: Language
) -> Iterator[Finding]:
    """Whoever the text says scored, did."""
    words = language.words.get("scoring", ())
    own_words = language.words.get("own_goal", ())
    says_disallowed = any(w in found.text.lower() for w in language.words.get("disallowed", ()))
    goals = [
        goal
        for goal in _goals(situation, caption.facts.entries)
        if says_disallowed or goal.standing is not Standing.DISALLOWED
    ]
    kicks = {k.person for s in situation.states for k in s.kicks if k.how is How.SCORED}
    kicks |= {
        entry.person
        for entry in situation.fold.entries
        if entry.kind is Kind.SHOOT_OUT_KICK
        and entry.how is How.SCORED
        and situation.fold.when(entry).start <= situation.at.end
    }
    for mention in scorers_named(found, words):
        person = situation.person(mention.person)
        if mention.person in kicks and not found.scores:
            continue
        theirs = [g for g in goals if g.scorer == mention.person]
        if person is None:
            continue
        if not theirs:
            yield error(
                "scorer not the log's",
                f"The log has no goal of {person.name} up to this frame",
                mention.text,
                choices=_scorer_names(goals, situation),
            )
            continue
        printed = {score for score, _ in found.scores}
        made = {g.score for g in theirs}
        if printed and not printed & made:
            right = [g for g in goals if g.score in printed]
            if right:
                yield error(
                    "scorer not the log's",
                    f"{person.name} did not make it {' or '.join(map(str, printed))}",
                    mention.text,
                    choices=_scorer_names(right, situation),
                )
                continue
        said_own = any(w in found.text.lower() for w in own_words)
        if said_own and all(g.how is not How.OWN_GOAL for g in theirs):
            yield error(
                "scorer not the log's", f"The log has no own goal of {person.name}", mention.text
            )
        elif not said_own and all(g.how is How.OWN_GOAL for g in theirs):
            yield error("scorer not the log's", f"{person.name}'s was an own goal", mention.text)


def _goals(situation: Situation, spoken_of: tuple[EntryId, ...] = ()) -> list[GoalSoFar]:
    """The goals up to this frame, and those that it pins or speaks of."""
    goals = {g.entry: g for state in situation.states for g in state.goals}
    for goal in situation.fold.last().goals:
        entry = situation.entry(goal.entry)
        if entry is not None and happened_by(situation.fold.when(entry).start, situation):
            goals.setdefault(goal.entry, goal)
        elif goal.entry == situation.pinned or goal.entry in spoken_of:
            goals.setdefault(goal.entry, goal)
    return list(goals.values())


def _scorer_names(goals: list[GoalSoFar], situation: Situation) -> tuple[str, ...]:
    people = (situation.person(g.scorer) for g in goals)
    return tuple(dict.fromkeys(p.name for p in people if p is not None))


def scorers_named(found: Found, words: tuple[str, ...]) -> list[Mention]:
    """The people that a scoring word stands right behind or, as in `goal by`, before."""
    named: dict[str, Mention] = {}
    low = found.text.lower()
    for word in words:
        for match in re.finditer(rf"\b{re.escape(word)}\b", low):
            if word.endswith((" by", " from", " von", " durch")):
                who = next((m for m in found.mentions if 0 <= m.start - match.end() <= 12), None)
            else:
                who = _subject(found, match.start())
            if who is not None:
                named.setdefault(who.person, who)
    return list(named.values())


def _subject(found: Found, at: int) -> Mention | None:
    """Who scores there: the nearest named before, or for `after scoring` who opens the sentence."""
    before = [m for m in found.mentions if m.end <= at]
    if not before:
        return None
    opens = max(found.text.rfind(stop, 0, at) for stop in (". ", ": ", "! "))
    if re.search(r"\b(?:after|nach)\s+$", found.text[:at], re.IGNORECASE):
        inside = [m for m in before if m.start > opens]
        return inside[0] if inside else None
    gap = found.text[before[-1].end : at]
    return before[-1] if len(gap) < 60 and "." not in gap else None


def check_claims(found: Found, situation: Situation, language: Language) -> Iterator[Finding]:
    """A winner exists after full time only, an equaliser only where it made it level."""
    low = found.text.lower()
    if not situation.is_over:
        for word in language.words.get("winner", ()):
            if re.search(rf"\b{re.escape(word)}\b", low):
                yield error(
                    "winner before full time",
                    "The match is not over when this frame was made",
                    word,
                )
                break
    for word in language.words.get("equaliser", ()):
        if re.search(rf"\b{re.escape(word)}\b", low):
            goals = [g for g in _goals(situation) if g.score is not None]
            printed = {score for score, _ in found.scores}
            level = [g for g in goals if g.score is not None and g.score.home == g.score.away]
            if not level or (printed and not printed & {g.score for g in level}):
                yield error(
                    "equaliser not the log's", "No goal up to this frame made it level", word
                )
            break
