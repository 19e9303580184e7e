"""The sentence: a reading worded in a language, as a house style wants it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from setpiece.captions.acts import Act
from setpiece.captions.fields import ALT_TEXT_MAX_CHARACTERS
from setpiece.captions.language import Language, Wording
from setpiece.captions.patterns import fill, tidy
from setpiece.captions.phrases import Named, Namer, Seen, Short, gender
from setpiece.captions.reading import Bound, Nature, Part, Participant, Reading
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.errors import WrongUse
from setpiece.match.entries import Kind, Standing
from setpiece.match.instants import MinuteLabel
from setpiece.match.state import Phase, Score

_WHEN: Mapping[Phase, str] = {
    Phase.BEFORE: "before",
    Phase.HALF_TIME: "half_time",
    Phase.SHOOT_OUT: "shoot_out",
    Phase.SUSPENDED: "suspended",
    Phase.ABANDONED: "abandoned",
    Phase.FULL_TIME: "over",
    Phase.EXTRA_INTERVAL: "extra_half_time",
    Phase.OVER: "over",
}
SHOOT_OUT = 5
"""The period of the shoot-out."""

_INTERVALS = (Phase.HALF_TIME, Phase.EXTRA_INTERVAL)

_HOW_TERMS = {"header": "header", "free kick": "free-kick", "penalty": "penalty"}
"""The ways of a goal that may be typed as well as logged: printed once."""


def ordinal(number: int, language: Language) -> str:
    """`74th`, `1st`, `74.`"""
    ends = "" if number % 100 in (11, 12, 13) else str(number % 10)
    pattern = language.phrase(f"ordinal.{ends}", "ordinal.default")
    return fill(pattern, {"n": number})


def score_text(score: Score, style: HouseStyle) -> str:
    """A score in the style's form, home first."""
    return f"{score.home}{style.score}{score.away}"


def minute_text(label: MinuteLabel | None, style: HouseStyle, language: Language) -> str:
    """The minute as the style words it, with a blank before it; empty for none."""
    if label is None or style.minute == "none":
        return ""
    form = "words_added" if label.added and style.minute == "words" else style.minute
    values = {"label": str(label), "ordinal": ordinal(label.minute, language)}
    return fill(language.phrases[f"minute.{form}"], values)


@dataclass
class Sentence:
    """One reading in one language and style."""

    reading: Reading
    act: Act
    situation: Situation
    style: HouseStyle
    language: Language

    @property
    def wording(self) -> Wording:
        """This language's wording of the act. Raises WrongUse where there is none."""
        found = self.language.wordings.get(self.act.id)
        if found is None:
            raise WrongUse(
                f"the act `{self.act.id}` has no wording in this language",
                thing=self.language.code,
                next_step="Add it to an act file, or use another act.",
            )
        return found

    # ----- facts that are printed -----

    @property
    def score(self) -> Score | None:
        """The score this caption prints: the one its goal made, or the frame's, or none."""
        bound = self.reading.bound
        if self.style.score_with == "never":
            return None
        if bound is not None and bound.score is not None:
            return bound.score
        return self.situation.state.score if self.style.score_with == "always" else None

    @property
    def label(self) -> MinuteLabel | None:
        """The minute this caption prints: its entry's, or the frame's where the style asks.

        None in an interval, which has no minutes.
        """
        if self.style.minute == "none" or self.situation.state.phase in _INTERVALS:
            return None
        bound = self.reading.bound
        if bound is not None and not bound.said and bound.event != "":
            return bound.label
        if bound is not None:
            return None
        return self.situation.state.label if self.style.minute_with == "play" else None

    # ----- the clause -----

    def clause(self) -> str:
        """Who does what, with whom, how, where, after what; no stop at the end."""
        named = Named(self.language, self.style, self.situation.sheet)
        text = tidy(self._clause(named, named, full=True))
        return text[:1].upper() + text[1:]

    def headline(self) -> str:
        """A short clause with names alone."""
        named = Named(self.language, self.style, self.situation.sheet)
        short = Short(named)
        if self.wording.headline:
            text = fill(self.wording.headline, self._values(short, named, full=False))
        else:
            text = self._clause(short, named, full=False)
        text = tidy(text)
        return text[:1].upper() + text[1:]

    def alt_text(self) -> str:
        """What is seen: shirts and acts, no names, no score; at most 250 characters."""
        seen = Seen(self.language, self.situation.sheet)
        if self.wording.alt:
            text = fill(self.wording.alt, self._values(seen, None, full=False))
        else:
            text = self._clause(seen, None, full=False)
        text = tidy(text)
        text = text[:1].upper() + text[1:]
        if len(text) >= ALT_TEXT_MAX_CHARACTERS:
            text = text[: ALT_TEXT_MAX_CHARACTERS - 1].rsplit(" ", 1)[0]
        return f"{text}."

    def _clause(self, namer: Namer, named: Named | None, *, full: bool) -> str:
        values = self._values(namer, named, full=full)
        return fill(self.wording.sentence or self.language.phrases["clause"], values)

    def _values(self, namer: Namer, named: Named | None, *, full: bool) -> dict[str, object]:
        """Everything the patterns of an act may fill in."""
        reading, words, phrases = self.reading, self.wording, self.language.phrases
        subjects = reading.part(Part.SUBJECT)
        several = len(subjects) > 1 or any(self._is_many(p) for p in subjects)
        base: dict[str, object] = {
            "who": namer.people(subjects),
            "several": several,
            "verb": words.verb[1 if several else 0],
            "venue": self.situation.fixture.venue,
            "goal_how": self._goal_how() if named else "",
            "made": self._made() if named else "",
            "goal_noun": self._goal_noun(),
            "goal": reading.bound.how if reading.bound is not None else "",
            "particle": words.particle,
            "names": namer.people(subjects),
        }
        objects = reading.part(Part.OBJECT)
        base |= self._cases("whom", namer, objects)
        base["object"] = fill((words.object or phrases["object"]) if objects else words.bare, base)
        base["object_names"] = base["object"]
        mates, foes = reading.part(Part.MATE), reading.part(Part.FOE)
        base |= self._cases("mates", namer, mates)
        pattern = words.mates or phrases["mates"]
        base["mates"] = fill(pattern, base) if mates else ""
        base |= self._cases("foes", namer, foes)
        base["foes"] = fill(words.foes or phrases["foes"], base) if foes else ""
        gain = reading.part(Part.FOR)
        base |= self._cases("gain", namer, gain)
        base["gain"] = fill(phrases["gain"], base) if gain else ""
        base["how"] = self._hows()
        base["where"] = self._where(namer)
        base["after"] = self._after(named) if full and named else ""
        base["milestone"] = self._milestones() if full else ""
        return base

    def _cases(self, name: str, namer: Namer, people: tuple[Participant, ...]) -> dict[str, object]:
        if not people:
            return {name: "", f"{name}_acc": "", f"{name}_dat": ""}
        if self.language.phrase("cases") == "":
            return {name: namer.people(people)}
        named = namer if isinstance(namer, Named) else None
        kept = set(named.mentioned) if named else set()
        texts: dict[str, object] = {}
        for key, case in ((f"{name}_acc", "acc"), (f"{name}_dat", "dat"), (name, "nom")):
            if named:
                named.mentioned = set(kept)
            texts[key] = namer.people(people, case)
        return texts

    def _is_many(self, person: Participant) -> bool:
        if person.nature not in (Nature.GROUP, Nature.STRANGER):
            return False
        matches = self.language.term(person.nature.value, person.key).matches
        return "many" in matches or (person.nature is Nature.GROUP and "one" not in matches)

    # ----- the entry -----

    def _goal_how(self) -> str:
        bound = self.reading.bound
        if bound is None or self._entry_kind(bound) is not Kind.GOAL:
            return ""
        if bound.standing == Standing.DISALLOWED:
            return self.language.phrase("scored.disallowed")
        return self.language.phrase(f"scored.{bound.how}") if bound.how else ""

    def _goal_noun(self) -> str:
        how = self.reading.bound.how if self.reading.bound is not None else ""
        return self.language.phrase(f"goal_noun.{how}", "goal_noun.default")

    def _made(self) -> str:
        bound = self.reading.bound
        if bound is None or bound.score is None or self.style.score_with == "never":
            return ""
        if self._entry_kind(bound) is not Kind.GOAL:
            return ""
        return fill(self.language.phrases["made"], {"score": score_text(bound.score, self.style)})

    def _entry_kind(self, bound: Bound) -> Kind | None:
        entry = self.situation.entry(bound.entry)
        return entry.kind if entry is not None else None

    def _after(self, named: Named) -> str:
        """The clause about the entry: `after scoring from a free kick to make it 2–1`."""
        bound, reading = self.reading.bound, self.reading
        if bound is None:
            term = self.language.term("event", reading.event)
            return " " + fill(term.printed(), {"person": ""}) if reading.event else ""
        if not bound.said and (self.act.needs_entry or bound.event not in ("goal", "assist")):
            return ""
        if self._entry_kind(bound) is not Kind.GOAL:
            return self._after_event(bound)
        if not bound.said and self.act.binds != "goal":
            return ""
        kind = f"after_goal.{self._after_kind(bound)}"
        gen = gender(reading.part(Part.SUBJECT), self.situation.sheet)
        pattern = self.language.phrase(f"{kind}.{gen}", kind, f"{kind}.default")
        scorer = self.situation.person(bound.scorer)
        return fill(
            pattern,
            {
                "goal_how": self._goal_how(),
                "goal_noun": self._goal_noun(),
                "made": self._made(),
                "scorer": scorer.name if scorer else "",
                "club": self.situation.sheet.side(bound.side).name if bound.side else "",
            },
        )

    def _after_kind(self, bound: Bound) -> str:
        subjects = self.reading.part(Part.SUBJECT)
        scored = len(subjects) == 1 and subjects[0].person == bound.scorer is not None
        self_ = "_self" if scored else ""
        if bound.standing == Standing.DISALLOWED:
            return f"disallowed{self_}"
        if bound.standing == Standing.UNDER_REVIEW:
            return f"under_review{self_}"
        if bound.how == "own goal":
            return f"own{self_}"
        if scored:
            return "self"
        return "other" if bound.scorer is not None else "unknown"

    def _after_event(self, bound: Bound) -> str:
        term = self.language.term("event", self.reading.event)
        person = self.situation.person(bound.scorer)
        subjects = {p.person for p in self.reading.part(Part.SUBJECT)}
        name = person.name if person is not None and person.id not in subjects else ""
        pattern = term.printed()
        return " " + fill(pattern, {"person": name}) if pattern else ""

    # ----- ways and places -----

    def _hows(self) -> str:
        bound = self.reading.bound
        logged = _HOW_TERMS.get(bound.how, "") if bound is not None else ""
        texts = [
            self.language.term("how", key).printed()
            for key in self.reading.hows
            if key != logged or self._entry_kind_of() is not Kind.GOAL
        ]
        return "".join(f" {text}" for text in texts if text)

    def _entry_kind_of(self) -> Kind | None:
        return self._entry_kind(self.reading.bound) if self.reading.bound else None

    def _where(self, namer: Namer) -> str:
        people = namer.people(self.reading.part(Part.PLACE), "dat")
        texts = [
            fill(self.language.term("place_of", key).printed(), {"people": people})
            for key in self.reading.places
        ]
        return "".join(f" {text}" for text in texts if text)

    def _milestones(self) -> str:
        subject = next(iter(self.reading.part(Part.SUBJECT)), None)
        club = ""
        if subject is not None and subject.side is not None:
            club = self.situation.sheet.side(subject.side).name
        texts = [
            fill(
                self.language.term("milestone", key).printed(),
                {"ordinal": ordinal(n, self.language) if n else "", "club": club},
            )
            for key, n in self.reading.milestones
        ]
        return "".join(f" {text}" for text in texts if text)

    # ----- around the clause -----

    def when(self) -> str:
        """`before`, `during`, `after`: where the frame stands in the match."""
        phase = self.situation.state.phase
        key = _WHEN.get(phase, "during")
        if phase in (Phase.FULL_TIME, Phase.OVER) and not self.situation.is_over:
            key = "before_shoot_out" if self.situation.next_period == SHOOT_OUT else "before_extra"
        if self.wording.when and key not in ("before", "over"):
            key = self.wording.when
        return self.language.phrases[f"when.{key}"]
