"""How everybody at the demo match looks and what each of them wears, for drawing."""

from __future__ import annotations

from functools import lru_cache
from zlib import crc32

from setpiece.errors import NotFound
from setpiece.match.people import Person, Role, Side
from setpiece.work.demo.brush import Rgb
from setpiece.work.demo.looks import Look, Wear
from setpiece.work.demo.squads import sheet

SKINS: tuple[Rgb, ...] = (
    (242, 212, 188),
    (234, 194, 162),
    (222, 172, 134),
    (198, 142, 102),
    (150, 98, 66),
    (98, 62, 44),
)
HAIRS: dict[str, Rgb] = {
    "black": (30, 25, 24),
    "brown": (66, 44, 30),
    "chestnut": (104, 62, 36),
    "fair": (198, 156, 92),
    "pale": (226, 200, 148),
    "red": (158, 78, 36),
    "grey": (132, 128, 124),
}

_LOOKS: dict[str, tuple[int, str, str, float]] = {
    # person: skin, hair, style, height in metres
    "home-1": (1, "fair", "plait", 1.80),
    "home-2": (0, "brown", "ponytail", 1.69),
    "home-3": (4, "black", "bun", 1.72),
    "home-4": (1, "black", "ponytail", 1.76),
    "home-5": (0, "red", "ponytail", 1.74),
    "home-6": (1, "chestnut", "short", 1.66),
    "home-7": (3, "black", "curls", 1.62),
    "home-8": (2, "black", "ponytail", 1.65),
    "home-9": (0, "pale", "ponytail", 1.73),
    "home-10": (1, "chestnut", "bun", 1.70),
    "home-11": (1, "chestnut", "plait", 1.68),
    "home-15": (5, "black", "short", 1.74),
    "home-17": (2, "brown", "bun", 1.70),
    "home-19": (0, "fair", "ponytail", 1.64),
    "away-1": (0, "pale", "bun", 1.81),
    "away-2": (1, "brown", "ponytail", 1.72),
    "away-3": (1, "fair", "plait", 1.77),
    "away-4": (3, "black", "ponytail", 1.73),
    "away-5": (0, "chestnut", "ponytail", 1.75),
    "away-6": (5, "black", "bun", 1.68),
    "away-7": (0, "red", "ponytail", 1.69),
    "away-8": (3, "brown", "ponytail", 1.66),
    "away-9": (0, "fair", "short", 1.76),
    "away-10": (2, "black", "plait", 1.70),
    "away-11": (1, "black", "ponytail", 1.63),
    "away-14": (5, "black", "curls", 1.70),
    "away-17": (3, "brown", "curls", 1.67),
    "home-coach": (0, "grey", "bun", 1.69),
    "away-coach": (1, "brown", "cropped", 1.83),
    "home-assistant": (2, "black", "cropped", 1.78),
    "away-assistant": (0, "pale", "short", 1.72),
    "home-physio": (1, "chestnut", "ponytail", 1.66),
    "away-physio": (0, "fair", "cropped", 1.80),
    "referee": (2, "black", "bun", 1.70),
    "assistant-1": (1, "fair", "ponytail", 1.68),
    "assistant-2": (1, "brown", "plait", 1.67),
    "fourth": (0, "black", "short", 1.71),
    "video": (0, "fair", "bun", 1.70),
}
_BOOTS: tuple[Rgb, ...] = (
    (38, 38, 42),
    (236, 236, 230),
    (224, 96, 56),
    (58, 110, 172),
    (196, 214, 74),
    (46, 44, 50),
)

HOME = Wear((172, 44, 38), (244, 240, 230), (38, 36, 38), (172, 44, 38), (250, 248, 240))
HOME_GOALKEEPER = Wear(
    (46, 140, 88),
    (24, 52, 38),
    (38, 110, 72),
    (46, 140, 88),
    (246, 246, 240),
    long_sleeves=True,
    gloves=(238, 236, 228),
)
AWAY = Wear((234, 232, 224), (44, 62, 110), (44, 62, 110), (234, 232, 224), (36, 52, 100))
AWAY_GOALKEEPER = Wear(
    (226, 190, 58),
    (48, 46, 44),
    (198, 164, 50),
    (226, 190, 58),
    (40, 40, 44),
    long_sleeves=True,
    gloves=(232, 92, 60),
)
OFFICIALS = Wear((40, 41, 46), (196, 198, 60), (34, 35, 40), (40, 41, 46), (220, 220, 214))
HOME_COAT = Wear(
    (58, 42, 44),
    (172, 44, 38),
    (36, 36, 40),
    (36, 36, 40),
    (240, 240, 234),
    trousers=True,
    coat=True,
    long_sleeves=True,
    stripe=False,
)
AWAY_COAT = Wear(
    (42, 52, 80),
    (220, 220, 214),
    (44, 46, 54),
    (44, 46, 54),
    (240, 240, 234),
    trousers=True,
    coat=True,
    long_sleeves=True,
    stripe=False,
)
HOME_TRACKSUIT = Wear(
    (148, 40, 36),
    (240, 236, 226),
    (40, 38, 42),
    (40, 38, 42),
    (240, 240, 234),
    trousers=True,
    long_sleeves=True,
)
AWAY_TRACKSUIT = Wear(
    (52, 70, 118),
    (236, 234, 226),
    (40, 46, 66),
    (40, 46, 66),
    (240, 240, 234),
    trousers=True,
    long_sleeves=True,
)
STEWARD = Wear(
    (226, 120, 40),
    (240, 226, 120),
    (44, 46, 52),
    (44, 46, 52),
    (40, 40, 44),
    trousers=True,
    long_sleeves=True,
)


@lru_cache(maxsize=128)
def look(person: str) -> Look:
    """Skin, hair and height of somebody; of a stranger too, the same in every run."""
    mark = crc32(person.encode())
    skin, hair, style, height_m = _LOOKS.get(
        person,
        (
            mark % 6,
            list(HAIRS)[mark // 7 % len(HAIRS)],
            ("ponytail", "short", "bun", "cropped", "curls", "loose")[mark // 53 % 6],
            1.58 + mark // 331 % 24 / 100,
        ),
    )
    return Look(SKINS[skin], HAIRS[hair], style, height_m, _BOOTS[mark // 11 % len(_BOOTS)])


def wear(person: Person) -> Wear:
    """What somebody on the sheet wears at the match."""
    if person.role in (Role.HEAD_COACH, Role.MANAGER):
        return HOME_COAT if person.side is Side.HOME else AWAY_COAT
    if person.side is None:
        return OFFICIALS
    if not person.role.plays:
        return HOME_TRACKSUIT if person.side is Side.HOME else AWAY_TRACKSUIT
    if person.role is Role.GOALKEEPER:
        return HOME_GOALKEEPER if person.side is Side.HOME else AWAY_GOALKEEPER
    return HOME if person.side is Side.HOME else AWAY


def supporter(name: str, side: Side) -> tuple[Look, Wear]:
    """A stranger in the stand, in the side's colours or in a plain coat."""
    mark = crc32(name.encode())
    coats: tuple[Rgb, ...] = (
        (172, 44, 38),
        (52, 56, 66),
        (120, 36, 34),
        (84, 90, 96),
        (176, 166, 150),
        (44, 60, 88),
    )
    if side is Side.AWAY:
        coats = ((232, 230, 222), (52, 70, 118), (52, 56, 66), (200, 204, 210), (90, 88, 92))
    coat = coats[mark // 5 % len(coats)]
    scarf: Rgb = (176, 48, 42) if side is Side.HOME else (226, 224, 218)
    clothes = Wear(
        coat,
        scarf,
        (44, 46, 54),
        (44, 46, 54),
        scarf,
        trousers=True,
        coat=True,
        long_sleeves=True,
        scarf=scarf if mark % 3 else None,
        stripe=False,
    )
    return look(name), clothes


def shirt_name(person: Person) -> str:
    """What the back of the shirt says: the family name, with the initial where two share it."""
    if not person.family_name:
        return person.printed_name
    everybody = sheet().players(person.side) if person.side else ()
    twins = sum(p.family_name == person.family_name for p in everybody)
    return f"{person.printed_name[0]}. {person.family_name}" if twins > 1 else person.family_name


def by_shirt(shirt: str) -> Person:
    """The player a shirt belongs to as it is said in shorthand: `9r`, `1g`."""
    found = sheet().kit(shirt[-1])
    if found is not None and found[1] is not None:
        for person in sheet().players(found[1]):
            goalkeeper = person.role is Role.GOALKEEPER
            if person.number == int(shirt[:-1]) and goalkeeper == found[0].goalkeeper:
                return person
    raise NotFound("nobody at the demo match wears this shirt", thing=shirt)


def kit_letter(person: Person) -> str:
    """The letter of the kit somebody plays in, empty for who does not play."""
    if person.side is None:
        return "b" if person.role is not Role.VIDEO_REFEREE else ""
    if not person.role.plays:
        return ""
    kits = sheet().side(person.side).kits
    return next(k.letter for k in kits if k.goalkeeper == (person.role is Role.GOALKEEPER))
