"""The share of sharp frames by lens, shutter, distance and minute, and the settings used.

A frame is held against the sharpest of its camera in its passage, because focus figures of two
scenes do not compare; one that stands alone is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from setpiece.plan.debrief.facts import FrameFact
from setpiece.plan.typed import write_shutter

LEAST = 4
"""A share of fewer frames says nothing and is left out."""

STEPS_MM = (35.0, 70.0, 135.0, 200.0, 300.0, 400.0)
STEPS_M = (8.0, 16.0, 32.0, 64.0)
"""Where one kind ends and the next begins."""

MINUTES = 15


@dataclass(frozen=True, slots=True)
class Share:
    """How many frames of a kind were sharp, of how many."""

    name: str
    sharp: int
    of: int

    @property
    def share(self) -> float:
        """From 0 to 1."""
        return self.sharp / self.of


@dataclass(frozen=True, slots=True)
class Settings:
    """What one camera was set to: ranges and the middle value. Texts are as printed."""

    camera: str
    lens: str
    frames: int
    focal: str
    shutter: str
    aperture: str
    iso: str


def by_focal(frames: Sequence[FrameFact]) -> tuple[Share, ...]:
    """By focal length as a zoom was set, shortest first."""
    return _shares(frames, lambda f: _step(f.focal_length_mm, STEPS_MM),
                   lambda v: _step_words(v, STEPS_MM, "mm"))  # fmt: skip


def by_shutter(frames: Sequence[FrameFact]) -> tuple[Share, ...]:
    """By shutter speed, slowest first."""
    found = _shares(frames, lambda f: -f.exposure_s if f.exposure_s else None,
                    lambda v: f"{write_shutter(-v)} s")  # fmt: skip
    return found


def by_distance(frames: Sequence[FrameFact]) -> tuple[Share, ...]:
    """By the distance the camera wrote, in doublings; empty where none wrote one."""
    return _shares(frames, lambda f: _step(f.distance_m, STEPS_M),
                   lambda v: _step_words(v, STEPS_M, "m"))  # fmt: skip


def by_minute(frames: Sequence[FrameFact]) -> tuple[Share, ...]:
    """By quarter of an hour of each period."""

    def quarter(frame: FrameFact) -> float | None:
        if frame.period is None or frame.elapsed_s is None or frame.period > 2:
            return None
        part = min(int(frame.elapsed_s // 60 // MINUTES), 2)
        return float((frame.period - 1) * 3 + part)

    return _shares(frames, quarter, lambda v: f"{int(v) * MINUTES + 1}–{int(v + 1) * MINUTES}'")


def _step(value: float | None, steps: Sequence[float]) -> float | None:
    if value is None:
        return None
    return float(sum(value >= step for step in steps))


def _step_words(step: float, steps: Sequence[float], unit: str) -> str:
    at = int(step)
    if at == 0:
        return f"under {steps[0]:g} {unit}"
    if at == len(steps):
        return f"from {steps[-1]:g} {unit}"
    return f"{steps[at - 1]:g}–{steps[at]:g} {unit}"


def _shares(
    frames: Iterable[FrameFact],
    key: Callable[[FrameFact], float | None],
    words: Callable[[float], str],
) -> tuple[Share, ...]:
    counts: dict[float, list[bool]] = {}
    for frame in frames:
        value = key(frame)
        if value is not None and frame.sharp is not None:
            counts.setdefault(value, []).append(frame.sharp)
    return tuple(
        Share(words(value), sum(found), len(found))
        for value, found in sorted(counts.items())
        if len(found) >= LEAST
    )


def settings(frames: Sequence[FrameFact]) -> tuple[Settings, ...]:
    """What each camera was set to, by its letter."""
    cameras = sorted({f.camera for f in frames})
    return tuple(_settings(c, [f for f in frames if f.camera == c]) for c in cameras)


def _settings(camera: str, frames: Sequence[FrameFact]) -> Settings:
    lenses = sorted({f.lens for f in frames if f.lens})
    return Settings(
        camera,
        ", ".join(lenses),
        len(frames),
        _range([f.focal_length_mm for f in frames], lambda v: f"{v:g}", " mm"),
        _range([f.exposure_s for f in frames], write_shutter, " s", reverse=True),
        _range([f.f_number for f in frames], lambda v: f"f/{v:g}", ""),
        _range([f.iso for f in frames], lambda v: f"{v:g}", ""),
    )


def _range(
    values: Iterable[float | None], words: Callable[[float], str], unit: str,
    *, reverse: bool = False,
) -> str:  # fmt: skip
    """`200–400 mm, mostly 400 mm`; one value where there is only one."""
    known = sorted((v for v in values if v is not None), reverse=reverse)
    if not known:
        return "–"
    if known[0] == known[-1]:
        return f"{words(known[0])}{unit}"
    middle = min(known, key=lambda v: abs(v - median(known)))
    return f"{words(known[0])} to {words(known[-1])}{unit}, mostly {words(middle)}{unit}"
