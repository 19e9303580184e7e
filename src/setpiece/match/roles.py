"""The words a team sheet uses for what people do, and the role each one means.

A club's own word is kept as `Person.title`; the role is what the program needs to know.
"""

from __future__ import annotations

from types import MappingProxyType

from setpiece.match.people import Role

WORDS = MappingProxyType(
    {
        "head coach": Role.HEAD_COACH,
        "coach": Role.HEAD_COACH,
        "trainer": Role.HEAD_COACH,
        "manager": Role.MANAGER,
        "assistant coach": Role.ASSISTANT_COACH,
        "assistant head coach": Role.ASSISTANT_COACH,
        "assistant manager": Role.ASSISTANT_COACH,
        "goalkeeping coach": Role.ASSISTANT_COACH,
        "goalkeeper coach": Role.ASSISTANT_COACH,
        "fitness coach": Role.ASSISTANT_COACH,
        "physiotherapist": Role.PHYSIOTHERAPIST,
        "physio": Role.PHYSIOTHERAPIST,
        "sports therapist": Role.PHYSIOTHERAPIST,
        "doctor": Role.DOCTOR,
        "team doctor": Role.DOCTOR,
        "club doctor": Role.DOCTOR,
        "kit manager": Role.STAFF,
        "kit woman": Role.STAFF,
        "kit man": Role.STAFF,
        "team manager": Role.STAFF,
        "analyst": Role.STAFF,
        "staff": Role.STAFF,
        "referee": Role.REFEREE,
        "assistant referee": Role.ASSISTANT_REFEREE,
        "assistant referees": Role.ASSISTANT_REFEREE,
        "assistants": Role.ASSISTANT_REFEREE,
        "fourth official": Role.FOURTH_OFFICIAL,
        "video referee": Role.VIDEO_REFEREE,
        "video assistant referee": Role.VIDEO_REFEREE,
        "guest": Role.GUEST,
        "goalkeeper": Role.GOALKEEPER,
        "keeper": Role.GOALKEEPER,
        "player": Role.PLAYER,
    }
)
"""Words of team sheets, singular but where sheets use the plural. Common practice."""

OFFICIALS = frozenset(
    {Role.REFEREE, Role.ASSISTANT_REFEREE, Role.FOURTH_OFFICIAL, Role.VIDEO_REFEREE}
)
"""Roles of no side."""

KEEPER_POSITIONS = frozenset({"gk", "goalkeeper", "keeper", "g", "tw", "por"})
"""Positions that make a player a goalkeeper."""

_BEFORE = ("interim ", "caretaker ", "acting ", "first ", "second ", "senior ", "lead ", "joint ")


def role_of(words: str) -> Role | None:
    """The role a sheet's word means, None for one that is not known."""
    plain = " ".join(words.casefold().replace("-", " ").split())
    for before in _BEFORE:
        plain = plain.removeprefix(before)
    return WORDS.get(plain)
