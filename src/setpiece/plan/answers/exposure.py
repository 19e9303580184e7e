"""What the exposure command answers: the ISO each lens needs, and what grounds are asked for."""

from __future__ import annotations

from typing_extensions import TypedDict

from setpiece.plan.answers import CautionSaid, cautions_of, short
from setpiece.plan.caution import Part
from setpiece.plan.exposure import (
    FLAT_C,
    HALF_SPHERE_C,
    ISO_STEPS,
    STANDARDS,
    ev_at_iso_100,
    ev_of,
    exposure_needed_s,
    iso_for_lens,
    iso_needed,
    iso_to_set,
)
from setpiece.plan.motion import steady_exposures_s
from setpiece.plan.optics import Lens


class LensIso(TypedDict):
    """One lens wide open; `iso_to_set` is null when no camera offers that much.

    `ev` is the setting's exposure value; `exposure_at_iso_s` the shutter at the ISO that was
    given, null where none was.
    """

    lens: str
    f_number: float
    iso: float
    iso_half_sphere: float
    iso_to_set: int | None
    ev: float
    exposure_at_iso_s: float | None


class StandardAsked(TypedDict):
    """What a rule book asks; `reached` is null where it asks on the level, not the upright."""

    who: str
    illuminance_lx: float
    plane: str
    iso_at_f_2_8: float
    reached: bool | None
    source: str


class ExposureAnswer(TypedDict):
    """Everything `setpiece plan exposure` says."""

    illuminance_lx: float
    ev_at_iso_100: float
    exposure_s: float
    lenses: list[LensIso]
    steady_exposures_s: list[float]
    standards: list[StandardAsked]
    cautions: list[CautionSaid]


def exposure_answer(
    illuminance_lx: float,
    lenses: tuple[Lens, ...],
    exposure_s: float,
    mains_hz: float,
    iso: float | None = None,
) -> ExposureAnswer:
    """Each lens wide open in that light; the flat receptor's figure, and the half-sphere's."""
    return {
        "illuminance_lx": short(illuminance_lx, 1),
        "ev_at_iso_100": short(ev_at_iso_100(illuminance_lx), 2),
        "exposure_s": exposure_s,
        "lenses": [_lens(lens, illuminance_lx, exposure_s, iso) for lens in lenses],
        "steady_exposures_s": [short(t, 6) for t in steady_exposures_s(mains_hz)],
        "standards": [
            {
                "who": s.who,
                "illuminance_lx": s.lux,
                "plane": s.plane,
                "iso_at_f_2_8": short(iso_needed(s.lux, 2.8, exposure_s), 0),
                "reached": illuminance_lx >= s.lux if s.plane == "vertical" else None,
                "source": s.source,
            }
            for s in STANDARDS
        ],
        "cautions": cautions_of(Part.EXPOSURE),
    }


def _lens(lens: Lens, illuminance_lx: float, exposure_s: float, at_iso: float | None) -> LensIso:
    iso = iso_for_lens(lens, illuminance_lx, exposure_s)
    return {
        "lens": lens.name,
        "f_number": short(lens.widest_f_number, 2),
        "iso": short(iso, 0),
        "iso_half_sphere": short(iso * HALF_SPHERE_C / FLAT_C, 0),
        "iso_to_set": iso_to_set(iso) if iso <= ISO_STEPS[-1] else None,
        "ev": short(ev_of(lens.widest_f_number, exposure_s), 2),
        "exposure_at_iso_s": None
        if at_iso is None
        else short(exposure_needed_s(illuminance_lx, lens.widest_f_number, at_iso), 7),
    }
