"""The shot plan as single exposures: when each was made, how sharp it is, under which name.

Everything follows from the plan and one fixed seed; nothing here draws.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from functools import lru_cache
from zlib import crc32

import numpy as np

from setpiece.match.instants import Instant, instant
from setpiece.work.demo.bodies import BODIES, Body, local
from setpiece.work.demo.light import light_at
from setpiece.work.demo.scene import Moment
from setpiece.work.demo.shots import passages
from setpiece.work.demo.staging import Passage, Take, iso_of

SEED = 20270306

_JITTER_S = 0.006
_SOFT_STEPS_PX = (2.2, 2.8, 3.4, 4.2, 5.0, 6.2, 7.5)
"""Widths of blur that the softer frames of a passage get, in pixels as stored."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """One release of one camera. `number_in_take` counts from 0; `id` is its name in the plan."""

    id: str
    passage: str
    take: int
    number_in_take: int
    camera: str
    true: Instant
    folder: str
    name: str
    moment: Moment
    iso: int
    sharpest: bool
    card_newest: Instant | None = None

    @property
    def body(self) -> Body:
        """The camera that made it."""
        return BODIES[self.camera]


def passage(ident: str) -> Passage:
    """The passage of that name."""
    return next(p for p in passages() if p.id == ident)


def take_of(exposure: Exposure) -> Take:
    """The take an exposure belongs to."""
    return passage(exposure.passage).takes[exposure.take]


@lru_cache(maxsize=1)
def exposures() -> tuple[Exposure, ...]:
    """Every exposure of the day in order of true time; names run on for each camera."""
    made: list[Exposure] = []
    for one in passages():
        made += _of_passage(one)
    made.sort(key=lambda e: (e.true, e.camera))
    counts = dict.fromkeys(BODIES, 0)
    named: list[Exposure] = []
    for exposure in made:
        folder, name = exposure.body.file_name(counts[exposure.camera])
        counts[exposure.camera] += 1
        named.append(replace(exposure, folder=folder, name=name))
    return tuple(named)


def _of_passage(one: Passage) -> list[Exposure]:
    rng = np.random.default_rng([SEED, crc32(one.id.encode())])
    when = local(one.start)
    light = light_at(when.hour + when.minute / 60)
    keen = next(index for index, take in enumerate(one.takes) if take.keen)
    best = int(rng.integers(0, one.takes[keen].count))
    made: list[Exposure] = []
    for index, take in enumerate(one.takes):
        iso = iso_of(light, take.shutter_s, take.aperture)
        steps = rng.permutation(len(_SOFT_STEPS_PX))
        pan = rng.normal(0, 0.004, (take.count, 2)).cumsum(axis=0).clip(-0.04, 0.04)
        pan = (pan * take.body.width_px).round()
        for number in range(take.count):
            sharpest = index == keen and number == best
            after_s = number * take.gap_s
            jitter_s = float(rng.uniform(-_JITTER_S, _JITTER_S)) if number else 0.0
            true = instant(
                one.start + timedelta(seconds=round(take.delay_s + after_s + jitter_s, 3))
            )
            moment = Moment(
                index=number,
                after_s=after_s,
                soft_px=0.0
                if sharpest
                else _soft_px(take, float(_SOFT_STEPS_PX[steps[number % 7]])),
                softness="focus" if rng.random() < 0.6 or not take.keen else "sideways",
                pan_px=(int(pan[number, 0]), int(pan[number, 1])),
                grain=1.2 + 0.75 * float(np.log2(iso / 400)),
                noise_at=(int(rng.integers(0, 1000)), int(rng.integers(0, 1000))),
            )
            newest = _shown(true, float(rng.uniform(0.02, 0.09))) if take.phone else None
            made.append(
                Exposure(
                    id=f"{one.id}/{take.camera}{number + 1}",
                    passage=one.id,
                    take=index,
                    number_in_take=number,
                    camera=take.camera,
                    true=true,
                    folder="",
                    name="",
                    moment=moment,
                    iso=iso,
                    sharpest=sharpest,
                    card_newest=newest,
                )
            )
    return made


def _soft_px(take: Take, step_px: float) -> float:
    """How soft a frame that is not the sharpest is: the larger sensor's pixels are finer."""
    if take.phone:
        return min(step_px, 3.0)
    if not take.keen:  # never as sharp as the best of the camera beside it
        step_px = 4.5 + step_px / 2
    return step_px * take.body.width_px / 2160


def _shown(true: Instant, latency_s: float) -> Instant:
    """The newest instant on the clock card: the last full tenth that had reached the screen."""
    seen = true - timedelta(seconds=latency_s)
    return instant(seen.replace(microsecond=seen.microsecond // 100_000 * 100_000))
