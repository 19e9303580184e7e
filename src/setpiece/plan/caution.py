"""Cautions, each with its source, and the part of the plan it belongs to.

Setpiece gives no advice on safety as if it were certain: it repeats the usual caution and points
to the ground's own rules.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Part(StrEnum):
    """The parts of the plan that carry cautions."""

    SEAT = "seat"
    PENALTY = "penalty"
    LENS = "lens"
    LIGHT = "light"
    EXPOSURE = "exposure"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: what to keep to, who says so, where it is shown."""

    text: str
    source: str
    parts: tuple[Part, ...]


CAUTIONS = (
    Caution(
        "The ground's own media rules come first: working rules and risk are agreed before the "
        "match, and nobody at the pitch side may hinder safety.",
        "Sports Grounds Safety Authority, sgsa.org.uk, Media provision",
        (Part.SEAT, Part.PENALTY),
    ),
    Caution(
        "Stay behind the boards on the goal lines; the touch line only opposite the benches and "
        "where there is room. Change ends at half-time only. Wear the bib at all times.",
        "UEFA Conference League regulations 2024/25, article 86",
        (Part.SEAT,),
    ),
    Caution(
        "Nobody moves behind the goal during a penalty.",
        "DBU guideline for photographers, dbu.dk",
        (Part.PENALTY,),
    ),
    Caution(
        "No remote camera or other equipment on posts or nets.",
        "DBU guideline for photographers, dbu.dk; Laws of the Game, Law 1",
        (Part.PENALTY, Part.SEAT),
    ),
    Caution(
        "Keep the sun well out of the frame: focused sunlight in or near the frame can start a "
        "fire.",
        "Nikon D90 manual, p. XIV, as quoted at outdoorphotographer.com",
        (Part.LIGHT,),
    ),
    Caution(
        "Never look at the sun through a long lens or an optical finder: the injury is painless "
        "and can be permanent.",
        "photo.stackexchange.com question 116444, citing NASA",
        (Part.LIGHT, Part.LENS),
    ),
    Caution(
        "Do not leave a lens facing the sun, cap it: strong light can damage the sensor.",
        "Nikon D800 manual, p. 401",
        (Part.LIGHT, Part.LENS),
    ),
    Caution(
        "Computed for a clear sky and published standards: measure at the ground before kick-off.",
        "ours",
        (Part.EXPOSURE,),
    ),
)


def cautions(*parts: Part) -> tuple[Caution, ...]:
    """The cautions of some parts of the plan, each once."""
    return tuple(c for c in CAUTIONS if set(c.parts) & set(parts))
