"""What is chosen on the page before the match, kept with it: list, seats, cameras, the day."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.day import Contact
from setpiece.plan.flight import Ball, Kick
from setpiece.plan.limits import within
from setpiece.plan.optics import Lens, Orientation, Sensor
from setpiece.plan.pitch import End, Pitch
from setpiece.plan.templates import template
from setpiece.plan.typed import choose, read_kick, read_lens, read_sensor, read_shutter

USUAL_LENSES = ("400/2.8", "70-200/2.8", "24-70/2.8")
MOST_LENSES = 4
AIM = "0,1.22"  # the goal's middle
START = {"free-kick": "6,22"}  # where nothing is typed, ours


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything as typed. `seats` stand in place of the ground's; `struck` are keys of the list.

    `kind`, `start`, `speed_m_s`, `focal_length_mm` and `orientation` are the strike's: a penalty,
    a free kick or a header. `bodies` are cameras.
    """

    template: str = "league"
    struck: tuple[str, ...] = ()
    seats: tuple[Seat, ...] = ()
    lenses: tuple[str, ...] = USUAL_LENSES
    sensor: str = "36x24"
    pixels: str = "6000x4000"
    shutter: str = "1/1000"
    frames_per_s: float = 20.0
    focal_length_mm: float = 200.0
    orientation: str = "landscape"
    kind: str = "penalty"
    start: str = ""
    speed_m_s: float = 28.0
    travel_min: int = 0
    bodies: int = 2
    rain: bool = False
    contacts: tuple[Contact, ...] = ()

    def __post_init__(self) -> None:
        template(self.template)
        if not 1 <= len(self.lenses) <= MOST_LENSES:
            raise WrongUse(
                f"the plan takes one to {MOST_LENSES} lenses",
                thing=", ".join(self.lenses) or "none",
                next_step="Write them as 400/2.8, 70-200/2.8.",
            )
        _ = (self.glass, self.strike(Pitch(), End.NEAR), self.camera(Seat("", 0, 0)))
        within(self.travel_min, 0, 24 * 60, what="the way to the ground", unit="minutes")
        within(self.bodies, 1, 6, what="cameras")

    @property
    def glass(self) -> tuple[Lens, ...]:
        """The lenses."""
        return tuple(read_lens(text) for text in self.lenses)

    @property
    def chip(self) -> Sensor:
        """The sensor."""
        return read_sensor(self.sensor, self.pixels)

    @property
    def exposure_s(self) -> float:
        """The shutter speed."""
        return read_shutter(self.shutter)

    def strike(self, pitch: Pitch, end: End) -> Kick:
        """The kick or header at that goal; a penalty comes from its mark whatever `start` says."""
        start = "" if self.kind == "penalty" else self.start or START.get(self.kind, "")
        return read_kick(self.kind, start, AIM, self.speed_m_s, Ball(), pitch, end)

    def camera(self, seat: Seat) -> Camera:
        """The camera for it, at a seat."""
        way = choose(Orientation, self.orientation, "a way to hold a camera")
        return Camera(
            seat, self.focal_length_mm, way, self.frames_per_s, self.exposure_s, self.chip
        )
