"""Every command's help, its start, and what it says when something is wrong."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.main import get_command

from setpiece.cli.main import app

Setpiece = Callable[..., Any]


def commands() -> Iterator[tuple[str, ...]]:
    """The words of every command and group."""

    def below(words: tuple[str, ...], command: object) -> Iterator[tuple[str, ...]]:
        yield words
        for name, inner in getattr(command, "commands", {}).items():
            yield from below((*words, name), inner)

    yield from below((), get_command(app))


ALL = [c for c in commands() if c]


@pytest.mark.parametrize("words", ALL, ids=" ".join)
def test_help_says_what_a_command_does(words: tuple[str, ...]) -> None:
    """Help is a sentence, and every command that is no group shows an example of itself."""
    command: object = get_command(app)
    for word in words:
        command = command.commands[word]  # type: ignore[attr-defined]
    text = str(command.help or "")  # type: ignore[attr-defined]
    assert re.match(r"[A-Z].*\.", text, re.DOTALL), text
    if not getattr(command, "commands", None):
        assert f"Example: setpiece {' '.join(words)}" in text
        for option in command.params:  # type: ignore[attr-defined]
            assert option.name == "help" or option.help, f"{words} {option.name} has no help"


def test_every_summary_fits_its_line() -> None:
    """A list of commands, 80 columns wide, cuts no command's summary short."""
    cut = []
    for words in [(), *ALL]:
        command = get_command(app)
        for word in words:
            command = command.commands[word]  # type: ignore[attr-defined]
        if getattr(command, "commands", None):
            context = typer.Context(command, info_name="setpiece", terminal_width=80)
            shown = command.get_help(context).partition("Commands:")[2]
            cut += [line for line in shown.splitlines() if line.endswith("...")]
    assert cut == []


def test_the_first_word_is_there_at_once() -> None:
    """`setpiece --help` loads none of the libraries that are slow to load."""
    program = (
        "import sys; from setpiece.cli.main import app; "
        "print(sorted(m for m in ('numpy','cv2','pydantic','sqlalchemy','exiv2','fastapi',"
        "'lark','babel','PIL','pyvips') if m in sys.modules))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "[]"


def test_it_starts_without_the_development_packages() -> None:
    """The program and its page import with every development package out of reach."""
    program = """
import sys
class Closed:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {"pytest", "hypothesis", "mypy", "ruff", "playwright",
                                  "importlinter", "coverage", "xdist"}:
            raise ModuleNotFoundError(name)
sys.meta_path.insert(0, Closed())
import setpiece.cli.main, setpiece.web.app, setpiece.work.demo.run, setpiece.work.desk.deliver
"""
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("take", "nowhere"), 2, "there is no workspace here"),
        (("fixture", "show"), 2, "Make one with `setpiece init`"),
        (("desk", "list"), 2, "there is no workspace here"),
        (("nonsense",), 2, "No such command"),
        (("take",), 2, "Missing argument"),
        (("minute", "--period", "2", "--elapsed", "x"), 2, "x"),
        (("style", "check", "none.toml"), 2, "none.toml"),
    ],
)
def test_wrong_use_is_a_sentence(
    setpiece: Setpiece, words: tuple[str, ...], status: int, says: str
) -> None:
    """Wrong use ends with status 2 and words that say what to do; never with a traceback."""
    ran = setpiece(*words)
    assert (ran.status, "Traceback" in ran.err) == (status, False)
    assert says in ran.err


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("take", "nowhere"), 2, "no such card or folder"),
        (("fixture", "show", "--match", "moon"), 2, "Choose one of"),
        (("caption", "A-0001", "9r celebrates"), 2, "no frame has that name"),
        (("check", "A-0001"), 2, "no frame has that name"),
        (("use", "A-0001"), 2, "no frame has that name"),
        (("send",), 2, "there is no desk yet"),
        (("desk", "test", "Moon"), 2, "no desk has that name"),
        (("log", "add", "goal", "99r"), 2, "nobody of the home side has that number"),
        (("log", "add", "abracadabra"), 2, "Begin with one of"),
        (("log", "add", "goal 9r", "--at", "x"), 2, "Write 73 or 45+2"),
        (("log", "add", "--withdraws", "7", "note"), 2, "no such entry"),
        (("log", "import", "none.csv"), 2, "there is no such file"),
        (("clock", "pair", "Z", "2027-03-06T15:00:00", "2027-03-06T15:00:00Z"), 2, "camera"),
        (("sheet", "import", "-"), 2, "nobody was found"),
        (("sheet", "kit", "away", "r", "rose"), 2, "another kit has that letter"),
        (("desk", "add", "X", "--protocol", "pigeon", "--style", "north"), 2, "One of: ftp"),
    ],
)
def test_in_a_workspace_wrong_use_is_a_sentence(
    in_match: Setpiece, words: tuple[str, ...], status: int, says: str
) -> None:
    """In a workspace too, what cannot be done is said in words with a next step."""
    ran = in_match(*words)
    assert (ran.status, "Traceback" in ran.err) == (status, False), ran.err
    assert says in ran.err


def test_a_match_is_logged_and_read_back(in_match: Setpiece) -> None:
    """Whistles, a goal and its correction give the score at each stage."""
    run = in_match
    run("log", "add", "whistle", "--time", "15:31:00")
    assert "Goal" in run("log", "add", "goal", "9r", "header", "--at", "17").out
    assert json.loads(run("log", "state", "--json").out)["score"] == [1, 0]
    assert run("log", "add", "disallowed", "9r").status == 0
    assert json.loads(run("log", "state", "--json").out)["score"] == [0, 0]
    assert len(json.loads(run("log", "list", "--history", "--json").out)) == 3
    assert run("log", "export", "log.json").status == 0


def test_an_exported_log_comes_back_in_another_workspace(
    in_match: Setpiece, tmp_path: Path
) -> None:
    """A log written as JSON and imported again gives the same entries after those there."""
    run = in_match
    run("log", "add", "whistle", "--time", "15:31:00")
    run("log", "add", "goal", "9r", "--at", "17")
    run("log", "export", "log.json")
    assert "2 entries added" in run("log", "import", "log.json").out
    assert len(json.loads(run("log", "list", "--json").out)) == 4


def test_the_doctor_examines_a_workspace(setpiece: Setpiece) -> None:
    """The doctor names what works; libraries and the database are among it."""
    setpiece("init")
    report = json.loads(setpiece("doctor", "--json").out)
    whats = {f["what"]: f["works"] for f in report["findings"]}
    assert whats["Database"]
    assert whats["reading the clock card"]


def test_the_clock_card_is_one_file(setpiece: Setpiece, tmp_path: Path) -> None:
    """The clock card is a page without any address of another file."""
    assert setpiece("clock", "card", "--out", "card.html").status == 0
    page = (tmp_path / "card.html").read_text("utf-8")
    assert "<script" in page
    assert not re.search(r"(?:src|href)=", page)


def test_the_first_steps_lead_on(setpiece: Setpiece) -> None:
    """Each of the first commands says the next, and what captions will want."""
    assert "write it into setpiece.toml" in setpiece("init").out
    made = setpiece(
        "fixture", "new", "--home", "SK Lethenbruck", "--away", "TSV Marnstein",
        "--kick-off", "2027-03-06T15:30", "--zone", "Europe/Vienna", "--competition", "Cup",
    ).out  # fmt: skip
    assert "setpiece fixture set --city ... --country ..." in made
    changed = setpiece("fixture", "set", "--city", "Lethenbruck", "--kick-off", "2027-03-06T16:00")
    assert "Lethenbruck" in changed.out
    assert "16:00 CET" in changed.out
    read = setpiece("sheet", "import", "-", "--side", "home", given="9 Signe Ørbeck")
    assert "Next: setpiece sheet kit home r red" in read.out
    assert setpiece("sheet", "kit", "home", "r", "red").status == 0
    read = setpiece("sheet", "import", "-", "--side", "away", given="5 Ada Voss")
    assert "Next" not in read.out
