"""What moves while the shutter is open: blur, panning, flicker of floodlights, readout.

blur        = m v sin(angle) t / pitch                       pixels
pan streak  = f (v sin(angle) / d) t / pitch                 pixels, whatever stands behind
floodlight  1 + a cos(2 pi F t), F twice the mains; what is left of it after an exposure
            is a |sinc(F t)|: nothing at t = k / F
stops peak to peak = log2((1 + r) / (1 - r))
row time    = readout / rows
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.plan.limits import within
from setpiece.plan.optics import Sensor, magnification

FASTEST_EXPOSURE_S = 1 / 64_000
SLOWEST_EXPOSURE_S = 30.0


@dataclass(frozen=True, slots=True)
class Movement:
    """Something that moves in a match, and how fast at its fastest."""

    name: str
    speed_m_s: float
    source: str


SPRINT = Movement(
    "sprint",
    8.5,
    "peak speeds of players 29.11 to 31.64 km/h: Biol Sport 2025;42(1):193, abstract",
)
KICK = Movement(
    "kicked ball",
    30.0,
    "maximal kicks 28.60 to 34.48 m/s: Andersen and Doerge 2011, "
    "doi 10.1111/j.1600-0838.2009.01024.x",
)
ACCURATE_KICK_SHARE = 0.85  # of the maximal speed under an accuracy demand: the same paper
AIMED_KICK = Movement("aimed kick", ACCURATE_KICK_SHARE * KICK.speed_m_s, KICK.source)
SWERVE = Movement(
    "swerving kick, instep", 23.5, "professionals: taylorfrancis 9780203412992, ch. 9"
)
OUTSTEP = Movement("swerving kick, outstep", 20.9, SWERVE.source)
HEADER = Movement("headed ball", 15.0, "common practice, no source")
MOVEMENTS = (SPRINT, KICK, AIMED_KICK, SWERVE, OUTSTEP, HEADER)


# Full-frame readouts in seconds, fastest to slowest of four measured models: README and
# results/full_sensor.json of the repository horshack-dpreview/RollingShutter.
MEASURED_READOUTS_S = (0.00373, 0.00479, 0.0147, 0.0508)

# UEFA Stadium Lighting Guide 2023, 12-point flicker factor test: class, average, maximum.
# A limit of None is not set there.
FLICKER_LIMITS = (
    ("Elite A", 0.03, None),
    ("A", 0.05, None),
    ("B", 0.12, 0.15),
    ("C", 0.20, 0.30),
)


def _blur_per_second(
    sensor: Sensor,
    focal_length_mm: float,
    distance_m: float,
    speed_m_s: float,
    angle_deg: float,
) -> float:
    within(speed_m_s, 0, 60, what="a speed", unit="m/s")
    within(angle_deg, 0, 180, what="the angle to the line of sight", unit="degrees")
    across = speed_m_s * math.sin(math.radians(angle_deg))
    return magnification(focal_length_mm, distance_m) * across * 1000 / sensor.pixel_pitch_mm


def blur_px(
    sensor: Sensor,
    focal_length_mm: float,
    distance_m: float,
    speed_m_s: float,
    exposure_s: float,
    *,
    angle_deg: float = 90,
) -> float:
    """How many pixels something smears; `angle_deg` is between its way and the line of sight."""
    _exposure(exposure_s)
    return exposure_s * _blur_per_second(sensor, focal_length_mm, distance_m, speed_m_s, angle_deg)


def blur_cm(speed_m_s: float, exposure_s: float) -> float:
    """How far something moves while the shutter is open, in centimetres."""
    within(speed_m_s, 0, 60, what="a speed", unit="m/s")
    return speed_m_s * _exposure(exposure_s) * 100


def exposure_for_blur_s(
    sensor: Sensor,
    focal_length_mm: float,
    distance_m: float,
    speed_m_s: float,
    pixels: float,
    *,
    angle_deg: float = 90,
) -> float:
    """The longest exposure that smears no more than that many pixels. `inf` when nothing moves."""
    within(pixels, 0.01, 10_000, what="a blur", unit="pixels")
    rate = _blur_per_second(sensor, focal_length_mm, distance_m, speed_m_s, angle_deg)
    return pixels / rate if rate > 0 else math.inf


def pan_streak_px(
    sensor: Sensor,
    focal_length_mm: float,
    distance_m: float,
    speed_m_s: float,
    exposure_s: float,
    *,
    angle_deg: float = 90,
) -> float:
    """How long the background's streaks are when the camera follows someone at `distance_m`."""
    return _exposure(exposure_s) * _pan_rate(
        sensor, focal_length_mm, distance_m, speed_m_s, angle_deg
    )


def exposure_for_streak_s(
    sensor: Sensor,
    focal_length_mm: float,
    distance_m: float,
    speed_m_s: float,
    pixels: float,
    *,
    angle_deg: float = 90,
) -> float:
    """The exposure that gives streaks of that length when the camera follows someone."""
    within(pixels, 0.01, 40_000, what="a streak", unit="pixels")
    rate = _pan_rate(sensor, focal_length_mm, distance_m, speed_m_s, angle_deg)
    if rate <= 0:
        raise WrongUse(
            "who does not cross the line of sight gives no streak",
            thing=f"{speed_m_s:g} m/s at {angle_deg:g} degrees",
            next_step="Give a speed across the view.",
        )
    return pixels / rate


def _pan_rate(
    sensor: Sensor, focal_length_mm: float, distance_m: float, speed_m_s: float, angle_deg: float
) -> float:
    within(speed_m_s, 0, 60, what="a speed", unit="m/s")
    within(distance_m, 1, 1000, what="the distance", unit="m")
    turn_rad_s = speed_m_s * math.sin(math.radians(angle_deg)) / distance_m
    return focal_length_mm * turn_rad_s / sensor.pixel_pitch_mm


def remaining_ripple(flicker_factor: float, mains_hz: float, exposure_s: float) -> float:
    """What an exposure leaves of a floodlight's ripple; both as (max - min) / (max + min)."""
    within(flicker_factor, 0, 1, what="a flicker factor")
    turns = light_hz(mains_hz) * _exposure(exposure_s)
    return flicker_factor * abs(math.sin(math.pi * turns) / (math.pi * turns))


def flicker_stops(ripple: float) -> float:
    """From the darkest to the brightest frame, in stops."""
    within(ripple, 0, 0.99, what="a ripple")
    return math.log2((1 + ripple) / (1 - ripple))


def light_hz(mains_hz: float) -> float:
    """How often a floodlight on the mains brightens in a second: twice the mains."""
    return 2 * within(mains_hz, 16, 400, what="the mains", unit="Hz")


def steady_exposures_s(mains_hz: float, longest: int = 4) -> tuple[float, ...]:
    """The exposures at which the ripple cancels: one, two, three ... periods of the light."""
    return tuple(k / light_hz(mains_hz) for k in range(1, longest + 1))


def bands_in_frame(readout_s: float, mains_hz: float) -> float:
    """How many bright bands a rolling shutter draws over the frame."""
    return within(readout_s, 0, 0.5, what="a readout", unit="s") * light_hz(mains_hz)


def row_time_s(readout_s: float, rows: int) -> float:
    """From the start of one row to the start of the next."""
    within(rows, 1, 40_000, what="rows")
    return within(readout_s, 0, 0.5, what="a readout", unit="s") / rows


def lean_px(
    sensor: Sensor, focal_length_mm: float, distance_m: float, speed_m_s: float, readout_s: float
) -> float:
    """How far a rolling shutter makes something lean that crosses the frame from foot to head."""
    within(readout_s, 0, 0.5, what="a readout", unit="s")
    return readout_s * _blur_per_second(sensor, focal_length_mm, distance_m, speed_m_s, 90)


def _exposure(exposure_s: float) -> float:
    return within(exposure_s, FASTEST_EXPOSURE_S, SLOWEST_EXPOSURE_S, what="an exposure", unit="s")
