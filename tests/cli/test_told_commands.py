"""Commands that are told of in the papers, on the pages and in messages."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from typer.main import get_command

from setpiece.cli.main import app

ROOT = Path(__file__).resolve().parents[2]
TEXTS = sorted(
    path
    for part in ("*.md", "docs/*.md", "src/**/*.py", "src/**/*.toml", "src/**/*.html")
    for path in ROOT.glob(part)
)


@cache
def program() -> object:
    """The commands and groups."""
    return get_command(app)


def told_in(text: str) -> Iterator[str]:
    """What stands behind the program's name where it opens code, a line of it or a next step."""
    for found in re.finditer(r"(?:`|^ {4}|: )setpiece ([^`\n]*)", text, re.MULTILINE):
        yield found[1].replace("\\", " ").split("  #")[0]


def wrong_in(words: str) -> str:
    """The first word that is no command, or the first option that the command lacks."""
    command: object = program()
    for word in (w.strip('.,;:()"') for w in words.split()):
        inner = getattr(command, "commands", None)
        if not inner or not re.fullmatch(r"[a-z][a-z-]*", word):
            break
        if word not in inner:
            return word
        command = inner[word]
    params = command.params  # type: ignore[attr-defined]
    options = {o for p in params for o in (*p.opts, *p.secondary_opts)} | {"--help", "--version"}
    asked = re.findall(r"(?<!\S)--[a-z][\w-]*", words)
    return next((option for option in asked if option not in options), "")


def test_every_command_that_is_told_of_is_there() -> None:
    """Whatever a paper, a page or a message says to type is a command with these options."""
    found = [(path.name, words) for path in TEXTS for words in told_in(path.read_text("utf-8"))]
    assert len(found) > 200
    assert [(name, words) for name, words in found if wrong_in(words)] == []


def test_a_command_that_is_not_there_is_found() -> None:
    """A command by a wrong name, or with an option it lacks, would be told of here."""
    assert wrong_in("goal takes in") == "goal"
    assert wrong_in('sheet import home.txt --team home"') == "--team"
    assert wrong_in("sheet import home.txt --side home.") == ""
