"""File names by a desk's pattern: ASCII, no blanks, short enough, no two alike."""

from __future__ import annotations

import re
from collections.abc import Collection
from zlib import crc32
from zoneinfo import ZoneInfo

from setpiece.captions.caption import Caption
from setpiece.captions.compose_words import competition_name
from setpiece.captions.patterns import fill
from setpiece.captions.situation import Situation
from setpiece.captions.style import HouseStyle
from setpiece.captions.translit import ascii_only

ENDING = ".jpg"
_NOT_IN_NAMES = re.compile(r"[^A-Za-z0-9._-]+")
_RUNS = re.compile(r"([_-])[_-]+")


def plain_name(text: str) -> str:
    """The text as part of a file name: ASCII letters, digits, dots, dashes; words joined."""
    return _NOT_IN_NAMES.sub("-", ascii_only(text)).strip("-._")


def file_name(
    style: HouseStyle,
    caption: Caption,
    situation: Situation,
    *,
    camera: str,
    number: int | None,
    frame: str,
    taken: Collection[str] = (),
) -> str:
    """The name a rendition has at the desk, with `.jpg`; never one that is `taken`.

    `camera` is the body's letter, `number` the camera's file number, `frame` the frame's id.
    A name longer than the style allows is cut, and a check figure of the whole keeps it its own.
    """
    values = _values(style, caption, situation, camera, number, frame)
    whole = _RUNS.sub(r"\1", plain_name(fill(style.file_name, values))) or plain_name(frame)
    most = style.file_name_most - len(ENDING)
    own = f"-{crc32(f'{whole} {frame}'.encode()):08x}"
    name = whole if len(whole) <= most else whole[: most - len(own)].rstrip("-._") + own
    if name + ENDING in taken:
        name = name[: most - len(own)].rstrip("-._") + own
    return name + ENDING


def folder_name(
    pattern: str,
    style: HouseStyle,
    caption: Caption,
    situation: Situation,
    *,
    camera: str,
    number: int | None,
    frame: str,
) -> str:
    """The folder of a rendition at the desk, by a pattern with the values of file names.

    Folders without a pattern stay as they are; one that a pattern leaves empty is left out.
    """
    if "{" not in pattern:
        return pattern
    values = _values(style, caption, situation, camera, number, frame)
    filled = fill(pattern, values)
    parts = [p for p in filled.split("/") if p.strip() not in ("", ".", "..")]
    return ("/" if filled.startswith("/") else "") + "/".join(parts)


def fixed_folder(pattern: str) -> str:
    """The part of a desk's folder that is the same for every picture."""
    return pattern.partition("{")[0].rpartition("/")[0] if "{" in pattern else pattern


def _values(
    style: HouseStyle,
    caption: Caption,
    situation: Situation,
    camera: str,
    number: int | None,
    frame: str,
) -> dict[str, str]:
    """What the patterns of file and folder names may fill in."""
    sheet, fixture = situation.sheet, situation.fixture
    at = situation.at.middle.astimezone(ZoneInfo(fixture.time_zone))
    label = caption.facts.minute or situation.state.label
    people = [p.name.split()[-1] for p in caption.facts.people[:2]]
    return {
        "date": f"{at:%Y%m%d}",
        "time": f"{at:%H%M%S}",
        "home": plain_name(sheet.home.short_name),
        "away": plain_name(sheet.away.short_name),
        "competition": plain_name(competition_name(situation, style)),
        "camera": plain_name(camera),
        "number": f"{number:04d}" if number is not None else "0000",
        "minute": str(label).replace("+", "-") if label is not None else "",
        "people": "-".join(plain_name(name) for name in people),
        "creator": plain_name(caption.fields.creator[0]) if caption.fields.creator else "",
        "frame": plain_name(frame),
        "act": plain_name(caption.reading.act) if caption.reading is not None else "",
    }


def correction_name(style: HouseStyle, name: str, count: int) -> str:
    """The file name of a picture's nth correction, by the style, no longer than it allows.

    `name` is what the picture would be called if it were new. Where the whole is too long, that
    name is cut at its beginning: camera and number, which tell pictures apart, stand at the end.
    """
    stem, most = name.removesuffix(ENDING), style.file_name_most - len(ENDING)
    kept = stem
    while len(made := _marked(style, kept, count)) > most and kept:
        kept = kept[1:]
    return made[:most] + ENDING


def _marked(style: HouseStyle, stem: str, count: int) -> str:
    return plain_name(fill(style.correction_name, {"name": stem, "count": count}))
