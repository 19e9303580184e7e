"""Which kit is meant, and which one a person wears at that instant."""

from __future__ import annotations

from setpiece.captions.line import Question, Ref, RefKind, ShorthandError
from setpiece.captions.situation import Situation
from setpiece.match.names import folded
from setpiece.match.people import Kit, Person, Role, Side

OFFICIALS = (Role.REFEREE, Role.ASSISTANT_REFEREE, Role.FOURTH_OFFICIAL, Role.VIDEO_REFEREE)


class Wardrobe:
    """The kits of one match at one instant."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self.sheet = situation.sheet

    def kit_and_side(self, ref: Ref) -> tuple[Kit | None, Side | None]:
        """The kit and side that a letter, a colour or a club's name stands for."""
        word = ref.kit
        if len(word) == 1:
            found = self.sheet.kit(word)
            if found is None:
                raise self._no_kit(ref)
            return found
        if word in tuple(Side):
            return None, Side(word)
        plain = folded(word)
        for side in Side:
            club = self.sheet.side(side)
            if plain in (folded(club.name), folded(club.short_name)):
                return None, side
        found_kits = [
            (kit, side)
            for side in Side
            for kit in self.sheet.side(side).kits
            if folded(kit.colour) == plain
        ] + [(kit, None) for kit in self.sheet.officials_kits if folded(kit.colour) == plain]
        if not found_kits:
            raise self._no_kit(ref)
        sides = {side for _, side in found_kits}
        if len(found_kits) > 1 and (len(sides) > 1 or ref.kind is RefKind.SHIRT):
            raise Question(
                f"more than one kit is {word}",
                [self._kit_words(kit, side) for kit, side in found_kits],
                thing=ref.text,
                start=ref.start,
                end=ref.end,
                next_step="Type the kit's letter.",
            )
        return found_kits[0]

    def _kit_words(self, kit: Kit, side: Side | None) -> str:
        wearer = self.sheet.side(side).short_name if side else "officials"
        keeper = ", goalkeeper" if kit.goalkeeper else ""
        return f"{kit.letter} ({kit.colour}, {wearer}{keeper})"

    def _no_kit(self, ref: Ref) -> ShorthandError:
        known = [self._kit_words(kit, side) for side in Side for kit in self.sheet.side(side).kits]
        return ShorthandError(
            f"no kit of this match is `{ref.kit}`",
            start=ref.start,
            end=ref.end,
            word=ref.text,
            nearest=tuple(known),
            next_step="The kits are " + ", ".join(known) + ".",
        )

    def outfield_kit(self, side: Side) -> Kit | None:
        """The kit that side's outfield players wear at that instant."""
        kits = [k for k in self.sheet.side(side).kits if not k.goalkeeper]
        worn = self.situation.state.side(side).kit
        return next((k for k in kits if k.letter == worn), kits[0] if kits else None)

    def kit_worn(self, person: Person) -> Kit | None:
        """The kit a person wears at that instant."""
        if person.side is None:
            kits = self.sheet.officials_kits if person.role in OFFICIALS else ()
            return kits[0] if kits else None
        if not person.role.plays:
            return None
        keeps = self.situation.state.side(person.side).in_goal == person.id
        if keeps or person.role is Role.GOALKEEPER:
            kits = tuple(k for k in self.sheet.side(person.side).kits if k.goalkeeper)
            return kits[0] if kits else self.outfield_kit(person.side)
        return self.outfield_kit(person.side)
