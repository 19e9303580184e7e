"""The commands as a photographer types them: their words and their exit status."""

from __future__ import annotations

import io
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from setpiece.cli.main import app
from setpiece.cli.terminal import guarded


@dataclass(frozen=True)
class Ran:
    """What a command printed and how it ended."""

    status: int
    out: str
    err: str


Setpiece = Callable[..., Ran]


def run(folder: Path, *words: str, given: str = "") -> Ran:
    """Runs `setpiece` with these words in a folder; nobody is at the prompt."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.delenv("SETPIECE_WORKSPACE", raising=False)
        patch.setattr(sys, "argv", ["setpiece", *words])
        patch.setattr(sys, "stdin", io.StringIO(given))
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        status = guarded(app)
    return Ran(status, out.getvalue(), err.getvalue())


@pytest.fixture
def setpiece(tmp_path: Path) -> Setpiece:
    """`setpiece` in an empty folder."""
    return lambda *words, given="": run(tmp_path, *words, given=given)


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workspace with one fixture, its kits and a short team sheet, made by commands."""
    folder = tmp_path_factory.mktemp("made")
    steps = [
        ("init",),
        ("fixture", "new", "--home", "SK Lethenbruck", "--away", "TSV Marnstein",
         "--kick-off", "2027-03-06T15:30", "--zone", "Europe/Vienna",
         "--competition", "Women's Lantern Cup", "--venue", "Stadion an der Leth",
         "--city", "Lethenbruck", "--country", "Austria", "--country-code", "aut"),
        ("sheet", "kit", "home", "r", "red"),
        ("sheet", "kit", "away", "w", "white"),
    ]  # fmt: skip
    for words in steps:
        ran = run(folder, *words)
        assert ran.status == 0, ran.err
    for side, name in (("home", "Homely"), ("away", "Awayer")):
        people = "\n".join(f"{n} Given{n} {name}{chr(96 + n)}" for n in range(1, 12))
        ran = run(folder, "sheet", "import", "-", "--side", side, given=people)
        assert "11 of them start" in ran.out or "22 of them start" in ran.out, ran
    return folder


@pytest.fixture
def in_match(made_once: Path, tmp_path: Path) -> Setpiece:
    """`setpiece` in a workspace of its own with one fixture and its sheet."""
    folder = tmp_path / "space"
    shutil.copytree(made_once, folder)
    return lambda *words, given="": run(folder, *words, given=given)
