"""`setpiece plan` at the terminal."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner, Result

from setpiece.cli.plan import app
from setpiece.errors import SetpieceError

DEMO = str(Path(__file__).parents[2] / "src/setpiece/work/demo/ground.toml")
DAY = ["--date", "2027-03-06", "--kick-off", "15:30"]
RUNS = {
    "seat": ["seat", "--ground", DEMO],
    "penalty": ["penalty", "--ground", DEMO, "--focal", "200"],
    "lens": ["lens", "--lens", "400/2.8"],
    "light": ["light", "--ground", DEMO, *DAY],
    "exposure": ["exposure", "--ground", DEMO],
}


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words), catch_exceptions=False)


@pytest.mark.parametrize("name", [*RUNS, "sheet"])
def test_help_has_an_example(name: str) -> None:
    """Every command shows how it is typed."""
    shown = run(name, "--help")
    assert shown.exit_code == 0
    assert f"Example: setpiece plan {name}" in shown.stdout


@pytest.mark.parametrize("name", RUNS)
def test_a_command_prints_tables_and_its_cautions(name: str) -> None:
    """Figures as plain tables, cautions with their sources below."""
    shown = run(*RUNS[name])
    assert shown.exit_code == 0
    assert "──" in shown.stdout
    assert "! " in shown.stdout


@pytest.mark.parametrize("name", RUNS)
def test_json_and_the_drawing_come_together(name: str, tmp_path: Path) -> None:
    """JSON alone on standard output, the drawing in its file."""
    picture = tmp_path / "plan.svg"
    shown = run(*RUNS[name], "--json", "--svg", str(picture))
    assert isinstance(json.loads(shown.stdout), dict)
    assert ElementTree.fromstring(picture.read_text(encoding="utf-8")).tag.endswith("svg")


def test_the_penalty_answers_as_documented() -> None:
    """Seat by coordinates, nothing else around: frames, window and mean."""
    shown = run(
        *("penalty", "--seat", "-12,-2,1.0", "--focal", "24", "--fps", "20", "--speed", "32"),
        *("--orientation", "landscape", "--json"),
    )
    answer = json.loads(shown.stdout)
    assert answer["window_s"] == pytest.approx(0.3643, abs=5e-5)
    assert answer["frames"] == pytest.approx({"7": 0.7137, "8": 0.2863}, abs=1e-3)
    assert answer["mean"] == pytest.approx(7.2863, abs=1e-3)


def test_the_window_is_given_before_the_exposure_is_taken_off() -> None:
    """With a shutter speed the mean falls, the window does not."""
    plain, shut = (
        json.loads(run(*RUNS["penalty"], "--json", *more).stdout)
        for more in ([], ["--shutter", "1/100"])
    )
    assert shut["window_s"] == plain["window_s"]
    assert shut["mean"] == pytest.approx(plain["mean"] - 0.2, abs=1e-5)


@pytest.mark.parametrize(
    "kind", [["--kind", "free-kick", "--from", "6,22"], ["--kind", "header", "--end", "far"]]
)
def test_free_kicks_and_headers_are_planned_too(kind: list[str]) -> None:
    """The same figures for other strikes."""
    assert run(*RUNS["penalty"], *kind).exit_code == 0


def test_seats_can_be_drawn_side_by_side(tmp_path: Path) -> None:
    """--compare draws the comparison."""
    picture = tmp_path / "seats.svg"
    run(*RUNS["seat"], "--compare", "--svg", str(picture))
    assert "Seats side by side" in picture.read_text(encoding="utf-8")


def test_a_seat_is_named_or_typed() -> None:
    """A name of the ground file and three numbers both do."""
    shown = run("seat", "--ground", DEMO, "--seat", "river side", "--seat=-35,10,0.5", "--json")
    first, second = json.loads(shown.stdout)["seats"]
    assert first["x_m"] == -39
    assert second["in_a_zone"] is False
    printed = run("seat", "--ground", DEMO, "--seat=-35,10,0.5", "--seat", "5,-5,0.4").stdout
    assert "outside the zones" in printed
    assert "no grass shows" in printed


def test_light_works_without_a_ground_file() -> None:
    """Place, bearing, zone and stands as options."""
    shown = run(
        *("light", *DAY, "--latitude", "47.21", "--longitude", "15.37", "--bearing", "74"),
        *("--zone", "Europe/Vienna", "--stand", "right:15:7.5:8.5", "--extra-time", "--json"),
    )
    answer = json.loads(shown.stdout)
    assert answer["sunset"]["clock"] == "17:51"
    assert len(answer["through"]) == 5
    assert answer["through"][0]["shadow_reach_m"][0]["reach_m"] > 0


def test_light_is_given_or_metered() -> None:
    """Lux, or shutter, aperture and ISO."""
    given = json.loads(run("exposure", "--lux", "1000", "--json").stdout)
    metered = json.loads(run("exposure", "--metered", "1/1000,2.8,1960", "--json").stdout)
    assert given["illuminance_lx"] == metered["illuminance_lx"] == 1000
    dark = run("exposure", "--lux", "2", "--lens", "400/4").stdout
    assert "too dark" in dark


def test_the_sheet_is_written_with_its_calendar(tmp_path: Path) -> None:
    """One page and one calendar from one command, and its lists as JSON."""
    page, day, picture = (tmp_path / name for name in ("plan.html", "day.ics", "seat.svg"))
    shown = run(
        *("sheet", "--ground", DEMO, *DAY, "--home", "SK Lethenbruck", "--away", "TSV Marnstein"),
        *("--template", "cup", "--travel", "75", "--contact", "Media office;ground;1"),
        *("--out", str(page), "--ics", str(day), "--svg", str(picture), "--json"),
    )
    assert json.loads(shown.stdout)["contacts"][0]["name"] == "Media office"
    assert "SK Lethenbruck v TSV Marnstein" in page.read_text(encoding="utf-8")
    assert day.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert picture.exists()
    plain = run(
        *("sheet", "--seat", "3,-5", *DAY, "--home", "A", "--away", "B", "--out", str(page))
    )
    assert "A v B, UTC" in plain.stdout


def test_a_ground_may_be_json(tmp_path: Path) -> None:
    """The same tables in JSON."""
    ground = tmp_path / "ground.json"
    ground.write_text('{"name": "Park", "pitch": {"length_m": 100, "width_m": 60}}')
    shown = run("seat", "--ground", str(ground), "--seat", "3,-5", "--json")
    assert json.loads(shown.stdout)["pitch_m"] == [100, 60]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["seat"], "no seat given"),
        (["seat", "--seat", "three"], "this is not a seat"),
        (["seat", "--ground", "nowhere.toml"], "there is no such file"),
        (["penalty", "--focal", "0", "--seat", "3,-5"], "must lie between"),
        (["penalty", "--focal", "400", "--seat", "3,-5", "--orientation", "square"], "landscape"),
        (["light", *DAY], "Give its latitude and longitude"),
        (["exposure"], "Give --lux"),
        (["lens", "--lens", "wide"], "this is not a lens"),
        (["sheet", "--home", "A", "--away", "B", *DAY, "--seat", "3,-5", "--template", "x"],
         "no such template"),
    ],
)  # fmt: skip
def test_wrong_use_is_one_clear_sentence(words: list[str], says: str) -> None:
    """Every wrong value ends in a sentence, not in a traceback."""
    with pytest.raises(SetpieceError, match=says):
        run(*words)


def test_a_ground_file_that_is_not_toml_is_named(tmp_path: Path) -> None:
    """The message names the file and where a right one stands."""
    broken = tmp_path / "ground.toml"
    broken.write_text("name = ")
    with pytest.raises(SetpieceError, match=r"docs/planning\.md"):
        run("seat", "--ground", str(broken))
