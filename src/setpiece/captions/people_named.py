"""Who is meant: from a shirt, a name, a role or a group to a person of the sheet, or a question."""

from __future__ import annotations

from setpiece.captions.acts import Act, Sides, Where
from setpiece.captions.kits import OFFICIALS, Wardrobe
from setpiece.captions.language import Language
from setpiece.captions.line import Question, Ref, RefKind, ShorthandError
from setpiece.captions.reading import Nature, Part, Participant, Whereabouts
from setpiece.captions.situation import Situation
from setpiece.captions.tables import nearest
from setpiece.match.instants import MinuteLabel
from setpiece.match.names import Why, find_people, folded
from setpiece.match.people import Kit, Person, PersonId, Role, Side, TeamSheet
from setpiece.match.state import State

_NAMED = ({Why.WHOLE_NAME}, {Why.LAST_WORD, Why.WORD, Why.ALIAS}, {Why.BEGINNING})
"""How a name may be met, best first. A slip or a middle part never names anybody here."""

SHORTEST_BEGINNING = 3
"""Letters that the beginning of a name needs to be taken for it. Our choice."""


def people_of(sheet: TeamSheet, words: str) -> tuple[Person, ...]:
    """Everybody whose name these words are, or begin; all of the best kind of match."""
    found = find_people(sheet, words, limit=12)
    for whys in _NAMED:
        people = tuple(f.person for f in found if f.why in whys)
        if people and (Why.BEGINNING not in whys or len(words) >= SHORTEST_BEGINNING):
            return people
    return ()


def nature_of(person: Person) -> Nature:
    """The kind of person that a role makes."""
    if person.role.plays:
        return Nature.PLAYER
    if person.role in OFFICIALS:
        return Nature.OFFICIAL
    return Nature.GUEST if person.role is Role.GUEST else Nature.STAFF


def whereabouts(state: State, person: Person) -> tuple[Whereabouts, MinuteLabel | None]:
    """Where a person is in that state of the match, and since which minute."""
    if not person.role.plays or person.side is None:
        return Whereabouts.ELSEWHERE, None
    side = state.side(person.side)
    if side.is_on(person.id):
        return Whereabouts.ON_PITCH, None
    since = next((left.label for left in side.left if left.person == person.id), None)
    if person.id in side.dismissed:
        card = next((c.label for c in reversed(state.cards) if c.person == person.id), since)
        return Whereabouts.DISMISSED, card
    if person.id in side.off:
        return Whereabouts.OFF, None
    if any(left.person == person.id for left in side.left):
        return Whereabouts.SUBSTITUTED, since
    return Whereabouts.BENCH, None


class Finder:
    """Finds the people of one line in one situation."""

    def __init__(self, situation: Situation, language: Language) -> None:
        self.situation = situation
        self.language = language
        self.sheet = situation.sheet
        self.wardrobe = Wardrobe(situation)

    # ----- one person -----

    def find(self, ref: Ref, act: Act, part: Part, lead: Side | None) -> tuple[Participant, ...]:
        """The people that a ref names; `lead` is the side of who acts, once known."""
        if ref.kind is RefKind.SHIRT:
            return (self.by_shirt(ref, act, part),)
        if ref.kind is RefKind.NAME:
            return self.by_name(ref, part)
        if ref.kind is RefKind.ROLE:
            return (self.by_role(ref, part),)
        if ref.kind is RefKind.SOMEONE:
            return (self.someone(ref, act, part, lead),)
        side = self.wardrobe.kit_and_side(ref)[1] if ref.kit else None
        nature = Nature.GROUP if ref.kind is RefKind.GROUP else Nature.STRANGER
        kit = self.wardrobe.outfield_kit(side) if side is not None else None
        return (
            Participant(
                part, nature, ref.text, ref.start, ref.end,
                side=side, places=ref.places, key=ref.words[0],
                kit_colour=kit.colour if kit else "",
            ),
        )  # fmt: skip

    def by_shirt(self, ref: Ref, act: Act, part: Part) -> Participant:
        """Who wears that number, in that kit, at that instant."""
        if not ref.kit:
            raise self._which_side(ref)
        kit, side = self.wardrobe.kit_and_side(ref)
        if side is None:
            raise ShorthandError(
                "officials wear no numbers",
                start=ref.start,
                end=ref.end,
                word=ref.text,
                next_step="Type ref, assistant or fourth official.",
            )
        person = self._wearing(ref, act, part, side)
        self._check_kit(ref, person, kit, side)
        return self.as_participant(ref, part, person, number=ref.number)

    def _wearing(self, ref: Ref, act: Act, part: Part, side: Side) -> Person:
        number = ref.number if ref.number is not None else -1
        on = {s.side(side).wearing(number) for s in self.situation.states}
        on_pitch = [p for p in (self.situation.person(i) for i in on) if p is not None]
        states = self.situation.states
        off = [
            p
            for p in self.sheet.players(side)
            if p.number == number and not any(s.side(side).is_on(p.id) for s in states)
        ]
        where = act.where if part is Part.SUBJECT else act.object_where
        if where is Where.IN_PLAY:
            fitting = on_pitch or off
        elif where is Where.BENCH:
            fitting = off or on_pitch
        else:
            fitting = on_pitch + off
        if len(fitting) == 1:
            return fitting[0]
        if fitting:
            raise Question(
                "more than one person may be meant",
                [self.words_for(p) for p in fitting],
                thing=ref.text,
                start=ref.start,
                end=ref.end,
                next_step="Type the name.",
            )
        raise self._nobody_wears(ref, side)

    def _nobody_wears(self, ref: Ref, side: Side) -> ShorthandError:
        club = self.sheet.side(side).short_name
        changed = next((p for p in self.sheet.players(side) if p.number == ref.number), None)
        if changed is not None:
            worn = self.situation.state.side(side).number_of(changed.id)
            now = f"number {worn}" if worn is not None else "no number"
            return ShorthandError(
                f"{changed.name} wears {now} at this instant",
                start=ref.start,
                end=ref.end,
                word=ref.text,
                nearest=(changed.name,),
                next_step=f"Type the name, {changed.name}, if you mean that player.",
            )
        digits = set(str(ref.number))
        like = [
            f"{p.number}{ref.kit if len(ref.kit) == 1 else ''} {p.name}"
            for p in self.sheet.players(side)
            if p.number is not None and digits & set(str(p.number))
        ]
        return ShorthandError(
            f"nobody of {club} has number {ref.number}",
            start=ref.start,
            end=ref.end,
            word=ref.text,
            nearest=tuple(like[:3]),
            next_step="Look again; numbers are never corrected.",
        )

    def _which_side(self, ref: Ref) -> Question:
        wearing = [
            self.situation.person(self.situation.state.side(side).wearing(ref.number or 0))
            for side in Side
        ]
        return Question(
            "which side's number is meant?",
            [self.words_for(p) for p in wearing if p is not None],
            thing=ref.text,
            start=ref.start,
            end=ref.end,
            next_step="Type the kit's letter after the number.",
        )

    def _check_kit(self, ref: Ref, person: Person, kit: Kit | None, side: Side) -> None:
        if kit is None:
            return
        kits = self.sheet.side(side).kits
        keeps = self.situation.state.side(side).in_goal == person.id
        is_keeper = keeps or person.role is Role.GOALKEEPER
        worn = self.situation.state.side(side).kit
        has_keeper_kit = any(k.goalkeeper for k in kits)
        if kit.goalkeeper and not is_keeper:
            right = [k.letter for k in kits if not k.goalkeeper and worn in ("", k.letter)]
        elif not kit.goalkeeper and person.role is Role.GOALKEEPER and has_keeper_kit:
            right = [k.letter for k in kits if k.goalkeeper]
        elif not kit.goalkeeper and worn and worn != kit.letter:
            right = [worn]
        else:
            return
        raise ShorthandError(
            f"{person.name} does not wear {kit.colour} at this instant",
            start=ref.start,
            end=ref.end,
            word=ref.text,
            nearest=tuple(f"{ref.number}{letter}" for letter in right),
        )

    def by_name(self, ref: Ref, part: Part) -> tuple[Participant, ...]:
        """The person, or the people one after another, that a run of words names."""
        people: list[Participant] = []
        words, at = list(ref.words), 0
        while at < len(words):
            for end in range(len(words), at, -1):
                found = people_of(self.sheet, " ".join(words[at:end]))
                if len(found) > 1:
                    raise Question(
                        "more than one person has this name",
                        [self.words_for(p) for p in found],
                        thing=" ".join(words[at:end]),
                        start=ref.start,
                        end=ref.end,
                        next_step="Type the number and kit, or more of the name.",
                    )
                if found:
                    last = end == len(words)
                    people.append(self.as_participant(ref, part, found[0], places=last))
                    at = end
                    break
            else:
                raise self.unknown_word(ref, words[at])
        return tuple(people)

    def unknown_word(self, ref: Ref, word: str) -> ShorthandError:
        """The error for a word that is no person, act or placement."""
        names = {p.name.lower(): p.name for p in self.sheet.people}
        parts = {w: n for n in names for w in n.split()}
        terms = [f for kind in self.language.terms.values() for t in kind.values() for f in t.forms]
        near = nearest(folded(word), (*parts, *terms))
        shown = tuple(dict.fromkeys(names.get(parts.get(n, ""), n) for n in near))
        at = ref.text.find(word)
        start = ref.start + max(at, 0)
        return ShorthandError(
            "this is no person on the sheet, no act and no placement",
            start=start,
            end=start + len(word),
            word=word,
            nearest=shown,
            next_step="" if shown else "Look at the sheet, or type someone.",
        )

    def by_role(self, ref: Ref, part: Part) -> Participant:
        """Who has that role: the side's coach, the referee, the captain at that instant."""
        key = ref.words[0]
        side = self.wardrobe.kit_and_side(ref)[1] if ref.kit else None
        matches = self.language.term("role", key).matches
        if matches in (("captain",), ("in goal",)):
            return self._by_duty(ref, part, side, matches[0])
        found = [
            p
            for p in self.sheet.people
            if p.role.value in matches and (side is None or p.side is side)
        ]
        if len(found) == 1:
            return self.as_participant(ref, part, found[0])
        if found:
            raise Question(
                f"more than one {self.language.term('role', key).printed()} is on the sheet",
                [self.words_for(p) for p in found],
                thing=ref.text,
                start=ref.start,
                end=ref.end,
                next_step="Type the kit's letter before it, or the name.",
            )
        if key == "coach" or key == "guest":
            raise ShorthandError(
                "the sheet has nobody in this role",
                start=ref.start,
                end=ref.end,
                word=ref.text,
                next_step="Add the person to the sheet, or type what is seen.",
            )
        nature = Nature.OFFICIAL if matches and Role(matches[0]) in OFFICIALS else Nature.STAFF
        return Participant(
            part, nature, ref.text, ref.start, ref.end, side=side, places=ref.places, key=key
        )

    def _by_duty(self, ref: Ref, part: Part, side: Side | None, duty: str) -> Participant:
        held: list[PersonId | None] = [
            getattr(self.situation.state.side(s), "captain" if duty == "captain" else "in_goal")
            for s in ((side,) if side else tuple(Side))
        ]
        people = [p for p in (self.situation.person(i) for i in held) if p is not None]
        if len(people) == 1:
            return self.as_participant(ref, part, people[0])
        raise Question(
            "whose?" if people else "nobody is known to be it at this instant",
            [self.words_for(p) for p in people],
            thing=ref.text,
            start=ref.start,
            end=ref.end,
            next_step="Type the number and kit.",
        )

    def someone(self, ref: Ref, act: Act, part: Part, lead: Side | None) -> Participant:
        """A player nobody identified: side and colour only."""
        kit: Kit | None = None
        side: Side | None
        if ref.kit:
            kit, side = self.wardrobe.kit_and_side(ref)
        elif lead is None:
            raise Question(
                "a player of which side?",
                [f"someone {k.letter} ({k.colour})" for s in Side for k in self.sheet.side(s).kits],
                thing=ref.text,
                start=ref.start,
                end=ref.end,
                next_step="Type the kit's letter after it.",
            )
        else:
            other = part is Part.FOE or (part is Part.OBJECT and act.object_side is Sides.OTHER)
            side = lead.other if other else lead
        if kit is None and side is not None:
            kit = self.wardrobe.outfield_kit(side)
        return Participant(
            part, Nature.SOMEONE, ref.text, ref.start, ref.end, side=side, places=ref.places,
            kit_letter=kit.letter if kit else "", kit_colour=kit.colour if kit else "",
            goalkeeper=bool(kit and kit.goalkeeper), whereabouts=Whereabouts.ON_PITCH,
        )  # fmt: skip

    # ----- what is printed of a person -----

    def as_participant(
        self,
        ref: Ref,
        part: Part,
        person: Person,
        *,
        number: int | None = None,
        places: bool = True,
    ) -> Participant:
        """A person of the sheet as one of the line."""
        where, since = whereabouts(self.situation.state, person)
        worn = number
        if number is None and person.side is not None and person.role.plays:
            worn = person.number
            if where is Whereabouts.ON_PITCH:
                worn = self.situation.state.side(person.side).number_of(person.id)
        kit = self.wardrobe.kit_worn(person)
        keeper = person.role is Role.GOALKEEPER
        keeps = (
            person.side is not None and self.situation.state.side(person.side).in_goal == person.id
        )
        return Participant(
            part, nature_of(person), ref.text, ref.start, ref.end,
            person=person.id, name=person.name, number_worn=worn, position=person.position,
            title="" if person.role.plays else person.title or person.role.value,
            side=person.side, kit_letter=kit.letter if kit else "",
            kit_colour=kit.colour if kit else "",
            goalkeeper=keeps or (keeper and where is not Whereabouts.ON_PITCH),
            pronouns=person.pronouns, places=ref.places if places else (),
            whereabouts=where, since=since, key=person.role.value,
        )  # fmt: skip

    def words_for(self, person: Person) -> str:
        """A person in a list of choices: number and kit as typed, name, where she is."""
        kit = self.wardrobe.kit_worn(person)
        where, since = whereabouts(self.situation.state, person)
        shirt = f"{person.number}{kit.letter} " if kit and person.number is not None else ""
        when = f" {since}'" if since else ""
        place = f" ({where}{when})" if person.role.plays else f" ({person.title or person.role})"
        return f"{shirt}{person.name}{place}"
