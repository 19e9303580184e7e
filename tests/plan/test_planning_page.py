"""docs/planning.md: its drawings are what the commands draw today, its commands run."""

from __future__ import annotations

import importlib.util
import re
import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from setpiece.cli.plan import app
from setpiece.store.matches import add_fixture
from setpiece.store.workspace import Workspace
from setpiece.work.demo import scenario
from setpiece.work.demo.planning import plan_the_demo
from setpiece.work.job import Unattended

DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "planning.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^setpiece plan (.+)$", PAGE, flags=re.MULTILINE)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with every drawing made anew."""
    spec = importlib.util.spec_from_file_location("plan_drawings", DOCS / "plan" / "draw.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    folder = tmp_path_factory.mktemp("plan")
    module.main(folder)
    return folder


def test_the_page_shows_every_drawing_there_is(drawn: Path) -> None:
    """All drawings made are shown, and none that is not made."""
    shown = set(re.findall(r"\]\(plan/([\w-]+\.svg)\)", PAGE))
    assert shown == {path.name for path in drawn.glob("*.svg")}


def test_the_drawings_are_those_of_today(drawn: Path) -> None:
    """The files in docs/plan are what the commands draw now: `python docs/plan/draw.py`."""
    for path in drawn.glob("*.svg"):
        kept = (DOCS / "plan" / path.name).read_text(encoding="utf-8")
        assert path.read_text(encoding="utf-8") == kept, path.name


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workspace with the demo's fixture, planned as the demo's photographer did."""
    folder = tmp_path_factory.mktemp("planned")
    space = Workspace.create(folder)
    fixture = scenario.fixture()
    of = add_fixture(space, fixture, fixture.kick_off)
    plan_the_demo(space, of, Unattended(fixture.kick_off))
    space.close()
    return folder


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_of_the_page_runs(
    command: str, planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is shown can be typed in the demo's workspace."""
    words = shlex.split(command)
    monkeypatch.setenv("SETPIECE_WORKSPACE", str(planned))
    monkeypatch.chdir(tmp_path)
    shown = CliRunner().invoke(app, words, catch_exceptions=False)
    assert shown.exit_code == 0


def test_the_page_has_commands() -> None:
    """There is something to run."""
    assert len(COMMANDS) >= 8
