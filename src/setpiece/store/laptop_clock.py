"""The laptop's clock as it was seen: every time it was set is kept, since it is the reference."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import insert, select, update

from setpiece.match.instants import Instant, instant, read_instant
from setpiece.store.tables import clock_step
from setpiece.store.workspace import Workspace

STEP_S = 0.25
"""A difference from this on is a step: clocks that are only kept in time are moved slowly."""


@dataclass(frozen=True, slots=True)
class ClockReading:
    """The laptop's clock, and the seconds its system has been running, at one moment.

    `boot` names the run of the system that `running_s` counts from.
    """

    boot: str
    running_s: float
    at: Instant


@dataclass(frozen=True, slots=True)
class ClockStep:
    """The laptop's clock was set by `step_s` (positive: forward), noticed at `at`."""

    at: Instant
    step_s: float


def note_reading(space: Workspace, reading: ClockReading) -> float:
    """Compares a reading with the last one of the same boot; gives and keeps the step, if any.

    0.0 when the clock went on as it should, or when there is nothing to compare with.
    """
    with space.writing() as connection:
        last = connection.execute(
            select(clock_step)
            .where(clock_step.c.boot == reading.boot)
            .order_by(clock_step.c.id.desc())
        ).first()
        values = {
            "boot": reading.boot,
            "running_s": reading.running_s,
            "at": reading.at.isoformat(),
        }
        if last is None:
            connection.execute(insert(clock_step).values(**values, step_s=0.0))
            return 0.0
        went_s = reading.running_s - last.running_s
        expected = read_instant(last.at) + timedelta(seconds=went_s)
        step_s = (reading.at - instant(expected)).total_seconds()
        if abs(step_s) >= STEP_S:
            connection.execute(insert(clock_step).values(**values, step_s=step_s))
            return step_s
        connection.execute(
            update(clock_step)
            .where(clock_step.c.id == last.id)
            .values(running_s=reading.running_s, at=reading.at.isoformat())
            if not last.step_s
            else insert(clock_step).values(**values, step_s=0.0)
        )
        return 0.0


def steps(space: Workspace) -> tuple[ClockStep, ...]:
    """Every time the laptop's clock was set while it was watched, oldest first."""
    with space.reading() as connection:
        rows = connection.execute(
            select(clock_step).where(clock_step.c.step_s != 0.0).order_by(clock_step.c.id)
        ).all()
    return tuple(ClockStep(read_instant(r.at), r.step_s) for r in rows)
