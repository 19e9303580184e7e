"""What is drawn of a person: body, clothes, and a place in the frame."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.work.demo.brush import Rgb


@dataclass(frozen=True, slots=True)
class Look:
    """What a person looks like without clothes of the day. Colours are sRGB 0 to 255."""

    skin: Rgb
    hair: Rgb
    style: str = "ponytail"
    height_m: float = 1.70
    boots: Rgb = (40, 40, 44)


@dataclass(frozen=True, slots=True)
class Wear:
    """What a person wears. `trousers` covers the legs; `coat` lengthens the top."""

    shirt: Rgb
    trim: Rgb
    shorts: Rgb
    socks: Rgb
    print_colour: Rgb
    trousers: bool = False
    coat: bool = False
    long_sleeves: bool = False
    gloves: Rgb | None = None
    bib: Rgb | None = None
    scarf: Rgb | None = None
    stripe: bool = True


@dataclass(frozen=True, slots=True)
class Figure:
    """A person to be drawn: where the feet stand in the frame and how large.

    `x`, `y` in px; `height_px` is standing height; `yaw_deg` 0 faces the lens, 90 the right.
    `held` names a thing in the right hand.
    """

    look: Look
    wear: Wear
    pose: str
    x: float
    y: float
    height_px: float
    yaw_deg: float
    number: str = ""
    name: str = ""
    armband: bool = False
    held: str = ""
