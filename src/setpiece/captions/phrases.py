"""People as a language prints them: by name for the caption, by what is seen for the alt text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import Protocol

from setpiece.captions.language import Language
from setpiece.captions.patterns import fill
from setpiece.captions.reading import Nature, Part, Participant
from setpiece.captions.style import HouseStyle
from setpiece.match.people import Side, TeamSheet

GENDERS = {"she": "f", "he": "m"}


class Namer(Protocol):
    """Something that words a list of people in a grammatical case."""

    def people(self, people: Sequence[Participant], case: str = "") -> str:
        """The people as one phrase."""


def joined(parts: Sequence[str], language: Language) -> str:
    """`a`, `a and b`, `a, b and c` in that language."""
    if len(parts) < 2:
        return "".join(parts)
    head = language.phrases["comma"].join(parts[:-1])
    return head + language.phrases["and"] + parts[-1]


def gender(people: Sequence[Participant], sheet: TeamSheet) -> str:
    """`f`, `m` or empty: what their pronouns say, for the unnamed what their side's say."""
    said: set[str] = set()
    for person in people:
        if person.nature in (Nature.SOMEONE, Nature.GROUP):
            for side in (person.side,) if person.side is not None else tuple(Side):
                said |= {p.pronouns for p in sheet.players(side)}
        else:
            said.add(person.pronouns)
    return GENDERS.get(said.pop(), "") if len(said) == 1 else ""


@dataclass
class Named:
    """Words people by name, club and place, as a house style wants them.

    A club that was named once is not repeated for the side that acts; its others are
    team-mates.
    """

    language: Language
    style: HouseStyle
    sheet: TeamSheet
    lead: Side | None = None
    mentioned: set[Side] = field(default_factory=set)

    def people(self, people: Sequence[Participant], case: str = "") -> str:
        """The people as one phrase, those of one side together."""
        runs = [list(run) for _, run in groupby(people, key=self._kind)]
        return joined([text for run in runs for text in self._run(run, case)], self.language)

    @staticmethod
    def _kind(person: Participant) -> tuple[bool, Side | None, Part]:
        return person.nature in (Nature.PLAYER, Nature.SOMEONE), person.side, person.part

    def _run(self, run: list[Participant], case: str) -> list[str]:
        first = run[0]
        if first.nature not in (Nature.PLAYER, Nature.SOMEONE):
            return [self._detailed(p, self._other(p, case)) for p in run]
        mates = first.part is not Part.SUBJECT and first.side is self.lead is not None
        known = first.side in self.mentioned
        if any(p.nature is Nature.SOMEONE for p in run):
            texts = [self._mixed(p, mates, known, case) for p in run]
            self._mention(first.side)
            return texts
        names = joined([self._detailed(p, self._name(p)) for p in run], self.language)
        if mates and known:
            which = "list.mates" if len(run) > 1 else "list.mate"
            return [self._fill(self._form(which, run, case), people=names)]
        if known or first.side is None:
            return [names]
        self._mention(first.side)
        return [self._fill(self.language.phrase(f"list.{self.style.club}", "list.of"),
                           people=names, club=self._club(first.side))]  # fmt: skip

    def _mention(self, side: Side | None) -> None:
        if side is not None:
            self.mentioned.add(side)
            self.lead = self.lead or side

    def _mixed(self, person: Participant, mates: bool, known: bool, case: str) -> str:
        if person.nature is Nature.SOMEONE:
            which = "person.someone_mate" if mates and known else "person.someone_of"
            if person.side is None:
                which = "person.someone"
            text = self._fill(self._form(which, [person], case), club=self._club(person.side))
            return self._detailed(person, text)
        text = self._detailed(person, self._name(person))
        if known:
            return text
        return self._fill(self.language.phrase(f"list.{self.style.club}", "list.of"),
                          people=text, club=self._club(person.side))  # fmt: skip

    def _form(self, name: str, people: Sequence[Participant], case: str) -> str:
        """A phrase in the gender of the people and the case wanted, as far as there is one."""
        gen = gender(people, self.sheet)
        case = case or "nom"
        return self.language.phrase(
            f"{name}.{gen}.{case}", f"{name}.{gen}", f"{name}.{case}", name, f"{name}.default"
        )

    def _name(self, person: Participant) -> str:
        if person.goalkeeper and person.key == "goalkeeper":
            return self._fill(self._form("person.goalkeeper", [person], ""), name=person.name)
        return person.name

    def _other(self, person: Participant, case: str) -> str:
        club = self._club(person.side)
        if person.nature is Nature.STRANGER:
            return self.language.term("stranger", person.key).printed(case)
        if person.nature is Nature.GROUP:
            term = self.language.term("group", person.key)
            gen, base = gender([person], self.sheet), "club." if club else ""
            pattern = term.printed(
                f"{base}{gen}.{case}", f"{base}{gen}", f"{base}{case}", base.rstrip(".")
            )
            return self._fill(pattern, club=club)
        title = self.title(person)
        if not person.name:
            which = "person.unnamed_of" if club else "person.unnamed"
            if person.nature is Nature.OFFICIAL:
                which = "person.unnamed_official"
            return self._fill(self._form(which, [person], case), title=title, club=club)
        which = "person.staff" if club else "person.official"
        if not title:
            return person.name
        return self._fill(self._form(which, [person], case), title=title, club=club,
                          name=person.name)  # fmt: skip

    def title(self, person: Participant) -> str:
        """A role as this style prints the club's own word for it."""
        gen = gender([person], self.sheet)
        word = person.title
        if not word:
            return self.language.term("role", person.key).printed(gen)
        printed = (
            self.language.phrase(f"title.{word}.{gen}", f"title.{word}", f"title.{word}.default")
            or word
        )
        return self.style.titles.get(word, printed)

    def _detailed(self, person: Participant, text: str) -> str:
        details = [self.language.term("place", key).printed() for key in person.places]
        if self.style.numbers and person.number_worn is not None and person.name:
            details.insert(0, str(person.number_worn))
        if not details:
            return text
        return self._fill(self.language.phrases["person.details"], person=text,
                          details=self.language.phrases["comma"].join(details))  # fmt: skip

    def _club(self, side: Side | None) -> str:
        return self.sheet.side(side).name if side is not None else ""

    def _fill(self, pattern: str, **values: str) -> str:
        return fill(pattern, {"people": "", "club": "", "name": "", "title": "", **values})


@dataclass
class Short:
    """Words people by name alone, for the headline."""

    named: Named

    def people(self, people: Sequence[Participant], case: str = "") -> str:
        """Names only; the unnamed as in the caption, without places."""
        texts: list[str] = []
        for person in people:
            if person.name:
                texts.append(person.name)
            else:
                bare = _without_places(person)
                texts.append(Named(self.named.language, self.named.style, self.named.sheet,
                                   lead=None).people([bare], case))  # fmt: skip
        return joined(texts, self.named.language)


@dataclass
class Seen:
    """Words people by what anybody sees: colour and number, never a name."""

    language: Language
    sheet: TeamSheet

    def people(self, people: Sequence[Participant], case: str = "") -> str:
        """The people by shirt; no name, no club."""
        return joined([self._one(person, case) for person in people], self.language)

    def _one(self, person: Participant, case: str) -> str:
        gen = gender([person], self.sheet)
        if person.nature in (Nature.STRANGER, Nature.GROUP):
            term = self.language.term(person.nature.value, person.key)
            seen = ("seen." if person.kit_colour else "") if person.nature is Nature.GROUP else ""
            keys = [f"{seen}{gen}.{case}", f"{seen}{gen}", f"{seen}{case}", seen.rstrip(".")]
            values = {"club": "", "colour": self._colour(person)}
            return self._placed(person, fill(term.printed(*keys, gen, case), values))
        if person.nature is Nature.OFFICIAL:
            name = "seen.official"
        elif person.nature in (Nature.STAFF, Nature.GUEST):
            name = f"seen.{person.nature}"
        elif person.kit_colour and person.number_worn is not None:
            name = "seen.numbered"
        else:
            name = "seen.player" if person.kit_colour else "seen.plain"
        case = case or "nom"
        pattern = self.language.phrase(
            f"{name}.{gen}.{case}", f"{name}.{gen}", f"{name}.{case}", name, f"{name}.default"
        )
        values = {"colour": self._colour(person), "number": str(person.number_worn)}
        return self._placed(person, fill(pattern, values))

    def _colour(self, person: Participant) -> str:
        return self.language.phrase(f"colour.{person.kit_colour.lower()}") or person.kit_colour

    def _placed(self, person: Participant, text: str) -> str:
        places = [self.language.term("place", key).printed() for key in person.places]
        if not places:
            return text
        details = self.language.phrases["comma"].join(places)
        return fill(self.language.phrases["person.details"], {"person": text, "details": details})


def _without_places(person: Participant) -> Participant:
    return replace(person, places=())
