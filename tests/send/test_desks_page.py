"""The page about desks names every setting and explains every message."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

import pytest

from setpiece.send import desk, trouble
from setpiece.send.desk import DeskAddress

PAGE = Path(__file__).resolve().parents[2] / "docs" / "desks.md"
SEND = Path(desk.__file__).parent

SETTINGS = {
    "timeout_s": "timeout",
    "keep_alive_s": "keep-alive",
    "extended_passive": "extended passive",
    "key_file": "key file",
    "temporary_name": "temporary name",
    "port": "host, port",
    "host": "host, port",
}

FOR_PROGRAMMERS = {
    # what no desk can bring about: a file or a host of the SSH library that we never let it read
    "an SSH configuration cannot be read",
    "the file of known hosts has a line that cannot be read",
    "the name cannot be written in UTF-8",
    "the server's certificate does not hold",
    "the server's key is not the one that is known",
    "the key file is locked",
    "the key file cannot be read",
}


@pytest.fixture(scope="module")
def page() -> str:
    """The page in one line."""
    return " ".join(PAGE.read_text(encoding="utf-8").split())


@pytest.mark.parametrize("name", [f.name for f in fields(DeskAddress)])
def test_every_setting_has_a_row(page: str, name: str) -> None:
    """Each field of an address is a row of the table of settings."""
    assert f"| {SETTINGS.get(name, name)} |" in page


def verdicts() -> set[str]:
    """What every verdict of the border says, up to the step that failed."""
    tables = [trouble._REPLIES, trouble._BY_NUMBER, trouble._FAILURE, trouble.KINDS]
    found = {v for table in tables for v in table.values() if isinstance(v, trouble.Verdict)}
    found |= {v for v in vars(trouble).values() if isinstance(v, trouble.Verdict)}
    return {re.split(r" (?:while )?\{doing\}", v.what)[0] for v in found} - FOR_PROGRAMMERS


@pytest.mark.parametrize("what", sorted(verdicts()))
def test_every_message_is_explained(page: str, what: str) -> None:
    """What a desk's trouble is called on the screen stands on the page, word for word."""
    assert what in page
