"""A desk's password is in the keyring or the environment, on the wire, and nowhere else."""

from __future__ import annotations

import base64
import io
import logging
import os
import subprocess
import sys
import traceback
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote, quote_plus

import keyring
import pytest
import small_match
import typer
from keyring.backend import KeyringBackend
from served import Page

sys.path.append(str(Path(__file__).parent.parent / "send"))

from servers import PyFtp

from setpiece.cli.main import app
from setpiece.cli.terminal import guarded
from setpiece.errors import Refused
from setpiece.send.desk import Secret

PASSWORD = "Wetterleuchten+41 über/Mittag"
VARIABLE = "SETPIECE_PASSWORD_CITY"
SPELLED = {
    form.encode()
    for form in (
        PASSWORD, quote(PASSWORD, safe=""), quote_plus(PASSWORD), ascii(PASSWORD)[1:-1],
        base64.b64encode(PASSWORD.encode()).decode().rstrip("="),
        PASSWORD.encode().hex(), "Wetterleuchten",
    )
}  # fmt: skip
"""The password as it might be written by mistake; the last one also finds a part of it."""

NOISY = f"530 No: {PASSWORD} is wrong"
"""What a careless server answers."""


class Kept(KeyringBackend):
    """A keyring in memory."""

    priority = 1  # type: ignore[assignment]

    def __init__(self) -> None:
        self.words: dict[tuple[str, str], str] = {}

    def get_password(self, service: str, username: str) -> str | None:
        return self.words.get((service, username))

    def set_password(self, service: str, username: str, password: str) -> None:
        self.words[service, username] = password

    def delete_password(self, service: str, username: str) -> None:
        del self.words[service, username]


@pytest.fixture
def kept() -> Iterator[Kept]:
    """The system's keyring, in memory for one test."""
    before = keyring.get_keyring()
    mine = Kept()
    keyring.set_keyring(mine)
    yield mine
    keyring.set_keyring(before)


def holding(text: bytes | str) -> list[bytes]:
    """The spellings of the password that stand in it."""
    data = text.encode("utf-8", "replace") if isinstance(text, str) else text
    return [form for form in SPELLED if form in data]


def files_holding(folder: Path) -> list[str]:
    """Files below a folder that hold the password, the database's own among them."""
    files = [p for p in folder.rglob("*") if p.is_file()]
    assert files
    return [p.name for p in files if holding(p.read_bytes())]


def typed(folder: Path, *words: str) -> tuple[int, str]:
    """Runs `setpiece` with these words: its status, and all that it printed."""
    said = io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["setpiece", *words, "--workspace", str(folder)])
        patch.setattr(sys, "stdin", io.StringIO())
        patch.setattr(sys, "stdout", said)
        patch.setattr(sys, "stderr", said)
        status = guarded(app)
    return status, said.getvalue()


def add_city(folder: Path, port: int) -> None:
    """A desk City at a port of this machine."""
    status, said = typed(folder, "desk", "add", "City", "--protocol", "ftp", "--host", "127.0.0.1",
                         "--port", str(port), "--user", "ada", "--style", "north")  # fmt: skip
    assert status == 0, said


@pytest.mark.network
def test_the_password_is_nowhere_after_tests_and_sends(
    own: small_match.Made,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    """Whether the desk takes it, refuses it, repeats it or is away: no output, log, database or
    file of the workspace holds the password in any spelling."""
    monkeypatch.setenv(VARIABLE, PASSWORD)
    caplog.set_level(logging.DEBUG)
    (tmp_path / "desk").mkdir()
    said: list[str] = []
    frame = own.frames[12]

    def each(*commands: str) -> None:
        for words in commands:
            said.append(f"{words}: {typed(own.folder, *words.split())[1]}")

    send, test = f"send {frame} --desk City", "desk test City"
    with PyFtp(tmp_path / "desk", password=PASSWORD) as ftp:
        add_city(own.folder, ftp.ftp.address[1])
        each(test, send, "outbox --json", "desk list --json")
        assert any((tmp_path / "desk").rglob("*.jpg")), said
        for command in ("PASS", "STOR", "SIZE"):
            ftp.handler.replies = {command: NOISY}
            each(f"{test} --json", f"send {own.frames[20]} --desk City --json")
    each(test, send, "outbox", "desk list", "doctor")
    ours = [r for r in caplog.records if r.name != "pyftpdlib"]  # that is the desk, not us
    assert any("[hidden]" in words for words in said), said
    assert not [words for words in said if holding(words)]
    assert not [r for r in ours if holding(f"{r.getMessage()} {r.exc_text}")]
    assert files_holding(own.folder) == []


@pytest.mark.network
def test_the_password_is_in_no_process_list(
    own: small_match.Made, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While a desk is tested by a process of its own, nothing that it or its children were started
    with holds the password."""
    if not Path("/proc/self/cmdline").exists():
        pytest.skip("this system does not list processes as files")
    (tmp_path / "desk").mkdir()
    monkeypatch.setenv(VARIABLE, PASSWORD)
    lines: set[bytes] = set()
    with PyFtp(tmp_path / "desk", password=PASSWORD) as ftp:
        add_city(own.folder, ftp.ftp.address[1])
        command = [sys.executable, "-m", "setpiece", "desk", "test", "City"]
        process = subprocess.Popen(
            [*command, "--workspace", str(own.folder)], stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT, env={**os.environ, "PYTHONUTF8": "1"},
        )  # fmt: skip
        while process.poll() is None:
            for other in Path("/proc").glob("[0-9]*/cmdline"):
                try:
                    lines.add(other.read_bytes())
                except OSError:
                    continue
        assert process.stdout is not None
        said = process.stdout.read()
        process.stdout.close()
    assert process.returncode == 0, said
    assert any(b"setpiece\0desk\0test" in line for line in lines)
    assert not [line for line in lines if holding(line)]
    assert not holding(said)


@pytest.mark.network
def test_an_errors_whole_story_holds_no_password(tmp_path: Path) -> None:
    """A traceback of a refused log-in, causes included, does not hold what was sent."""
    with PyFtp(tmp_path, password="another") as ftp:
        ftp.handler.replies = {"PASS": NOISY}
        sender = ftp.server.open()
        sender._secret = Secret(PASSWORD)
        with pytest.raises(Refused) as caught, sender:
            pass
    story = "".join(traceback.format_exception(caught.value))
    assert "does not accept" in story
    assert not holding(story)
    assert not holding(repr(Secret(PASSWORD)))


def test_the_page_keeps_the_password_in_the_keyring_only(lan: Page, kept: Kept) -> None:
    """Typed on the page it reaches the keyring; no answer, page, address or file shows it."""
    form = {"name": "north", "password": PASSWORD}
    answers = [lan.post("/desks/password", form)]
    assert kept.words == {("setpiece", "north"): PASSWORD}
    wrong = {"name": "north", "password": PASSWORD + "\n"}
    answers += [lan.post("/desks/password", wrong), lan.post("/desks/password", {"name": wrong})]
    answers += [lan.ask(path) for path in ("/", "/doctor", lan.match, f"{lan.match}/desk")]
    (kept_so, no_ends, no_form, *pages) = answers
    assert [a.status for a in answers] == [200, 422, 422, 200, 200, 200, 200]
    assert not [a.body for a in (kept_so, no_ends, *pages) if holding(a.body)]
    assert not [a.headers for a in answers if holding(str(a.headers))]
    assert files_holding(lan.made.folder) == []
    assert no_form.status == 422


def test_a_form_that_lacks_a_part_does_not_repeat_the_password(lan: Page) -> None:
    """A malformed form is refused without its contents in the answer."""
    answer = lan.post("/desks/password", {"password": PASSWORD})
    assert answer.status == 422
    assert not holding(answer.body)


def test_no_command_takes_a_password(own: small_match.Made) -> None:
    """No argument or option is a password: the shell's history and the process list keep those."""
    known = list(commands(typer.main.get_command(app)))
    assert len(known) > 60
    names = {name for command in known for p in command.params for name in p.opts}
    assert "--reason" in names
    assert not [n for n in names if any(w in n for w in ("password", "secret", "token", "pass-"))]


def commands(group: object) -> Iterator[typer.core.TyperCommand]:
    """Every command below a group."""
    for command in getattr(group, "commands", {}).values():
        if hasattr(command, "commands"):
            yield from commands(command)
        else:
            yield command
