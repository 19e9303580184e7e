"""The three cameras of the demo match: what they write, how their clocks stand, what they carry."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from setpiece.match.instants import CameraTime, Instant
from setpiece.work.demo.scenario import ZONE_OFFSET_MIN


@dataclass(frozen=True, slots=True)
class Body:
    """One camera. Its clock shows local time at the venue plus `offset_s`.

    `offset_s` is what a fit must find when the stamp is read in the venue's zone.
    `stated_zone_min` is what it writes as its zone, None when it is silent. `sub_second_digits`
    0 means whole seconds, cut. `first_number` is the file number of its first frame.
    """

    letter: str
    make: str
    model: str
    serial: str
    lens: str
    shortest_mm: int
    longest_mm: int
    width_px: int
    height_px: int
    prefix: str
    folder_number: int
    folder_name: str
    first_number: int
    offset_s: float
    stated_zone_min: int | None
    sub_second_digits: int
    upright_orientation: int

    @property
    def resolution_s(self) -> float:
        """The step of its stamps."""
        return float(10.0**-self.sub_second_digits)

    def reading(self, true: Instant) -> CameraTime:
        """What its clock shows at an instant, cut to its resolution."""
        shown = true.replace(tzinfo=None) + timedelta(
            minutes=ZONE_OFFSET_MIN, seconds=self.offset_s
        )
        step_us = 10 ** (6 - self.sub_second_digits)
        cut = shown.replace(microsecond=shown.microsecond // step_us * step_us)
        return CameraTime(cut, self.resolution_s, self.stated_zone_min)

    def stamp(self, true: Instant) -> tuple[str, str, str]:
        """EXIF's date and time, sub-seconds and zone; empty where it writes none."""
        reading = self.reading(true).reading
        digits = f"{reading.microsecond:06d}"[: self.sub_second_digits]
        return f"{reading:%Y:%m:%d %H:%M:%S}", digits, _zone(self.stated_zone_min)

    def file_name(self, index: int) -> tuple[str, str]:
        """Folder and name of its `index`th frame; after 9999 comes 0001 in the next folder."""
        count = self.first_number - 1 + index
        folder = f"{self.folder_number + count // 9999}{self.folder_name}"
        return folder, f"{self.prefix}{count % 9999 + 1:04d}.JPG"


def _zone(minutes: int | None) -> str:
    if minutes is None:
        return ""
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


BODIES: dict[str, Body] = {
    "A": Body(
        letter="A",
        make="Ostrell",
        model="Ostrell P1",
        serial="P1-204417",
        lens="Ostrell 120-500mm f/2.8-4 S",
        shortest_mm=120,
        longest_mm=500,
        width_px=2160,
        height_px=1440,
        prefix="SPA_",
        folder_number=104,
        folder_name="OSTRL",
        first_number=9941,
        offset_s=41.0,
        stated_zone_min=60,
        sub_second_digits=0,
        upright_orientation=8,
    ),
    "B": Body(
        letter="B",
        make="Ostrell",
        model="Ostrell P2",
        serial="P2-031988",
        lens="Ostrell 28-200mm f/2.8",
        shortest_mm=28,
        longest_mm=200,
        width_px=2160,
        height_px=1440,
        prefix="SPA_",
        folder_number=100,
        folder_name="OSTRL",
        first_number=1,
        offset_s=3602.6,
        stated_zone_min=None,
        sub_second_digits=2,
        upright_orientation=6,
    ),
    "C": Body(
        letter="C",
        make="Kelvane",
        model="Kelvane C-20",
        serial="7720035516",
        lens="Kelvane 18-55mm f/2.8",
        shortest_mm=18,
        longest_mm=55,
        width_px=2880,
        height_px=1920,
        prefix="KLV_",
        folder_number=112,
        folder_name="KELVA",
        first_number=612,
        offset_s=0.0,
        stated_zone_min=60,
        sub_second_digits=3,
        upright_orientation=8,
    ),
}
"""A is 41 s fast, B stands on summer time in March and says no zone, C is right.

A and B name their files alike, so that names collide; A runs over 9999.
"""


def local(true: Instant) -> datetime:
    """The time at the venue, without its zone."""
    return true.replace(tzinfo=None) + timedelta(minutes=ZONE_OFFSET_MIN)
