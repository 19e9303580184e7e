"""Who is at the demo match: two clubs, their people and the officials, all invented."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.people import Kit, Person, PersonId, Role, Side, SidePeople, TeamSheet

HOME_KIT = Kit("r", "red", "#b5382a")
HOME_GOALKEEPER_KIT = Kit("g", "green", "#2e8c58", goalkeeper=True)
AWAY_KIT = Kit("w", "white", "#ece9df")
AWAY_GOALKEEPER_KIT = Kit("y", "yellow", "#e3bf3c", goalkeeper=True)
OFFICIALS_KIT = Kit("b", "black", "#26272b")


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of a club's sheet. `family` is the part of the name that the shirt bears."""

    number: int
    name: str
    family: str
    position: str
    pronouns: str = "she"
    captain: bool = False
    under_18: bool = False


_HOME = (
    _Row(1, "Annika Tveitmoen", "Tveitmoen", "GK"),
    _Row(2, "Zuzana Hlavínová", "Hlavínová", "DF"),
    _Row(3, "Maëlle Corbigny", "Corbigny", "DF", pronouns=""),
    _Row(4, "Katarína Drobčeková", "Drobčeková", "DF", captain=True),
    _Row(5, "Theresa Obergruber", "Obergruber", "DF"),
    _Row(6, "Lina Aschauer-Weiß", "Aschauer-Weiß", "MF"),
    _Row(7, "Tavinha", "", "MF"),
    _Row(8, "Ana de la Fontalva", "de la Fontalva", "MF"),
    _Row(9, "Signe Ørbeck", "Ørbeck", "FW"),
    _Row(10, "Mira Kolbrand", "Kolbrand", "MF"),
    _Row(11, "Hanna Kolbrand", "Kolbrand", "FW"),
    _Row(12, "Pauline Rettenegg", "Rettenegg", "GK"),
    _Row(13, "Edda Moosgruber", "Moosgruber", "DF", pronouns=""),
    _Row(14, "Nives Babkarić", "Babkarić", "MF"),
    _Row(15, "Yewande Adeolaji", "Adeolaji", "FW"),
    _Row(16, "Lotte Finsterau", "Finsterau", "DF"),
    _Row(17, "Salomé Vautrey", "Vautrey", "DF"),
    _Row(18, "Imke Raadsveld", "Raadsveld", "MF", pronouns=""),
    _Row(19, "Frida Kolmsen", "Kolmsen", "FW", under_18=True),
    _Row(20, "Jolán Szentkerti", "Szentkerti", "MF"),
)

_AWAY = (
    _Row(1, "Solveig Håkvik", "Håkvik", "GK"),
    _Row(2, "Petra Lindenroth", "Lindenroth", "DF"),
    _Row(3, "Noor van der Meulenbeek", "van der Meulenbeek", "DF"),
    _Row(4, "Beatriz Olmedilla", "Olmedilla", "DF", captain=True),
    _Row(5, "Agnieszka Żelichowska", "Żelichowska", "DF"),
    _Row(6, "Camille Thévenard", "Thévenard", "MF", pronouns=""),
    _Row(7, "Rún Steinarsdóttir", "Steinarsdóttir", "MF"),
    _Row(8, "Dilara Göksuner", "Göksuner", "MF"),
    _Row(9, "Elin Brännmark", "Brännmark", "FW"),
    _Row(10, "Chiara Montevago", "Montevago", "FW"),
    _Row(11, "Emi Hoshikado", "Hoshikado", "FW"),
    _Row(12, "Vendela Krusbo", "Krusbo", "GK"),
    _Row(14, "Ruth Amankor", "Amankor", "MF", pronouns=""),
    _Row(15, "Leonie Haslwendter", "Haslwendter", "DF"),
    _Row(16, "Tereza Vlčnovská", "Vlčnovská", "DF"),
    _Row(17, "Joana Pedregal", "Pedregal", "FW"),
    _Row(18, "Oonagh Tierscully", "Tierscully", "MF"),
    _Row(19, "Nina Šumrak", "Šumrak", "FW"),
    _Row(20, "Sanne Wiltjer", "Wiltjer", "DF"),
    _Row(22, "Aïssa Koumarel", "Koumarel", "FW", pronouns=""),
)

_STAFF: tuple[tuple[str, str, str, Role, Side | None, str, str], ...] = (
    (
        "home-coach",
        "Verena Stadlhuber",
        "Stadlhuber",
        Role.HEAD_COACH,
        Side.HOME,
        "head coach",
        "she",
    ),
    (
        "home-assistant",
        "Ruben Castelvany",
        "Castelvany",
        Role.ASSISTANT_COACH,
        Side.HOME,
        "assistant coach",
        "he",
    ),
    (
        "home-physio",
        "Jasmin Kettnacker",
        "Kettnacker",
        Role.PHYSIOTHERAPIST,
        Side.HOME,
        "physiotherapist",
        "",
    ),
    ("away-coach", "Owen Tarrowby", "Tarrowby", Role.MANAGER, Side.AWAY, "manager", "he"),
    (
        "away-assistant",
        "Hedda Syversrud",
        "Syversrud",
        Role.ASSISTANT_COACH,
        Side.AWAY,
        "assistant manager",
        "she",
    ),
    (
        "away-physio",
        "Lars Ekenholt",
        "Ekenholt",
        Role.PHYSIOTHERAPIST,
        Side.AWAY,
        "physiotherapist",
        "he",
    ),
    ("referee", "Irena Vukmanić", "Vukmanić", Role.REFEREE, None, "referee", "she"),
    (
        "assistant-1",
        "Dorit Scheiblauer",
        "Scheiblauer",
        Role.ASSISTANT_REFEREE,
        None,
        "assistant referee",
        "she",
    ),
    (
        "assistant-2",
        "Paula Nemesdédi",
        "Nemesdédi",
        Role.ASSISTANT_REFEREE,
        None,
        "assistant referee",
        "she",
    ),
    (
        "fourth",
        "Greta Lorünsauer",
        "Lorünsauer",
        Role.FOURTH_OFFICIAL,
        None,
        "fourth official",
        "she",
    ),
    ("video", "Tomke Albertsbüll", "Albertsbüll", Role.VIDEO_REFEREE, None, "video referee", ""),
)


def person_id(side: Side, number: int) -> PersonId:
    """The identifier of the player with that number on the sheet."""
    return PersonId(f"{side.value}-{number}")


def _players(side: Side, rows: tuple[_Row, ...]) -> list[Person]:
    return [
        Person(
            id=person_id(side, row.number),
            printed_name=row.name,
            role=Role.GOALKEEPER if row.position == "GK" else Role.PLAYER,
            side=side,
            number=row.number,
            family_name=row.family,
            pronouns=row.pronouns,
            position=row.position,
            captain=row.captain,
            starts=index < 11,
            under_18=row.under_18,
        )
        for index, row in enumerate(rows)
    ]


def sheet() -> TeamSheet:
    """Everybody at the demo match who may be named."""
    staff = [
        Person(
            id=PersonId(ident),
            printed_name=name,
            role=role,
            side=side,
            family_name=family,
            title=title,
            pronouns=pronouns,
        )
        for ident, name, family, role, side, title, pronouns in _STAFF
    ]
    return TeamSheet(
        home=SidePeople("SK Lethenbruck", "Lethenbruck", (HOME_KIT, HOME_GOALKEEPER_KIT)),
        away=SidePeople("TSV Marnstein", "Marnstein", (AWAY_KIT, AWAY_GOALKEEPER_KIT)),
        people=(*_players(Side.HOME, _HOME), *_players(Side.AWAY, _AWAY), *staff),
        officials_kits=(OFFICIALS_KIT,),
    )


def sheet_text() -> dict[Side, str]:
    """The two squads as the clubs sent them: home in plain lines, away with tabs and points.

    Staff and officials are not in them; they come with `sheet`.
    """
    home: list[str] = []
    for index, row in enumerate(_HOME):
        if index == 11:
            home.append("Substitutes")
        marks = [
            m
            for m, on in (("gk", row.position == "GK"), ("c", row.captain), ("u18", row.under_18))
            if on
        ]
        home.append(f"{row.number} {row.name}" + "".join(f" ({m})" for m in marks))
    away: list[str] = []
    for index, row in enumerate(_AWAY):
        if index == 11:
            away.append("Substitutes")
        captain = " (c)" if row.captain else ""
        away.append(f"{row.number}.\t{row.name}{captain}\t{row.position}")
    return {Side.HOME: "\n".join(home) + "\n", Side.AWAY: "\n".join(away) + "\n"}
