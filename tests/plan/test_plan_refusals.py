"""Where each formula of the plan stops, and what is said to whoever asks beyond."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from setpiece.errors import SetpieceError, WrongUse
from setpiece.match.fixture import Fixture
from setpiece.match.instants import instant
from setpiece.plan.camera import Camera, Seat, aim_at, aim_between
from setpiece.plan.choices import Choices
from setpiece.plan.coverage import cells
from setpiece.plan.day import day_plan, packing
from setpiece.plan.debrief.facts import KickFact
from setpiece.plan.exposure import (
    ev_at_iso_100,
    ev_of,
    exposure_needed_s,
    iso_needed,
    iso_to_set,
    light_metered_lx,
    light_of_ev_lx,
)
from setpiece.plan.flight import Ball, Kick, free_kick, penalty
from setpiece.plan.ground import Boards, Dugout, Flank, Ground, Stand, Zone
from setpiece.plan.light import LOWEST_SUN_DEG, local_instant, reach_error_m, shadow_m
from setpiece.plan.limits import within
from setpiece.plan.motion import (
    bands_in_frame,
    blur_cm,
    blur_px,
    exposure_for_blur_s,
    exposure_for_streak_s,
    flicker_stops,
    lean_px,
    light_hz,
    pan_streak_px,
    remaining_ripple,
    row_time_s,
)
from setpiece.plan.occlusion import lens_height_over_boards_m, width_behind_post_m
from setpiece.plan.optics import (
    Lens,
    Orientation,
    Sensor,
    angle_of_view_deg,
    depth_of_field,
    distance_for_share_m,
    focal_length_for_share_mm,
    hyperfocal_m,
    magnification,
)
from setpiece.plan.penalty import longest_focal_mm
from setpiece.plan.pitch import PENALTY_AREA_WIDTH_M, End, Pitch, Point
from setpiece.plan.run import run_at_camera
from setpiece.plan.shotlist import Shot
from setpiece.plan.sun import sun_at
from setpiece.plan.tables import ground_from
from setpiece.plan.templates import TEMPLATES, template
from setpiece.plan.typed import (
    choose,
    read_contact,
    read_kick,
    read_lens,
    read_local,
    read_metered,
    read_numbers,
    read_seat,
    read_sensor,
    read_shutter,
    read_stand,
    read_zone,
)
from setpiece.plan.wants import Angle, Want

CHIP = Sensor()
AT = instant(datetime(2027, 3, 6, 14, 0, tzinfo=UTC))
TIE = Fixture("m", "A", "B", "Cup", AT, "Europe/Vienna")


def run(**more: float) -> object:
    """A run at a camera."""
    values = {"speed_m_s": 8.0, "frames_per_s": 20.0, "focus_m": 20.0} | more
    return run_at_camera(CHIP, Orientation.PORTRAIT, 400, 2.8, **values)


Made = Callable[[float], object]
LIMITS: list[tuple[Made, float, float, str, str]] = [
    (lambda v: Seat("s", v, 0), -250, 250, "x of a seat", " m"),
    (lambda v: Seat("s", 0, v), -250, 400, "y of a seat", " m"),
    (lambda v: Seat("s", 0, 0, v), 0.05, 60, "the height of a lens", " m"),
    (lambda v: Camera(Seat("s", 0, 0), v), 5, 2400, "a focal length", " mm"),
    (lambda v: Camera(Seat("s", 0, 0), 400, frames_per_s=v), 0.1, 240, "a frame rate",
     " frames/s"),
    (lambda v: Camera(Seat("s", 0, 0), 400, frames_per_s=1, exposure_s=v), 0, 1, "an exposure",
     " s"),
    (lambda v: Sensor(v, 24), 4, 70, "the width of a sensor", " mm"),
    (lambda v: Sensor(36, v), 3, 70, "the height of a sensor", " mm"),
    (lambda v: Sensor(36, 24, v), 100, 40_000, "the width of a picture",  # type: ignore[arg-type]
     " pixels"),
    (lambda v: Sensor(36, 24, 6000, v), 100, 40_000,  # type: ignore[arg-type]
     "the height of a picture", " pixels"),
    (lambda v: Lens(v, 1200), 5, 1200, "a focal length", " mm"),
    (lambda v: Lens(5, v), 5, 1200, "a focal length", " mm"),
    (lambda v: Lens(400, 400, v), 0.7, 32, "an f-number", ""),
    (lambda v: Lens(400, 400, 2.8, v), 1, 2, "a teleconverter", ""),
    (lambda v: angle_of_view_deg(36, v), 5, 2400, "a focal length", " mm"),
    (lambda v: distance_for_share_m(24, 400, v), 0.001, 10, "a share of the frame", ""),
    (lambda v: focal_length_for_share_mm(24, 50, v), 0.001, 10, "a share of the frame", ""),
    (lambda v: hyperfocal_m(v, 2.8, 0.03), 5, 2400, "a focal length", " mm"),
    (lambda v: hyperfocal_m(400, v, 0.03), 0.7, 64, "an f-number", ""),
    (lambda v: hyperfocal_m(400, 2.8, v), 0.001, 0.2, "a circle of confusion", " mm"),
    (lambda v: magnification(v, 500), 5, 2400, "a focal length", " mm"),
    (lambda v: Pitch(v), 50, 130, "the length of a pitch", " m"),
    (lambda v: Pitch(105, v), PENALTY_AREA_WIDTH_M, 100, "the width of a pitch", " m"),
    (lambda v: Ground(bearing_deg=v), 0, 360, "a bearing", " degrees"),
    (lambda v: Ground(latitude_deg=v), -90, 90, "a latitude", " degrees"),
    (lambda v: Ground(longitude_deg=v), -180, 180, "a longitude", " degrees"),
    (lambda v: Ground(net_depth_m=v), 0, 6, "the depth of the net", " m"),
    (lambda v: Ground(floodlight_lx=v), 1, 20_000, "the floodlights", " lx"),
    (lambda v: Ground(mains_hz=v), 16, 400, "the mains", " Hz"),
    (lambda v: Stand(Flank.LEFT, height_m=v), 0, 90, "the height of a stand", " m"),
    (lambda v: Stand(Flank.LEFT, set_back_m=v), 0, 100, "the set-back of a stand", " m"),
    (lambda v: Stand(Flank.LEFT, roof_edge_m=v), 0, 150, "the set-back of a roof edge", " m"),
    (lambda v: Stand(Flank.LEFT, depth_m=v), 0, 100, "the depth of a stand", " m"),
    (lambda v: Boards(Flank.LEFT, v), 0.1, 3, "the height of boards", " m"),
    (lambda v: Boards(Flank.LEFT, set_back_m=v), 0, 50, "the set-back of boards", " m"),
    (lambda v: Dugout(Flank.LEFT, length_m=v), 0.5, 40, "the length of a dugout", " m"),
    (lambda v: Dugout(Flank.LEFT, depth_m=v), 0.2, 10, "the depth of a dugout", " m"),
    (lambda v: Dugout(Flank.LEFT, height_m=v), 0.5, 5, "the height of a dugout", " m"),
    (lambda v: Dugout(Flank.LEFT, set_back_m=v), 0, 50, "the set-back of a dugout", " m"),
    (lambda v: run(speed_m_s=v), 0.1, 15, "the speed of a runner", " m/s"),
    (lambda v: run(frames_per_s=v), 0.1, 240, "a frame rate", " frames/s"),
    (lambda v: lens_height_over_boards_m(v, 1, 5), 0, 5, "the height of boards", " m"),
    (lambda v: width_behind_post_m(v, 10, 20), 0, 1, "the width of a post", " m"),
    (lambda v: blur_px(CHIP, 400, 50, v, 0.001), 0, 60, "a speed", " m/s"),
    (lambda v: blur_px(CHIP, 400, 50, 8, 0.001, angle_deg=v), 0, 180,
     "the angle to the line of sight", " degrees"),
    (lambda v: blur_px(CHIP, 400, 50, 8, v), 1 / 64_000, 30, "an exposure", " s"),
    (lambda v: blur_cm(v, 0.001), 0, 60, "a speed", " m/s"),
    (lambda v: exposure_for_blur_s(CHIP, 400, 50, 8, v), 0.01, 10_000, "a blur", " pixels"),
    (lambda v: exposure_for_streak_s(CHIP, 400, 50, 8, v), 0.01, 40_000, "a streak", " pixels"),
    (lambda v: pan_streak_px(CHIP, 400, 50, v, 0.01), 0, 60, "a speed", " m/s"),
    (lambda v: pan_streak_px(CHIP, 400, v, 8, 0.01), 1, 1000, "the distance", " m"),
    (lambda v: remaining_ripple(v, 50, 0.001), 0, 1, "a flicker factor", ""),
    (lambda v: flicker_stops(v), 0, 0.99, "a ripple", ""),
    (lambda v: light_hz(v), 16, 400, "the mains", " Hz"),
    (lambda v: bands_in_frame(v, 50), 0, 0.5, "a readout", " s"),
    (lambda v: row_time_s(0.01, v), 1, 40_000, "rows", ""),  # type: ignore[arg-type]
    (lambda v: row_time_s(v, 4000), 0, 0.5, "a readout", " s"),
    (lambda v: lean_px(CHIP, 400, 50, 8, v), 0, 0.5, "a readout", " s"),
    (lambda v: Ball(v), 0.2, 0.6, "the mass of a ball", " kg"),
    (lambda v: Ball(drag_coefficient=v), 0, 0.6, "a drag coefficient", ""),
    (lambda v: Ball(area_m2=v), 0.02, 0.05, "the cross-section of a ball", " m2"),
    (lambda v: Ball(air_kg_m3=v), 0.7, 1.5, "the density of air", " kg/m3"),
    (lambda v: Ball().time_s(11, v), 1, 60, "the speed of the ball", " m/s"),
    (lambda v: Ball().time_s(v, 60), 0, 120, "the way of the ball", " m"),
    (lambda v: Ball().travelled_m(0.1, v), 1, 60, "the speed of the ball", " m/s"),
    (lambda v: penalty(v), 1, 60, "the speed of the ball", " m/s"),
    (lambda v: shadow_m(10, v), LOWEST_SUN_DEG, 90, "the elevation of the sun", " degrees"),
    (lambda v: reach_error_m(10, v, 0.1), LOWEST_SUN_DEG, 90, "the elevation of the sun",
     " degrees"),
    (lambda v: light_of_ev_lx(v), -10, 25, "an exposure value", ""),
    (lambda v: iso_needed(1000, 2.8, 0.001, v), 200, 400, "the constant C", ""),
    (lambda v: exposure_needed_s(1000, 2.8, 800, v), 200, 400, "the constant C", ""),
    (lambda v: light_metered_lx(2.8, 0.001, 800, v), 200, 400, "the constant C", ""),
    (lambda v: ev_at_iso_100(v), 0.01, 200_000, "the light", " lx"),
    (lambda v: ev_of(v, 0.001), 0.7, 64, "an f-number", ""),
    (lambda v: ev_of(2.8, v), 1 / 64_000, 60, "an exposure", " s"),
    (lambda v: light_metered_lx(2.8, 0.001, v), 25, 1_000_000, "a sensitivity", " ISO"),
    (lambda v: sun_at(AT, v, 16), -90, 90, "a latitude", " degrees"),
    (lambda v: sun_at(AT, 48, v), -180, 180, "a longitude", " degrees"),
    (lambda v: sun_at(AT, 48, 16, elevation_m=v), -500, 6000, "the elevation of a ground", " m"),
    (lambda v: cells(Pitch(), v), 0.05, 20, "the size of a cell", " m"),
    (lambda v: day_plan(TIE, travel_min=v), 0, 1440,  # type: ignore[arg-type]
     "the way to the ground", " minutes"),
    (lambda v: day_plan(TIE, after_min=v), 0, 360,  # type: ignore[arg-type]
     "the time after the match", " minutes"),
    (lambda v: packing((), bodies=v), 1, 6, "cameras", ""),  # type: ignore[arg-type]
    (lambda v: Choices(travel_min=v), 0, 1440,  # type: ignore[arg-type]
     "the way to the ground", " minutes"),
    (lambda v: Choices(bodies=v), 1, 6, "cameras", ""),  # type: ignore[arg-type]
]  # fmt: skip


def refused(make: Callable[[], object]) -> WrongUse:
    """How it is refused."""
    with pytest.raises(WrongUse) as told:
        make()
    return told.value


def leads_on(error: SetpieceError, step: str | bool) -> bool:
    """Whether it says the step; True asks for any, False for none: their words may be bettered."""
    return error.next_step == step if isinstance(step, str) else bool(error.next_step) >= step


@pytest.mark.parametrize(("make", "least", "most", "what", "unit"), LIMITS)
def test_a_formula_holds_to_its_ends_and_no_further(
    make: Made, least: float, most: float, what: str, unit: str
) -> None:
    """Both ends are answered; a little beyond either is refused with the range."""
    for inside in (least, most):
        make(inside if what != "a latitude" else 0.999 * inside)  # not at the poles themselves
    step = 1 if unit in (" minutes", " pixels") else 0.001 * max(abs(least), abs(most))
    for beyond in (least - step, most + step):
        error = refused(lambda beyond=beyond: make(beyond))  # type: ignore[misc]
        assert error.what == f"{what} must lie between {least:g} and {most:g}{unit}"
        assert error.thing == f"{beyond:g}{unit}"
        assert error.next_step == "Give a value inside that range."


ZONE = ZoneInfo("Europe/Vienna")
ELSEWHERE = "Use a name like Europe/Berlin."
REFUSED: list[tuple[Callable[[], object], str, str | bool]] = [
    (lambda: within(3, 0, 2, what="it"), "3", True),
    (lambda: read_numbers("1,2", 3, 3, what="a place", example="1,2,3"), "1,2",
     "Write it as 1,2,3."),
    (lambda: read_seat("left"), "left", True),
    (lambda: read_lens("fast"), "fast", True),
    (lambda: read_shutter("1/0"), "1/0", True),
    (lambda: read_shutter("quick"), "quick", True),
    (lambda: read_shutter("1/64001"), "1.56248e-05 s", True),
    (lambda: read_shutter("30.1"), "30.1 s", True),
    (lambda: read_sensor("big", "6000x4000"), "big",
     "Write it as 36x24, or full, full-23.9, 1.5x, 1.5x-15.7."),
    (lambda: read_sensor("full", "many"), "many", True),
    (lambda: read_stand("up:20"), "up:20", True),
    (lambda: read_stand("left"), "left", True),
    (lambda: read_stand("left:1:2:3:4"), "left:1:2:3:4",
     True),
    (lambda: read_stand("left:high"), "left:high", True),
    (lambda: choose(Orientation, "slanted", "a way"), "slanted", "Write landscape or portrait."),
    (lambda: read_kick("volley", "1,2", "0,1", 25, Ball(), Pitch(), End.NEAR),
     "volley 1,2", True),
    (lambda: read_zone("Nowhere"), "Nowhere", ELSEWHERE),
    (lambda: read_local("2027-02-30", "15:30", ZONE), "2027-02-30 15:30",
     True),
    (lambda: read_metered("1/500,2.8"), "1/500,2.8", True),
    (lambda: read_metered("1/500,2.8,fast"), "1/500,2.8,fast", True),
    (lambda: read_contact("Eva;press"), "Eva;press", True),
    (lambda: read_contact(";press;7"), ";press;7", True),
    (lambda: Choices(lenses=()), "none", True),
    (lambda: Choices(lenses=("400/2.8",) * 5),
     "400/2.8, 400/2.8, 400/2.8, 400/2.8, 400/2.8", True),
    (lambda: Camera(Seat("s", 0, 0), 400, frames_per_s=20, exposure_s=0.1), "",
     True),
    (lambda: aim_between(Seat("mid", 0, 0), Point(0, 9, 1), Point(0, -9, 1)), "mid", False),
    (lambda: aim_at(Seat("mid", 0, 0), Point(0, 0, 1)), "mid", False),
    (lambda: Lens(200, 70), "200-70/2.8", False),
    (lambda: magnification(400, 7), "7 m", True),
    (lambda: depth_of_field(400, 2.8, 1001, 0.03), "1001 m", True),
    (lambda: longest_focal_mm(Camera(Seat("s", -8, -2), 400), penalty(28), 0), "0", False),
    (lambda: longest_focal_mm(Camera(Seat("s", -8, -2), 400), penalty(28), 99), "penalty",
     True),
    (lambda: ground_from({"stands": {"flank": "left"}}), "stands", False),
    (lambda: ground_from({"pitch": 7}), "pitch", False),
    (lambda: ground_from({"pitch": {"lenght_m": 100}}), "pitch", "Did you mean length_m?"),
    (lambda: ground_from({"pitch": {"q": 100}}), "pitch", "Known: length_m, width_m."),
    (lambda: ground_from({"stands": [{"flank": "left"}, {}]}), "stands 2",
     True),
    (lambda: ground_from({"stands": [{"flank": "up"}]}), "stands 1: up", False),
    (lambda: ground_from({"bearing_deg": True}), "ground: True", False),
    (lambda: ground_from({"bearing_deg": "north"}), "ground: north", False),
    (lambda: ground_from({"bearing_deg": float("inf")}), "ground: inf", False),
    (lambda: ground_from({"name": 7}), "ground: 7", False),
    (lambda: Shot("goal", "Goal", "match", frozenset({"goals"}), count=0), "goal", False),
    (lambda: Shot("goal", "Goal", "match", frozenset()), "goal", False),
    (lambda: KickFact(1, "5", "Goal, Nine", "penalty", "A", (0.0,), marked=(0.1,)), "Goal, Nine",
     False),
    (lambda: Ground(stands=(Stand(Flank.LEFT, from_m=200, to_m=300),)), "a stand",
     True),
    (lambda: Ground(boards=(Boards(Flank.FAR, from_m=-90, to_m=-80),)), "boards",
     True),
    (lambda: Ground(zones=(Zone(Flank.NEAR, from_m=80, to_m=90),)), "a zone",
     True),
    (lambda: Stand(Flank.LEFT, "Main", from_m=9, to_m=9), "Main", "Swap from_m and to_m."),
    (lambda: Ground(seats=(Seat("A", 0, 0), Seat("B", 0, 0))).seat("C"), "C",
     "Seats of this ground: A, B."),
    (lambda: Ground().seat("C"), "C", "Seats of this ground: none."),
    (lambda: Want(), "no title",
     "Choose somebody, or write subjects such as supporters, celebrations."),
    (lambda: Want(" ", subjects=("x",)), " ",
     "Choose somebody, or write subjects such as supporters, celebrations."),
    (lambda: Want("Faces", subjects=("x",), angle=Angle.DEBUT), "debut", False),
    (lambda: Want("Faces", subjects=("x",), when="later"), "later",
     "Write before, match or after."),
    (lambda: Want("Faces", subjects=("x",), count=0), "0", False),
    (lambda: Want("Faces", subjects=("x",), count=100), "100", False),
    (lambda: run(from_share=0.5, to_share=0.5), "0.5 to 0.5", True),
    (lambda: lens_height_over_boards_m(1, 5, 5), "5 m and 5 m",
     True),
    (lambda: width_behind_post_m(0.12, 10, 9), "9 m", False),
    (lambda: exposure_for_streak_s(CHIP, 400, 50, 0, 5), "0 m/s at 90 degrees",
     True),
    (lambda: template("friendly"), "friendly", f"Templates: {', '.join(TEMPLATES)}."),
    (lambda: Kick(Point(0, 0), Point(0.4, 0), 20, what="header"), "header",
     True),
    (lambda: free_kick(0, 0.4, 20), "free kick", True),
    (lambda: local_instant(date(2027, 3, 6), time(15, tzinfo=UTC), ZONE), "15:00:00+00:00",
     True),
    (lambda: local_instant(date(2027, 3, 28), time(2, 30), ZONE), "2027-03-28 02:30 Europe/Vienna",
     True),
    (lambda: local_instant(date(2027, 10, 31), time(2, 30), ZONE),
     "2027-10-31 02:30 Europe/Vienna", True),
    (lambda: iso_to_set(2_000_000), "ISO 2000000",
     True),
]  # fmt: skip


@pytest.mark.parametrize(("make", "thing", "next_step"), REFUSED)
def test_a_refusal_names_the_thing_and_the_way_out(
    make: Callable[[], object], thing: str, next_step: str | bool
) -> None:
    """What was typed stands in it, and how it is typed where that is not plain."""
    error = refused(make)
    assert error.thing == thing
    assert leads_on(error, next_step)
    assert error.what
