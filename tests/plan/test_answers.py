"""What the plan answers, as values."""

from __future__ import annotations

import json
import math
import tomllib
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from pydantic import TypeAdapter

from setpiece.errors import WrongUse
from setpiece.match.instants import read_instant
from setpiece.plan.answers import short, short_or_endless
from setpiece.plan.answers.exposure import ExposureAnswer, exposure_answer
from setpiece.plan.answers.lens import AtWork, LensAnswer, lens_answer
from setpiece.plan.answers.light import LightAnswer, light_answer
from setpiece.plan.answers.penalty import PenaltyAnswer, penalty_answer
from setpiece.plan.answers.seat import SeatAnswer, seat_answer
from setpiece.plan.answers.sheet import SheetAnswer
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.flight import free_kick, penalty
from setpiece.plan.ground import Ground
from setpiece.plan.light import match_day
from setpiece.plan.optics import Lens, Orientation, Sensor
from setpiece.plan.penalty import held
from setpiece.plan.pitch import End
from setpiece.plan.tables import ground_from

DEMO = Path(__file__).parents[2] / "src/setpiece/work/demo/ground.toml"
GROUND = ground_from(tomllib.loads(DEMO.read_text(encoding="utf-8")))
LENSES = (Lens(400, 400), Lens(70, 200))
ZONE = ZoneInfo("Europe/Vienna")
CAMERA = Camera(GROUND.seats[0], 200, frames_per_s=20)


def test_figures_are_rounded_and_endless_ones_are_null() -> None:
    """JSON has no infinity."""
    assert short(1.23456) == 1.2346
    assert short_or_endless(1.23456, 1) == 1.2
    assert short_or_endless(math.inf) is None


def test_every_answer_is_plain_json() -> None:
    """Strings, numbers, lists, tables and null only."""
    day = match_day(GROUND, read_instant("2027-03-06T17:30:00Z"), ZONE)
    for answer in (
        seat_answer(GROUND, GROUND.seats, Sensor(), LENSES),
        penalty_answer(GROUND, CAMERA, penalty(28)),
        lens_answer(Sensor(), LENSES[0], 400, (5, 10, 900), AtWork()),
        light_answer(GROUND, day, ZONE, GROUND.seats),
        exposure_answer(820, LENSES, 1 / 1000, 50),
    ):
        assert json.loads(json.dumps(answer, allow_nan=False))
        assert answer["cautions"]


def test_a_penalty_answers_for_both_goals() -> None:
    """The near goal at the top, the other below, each as computed for itself."""
    answer = penalty_answer(GROUND, CAMERA, penalty(28))
    near = held(CAMERA, penalty(28))
    assert answer["end"] == "near"
    assert answer["window_s"] == pytest.approx(near.window_s, abs=1e-6)
    assert {int(k): v for k, v in answer["frames"].items()} == pytest.approx(dict(near.frames))
    assert answer["mean"] == pytest.approx(near.mean, abs=1e-6)
    far = held(CAMERA, penalty(28, pitch=GROUND.pitch, end=End.FAR))
    assert answer["other_end"]["end"] == "far"
    assert answer["other_end"]["mean"] == pytest.approx(far.mean, abs=1e-6)
    again = penalty_answer(GROUND, CAMERA, penalty(28, pitch=GROUND.pitch, end=End.FAR))
    assert again["other_end"]["mean"] == answer["mean"]


def test_a_striker_behind_the_net_is_said_to_be() -> None:
    """From straight behind the goal she stands behind net and goalkeeper."""
    behind = replace(CAMERA, seat=Seat("behind the net", 0.1, -4, 1.1))
    answer = penalty_answer(GROUND, behind, penalty(28))
    assert answer["striker_hidden_by"] == ["goalkeeper", "net"]
    assert penalty_answer(GROUND, CAMERA, penalty(28))["striker_hidden_by"] == []


def test_more_frames_need_a_shorter_lens() -> None:
    """The longest focal length falls with the frames it must keep, and portrait is shorter."""
    table = penalty_answer(GROUND, CAMERA, penalty(28))["longest_focal_length_mm"]
    lengths = [row["landscape"] for row in table.values()]
    assert lengths == sorted(lengths, reverse=True)
    assert all(row["portrait"] < row["landscape"] for row in table.values())


def test_a_flight_too_short_for_a_frame_has_an_empty_table() -> None:
    """A ball that is there before one frame is made keeps none for certain."""
    slow = replace(CAMERA, frames_per_s=2)
    assert penalty_answer(GROUND, slow, penalty(35))["longest_focal_length_mm"] == {}
    long = replace(CAMERA, frames_per_s=8, exposure_s=1 / 8)
    table = penalty_answer(GROUND, long, free_kick(0, 9.3, 35))["longest_focal_length_mm"]
    assert set(table) <= {"1", "2"}


def test_a_seat_answer_says_where_work_is_allowed_and_grass_shows() -> None:
    """Zones and boards are the ground's own."""
    seats = (GROUND.seats[0], Seat("on the touch line", -35, 10, 0.5), Seat("lying", 5, -5, 0.4))
    first, line, lying = seat_answer(GROUND, seats, Sensor(), LENSES)["seats"]
    assert first["in_a_zone"] is True
    assert first["grass_shows"] is True
    assert first["grass_from_m"] == pytest.approx(5.75)
    assert line["in_a_zone"] is False
    assert line["grass_from_m"] is None
    assert lying["grass_shows"] is False
    assert lying["lens_height_for_grass_m"] == pytest.approx(1.06, abs=0.01)
    assert lying["strip_behind_post_m"] > 0
    assert seat_answer(GROUND, seats, Sensor(), LENSES)["international_size"] is True


def test_distances_out_of_range_are_left_out() -> None:
    """400 mm is not computed nearer than 8 m."""
    answer = lens_answer(Sensor(), Lens(400, 400), 400, (5, 8, 20), AtWork())
    assert [row["distance_m"] for row in answer["distances"]] == [8, 20]
    assert answer["nearest_computed_m"] == 8
    assert set(answer["run_at_camera"]) == set(map(str, Orientation))


def test_a_lens_with_no_distance_left_is_refused() -> None:
    """The message says from where on the figures hold."""
    with pytest.raises(WrongUse, match="between 8 and 1000 m"):
        lens_answer(Sensor(), Lens(400, 400), 400, (3, 5), AtWork())


def test_a_wide_lens_far_off_is_sharp_to_the_end() -> None:
    """An endless far limit is null."""
    answer = lens_answer(Sensor(), Lens(24, 24, 8), 24, (20,), AtWork())
    assert answer["distances"][0]["sharp_to_m"] is None


def test_every_movement_has_its_blur_and_shutter() -> None:
    """Sprint, kick and header: centimetres, pixels, and the shutter for a blur one accepts."""
    answer = lens_answer(Sensor(), Lens(400, 400), 400, (40,), AtWork(exposure_s=1 / 1000))
    by_name = {row["name"]: row for row in answer["movements"]}
    assert {"sprint", "kicked ball", "headed ball"} <= set(by_name)
    assert by_name["kicked ball"]["blur_cm"] == 3
    at = answer["distances"][0]
    for name, pixels in at["blur_px"].items():
        shutter = at["exposure_for_blur_s"][name]
        assert pixels * shutter * 1000 == pytest.approx(answer["accepted_blur_px"], rel=0.01)
    assert at["focal_length_for_half_mm"] < 400


def test_a_given_iso_has_its_shutter() -> None:
    """The shutter at an ISO, null where none is given."""
    with_iso = exposure_answer(1000, LENSES, 1 / 1000, 50, 1960)
    assert with_iso["lenses"][0]["exposure_at_iso_s"] == pytest.approx(1 / 1000)
    assert exposure_answer(1000, LENSES, 1 / 1000, 50)["lenses"][0]["exposure_at_iso_s"] is None


def test_a_lower_sun_leaves_more_of_the_pitch_in_shade() -> None:
    """Through a winter afternoon the share in shadow grows."""
    day = match_day(GROUND, read_instant("2027-03-06T14:30:00Z"), ZONE)
    shares = [row["share_in_shadow"] for row in light_answer(GROUND, day, ZONE)["through"]]
    assert shares == sorted(shares)
    assert 0 < shares[0] < shares[-1] < 1


def test_light_is_told_by_both_clocks() -> None:
    """UTC for machines, the ground's clock for people; the sun's fall for each seat."""
    day = match_day(GROUND, read_instant("2027-03-06T14:30:00Z"), ZONE)
    answer = light_answer(GROUND, day, ZONE, GROUND.seats)
    first = answer["through"][0]
    assert (first["at"], first["clock"]) == ("2027-03-06T14:30:00.0Z", "15:30")
    assert answer["sunset"]["clock"] == "17:51"
    assert answer["floodlights_rule_from"] is None
    assert first["seats"]["River side"]["middle"] == "back-lit"
    assert {row["flank"] for row in first["shadow_reach_m"]} == {"left", "right", "near", "far"}


def test_too_little_light_has_no_iso_to_set() -> None:
    """Beyond the last step a camera offers the ISO is null, and no standard is reached."""
    answer = exposure_answer(4, LENSES, 1 / 1000, 50)
    assert answer["lenses"][0]["iso_to_set"] is None
    assert not any(row["reached"] for row in answer["standards"])
    assert exposure_answer(2000, LENSES, 1 / 1000, 50)["lenses"][0]["iso_to_set"] == 1000


def test_a_plain_pitch_answers_too() -> None:
    """No stands, no boards, no dugouts: everything still has its figures."""
    answer = seat_answer(Ground(), (Seat("s", 10, -5),), Sensor(), LENSES)
    assert answer["seats"][0]["in_a_zone"] is True
    assert len(answer["situations"]) == 9


@pytest.mark.parametrize(
    "answer",
    [SeatAnswer, PenaltyAnswer, LensAnswer, LightAnswer, ExposureAnswer, SheetAnswer],
)
def test_every_answer_has_a_schema(answer: type) -> None:
    """The typed table can be written out as a JSON schema in which every key is required."""
    schema = TypeAdapter(answer).json_schema()
    assert set(schema["required"]) == set(schema["properties"])


def test_answers_keep_their_schemas() -> None:
    """What is answered is what the typed table says, key by key, nested tables too."""
    day = match_day(GROUND, read_instant("2027-03-06T14:30:00Z"), ZONE)
    for kind, answer in (
        (SeatAnswer, seat_answer(GROUND, GROUND.seats, Sensor(), LENSES)),
        (PenaltyAnswer, penalty_answer(GROUND, CAMERA, penalty(28))),
        (LensAnswer, lens_answer(Sensor(), LENSES[0], 400, (10, 30), AtWork())),
        (LightAnswer, light_answer(GROUND, day, ZONE, GROUND.seats)),
        (ExposureAnswer, exposure_answer(820, LENSES, 1 / 1000, 50)),
    ):
        assert TypeAdapter(kind).validate_python(answer) == answer
