"""`setpiece serve` as it is typed: where it listens, who may come, phones, a stop and a start."""

from __future__ import annotations

import http.client
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
import small_match
from served import Page

from setpiece.cli import page as command
from setpiece.errors import Busy, NotFound, WrongUse
from setpiece.match.entries import Kind, current
from setpiece.store.matches import log_of
from setpiece.store.workspace import Workspace
from setpiece.web.security import from_here

LAN = "192.168.7.20"
WAIT_S = 60


def free_port() -> int:
    """A port that nobody listens on just now."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        return taken.getsockname()[1]


@contextmanager
def typed(made: small_match.Made, *words: str) -> Iterator[Page]:
    """`setpiece serve` with these words in a process of its own, until the test is done."""
    process, port, first = _started(made, words)
    while "cannot be listened on" in first:  # another program took the port meanwhile
        process.communicate(timeout=WAIT_S)
        process, port, first = _started(made, words)
    try:
        if f"The match is at http://127.0.0.1:{port}/" not in first:
            pytest.fail(first + process.communicate(timeout=WAIT_S)[0])
        page = Page(port, made)
        _answers(page, process)
        yield page
        process.send_signal(signal.SIGTERM if sys.platform == "win32" else signal.SIGINT)
        rest = process.communicate(timeout=WAIT_S)[0]
        assert "Traceback" not in rest, rest
        assert sys.platform == "win32" or process.returncode == 0, rest
    finally:
        if process.poll() is None:
            process.kill()
            process.communicate()


def _started(made: small_match.Made, words: tuple[str, ...]) -> tuple[subprocess.Popen, int, str]:
    """A server on a port that was free, and the first line it says."""
    port = free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", "setpiece", "serve", "--workspace", str(made.folder),
         "--port", str(port), "--no-show", *words],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    return process, port, process.stdout.readline()


def _answers(page: Page, process: subprocess.Popen) -> None:
    """Waits until the server answers; it listens before, so the first request may wait too."""
    for _ in range(20):
        assert process.poll() is None
        with suppress(OSError, http.client.HTTPException):
            if page.ask("/static/css/phone.css").status == 200:
                return
    pytest.fail("the server never answered")


def test_a_phone_pairs_and_logs_with_the_server_as_typed(own: small_match.Made) -> None:
    """With --lan the laptop shows a code and an address; there a phone pairs and logs a goal."""
    with typed(own, "--lan", "--address", LAN) as page:
        at_phone = {"host": f"{LAN}:{page.port}"}
        shown = page.ask("/phones").text
        code = re.search(r'class="code"[^>]*>(\d{6})<', shown)
        assert code
        assert f"http://{LAN}:{page.port}/phone" in shown
        assert page.ask("/", headers=at_phone).status == 403
        assert page.ask("/phone", headers=at_phone).status == 200
        given = at_phone | {"origin": f"http://{LAN}:{page.port}"}
        answer = page.post("/phone/pair", {"code": code[1], "name": "left pocket"}, **given)
        assert answer.value == {"go": "/phone"}
        given["cookie"] = answer.headers["set-cookie"].split(";")[0]
        keys = {"keys": [{"at": "2027-03-06T16:40:00Z", "line": "goal 9r"}]}
        (logged,) = page.post(f"/phone{page.match}/keys", keys, **given).value
        assert logged["wrong"] == ""
    entry = current(log_of(Workspace.open(own.folder), own.match))[-1]
    assert (entry.id, entry.kind, entry.person) == (logged["entry"], Kind.GOAL, "home-9")


def test_without_lan_it_listens_on_this_machine_only(own: small_match.Made) -> None:
    """As typed without --lan the page stands, and there is nothing for phones."""
    with typed(own) as page:
        assert page.ask(page.match).status == 200
        assert page.ask("/phone").status == 404
        assert page.ask("/", headers={"host": f"{LAN}:{page.port}"}).status == 403


def test_a_request_from_the_network_never_reaches_the_laptops_pages() -> None:
    """Only who comes over the loopback address is this machine, whatever else is said."""
    assert from_here({"type": "http", "client": ("127.0.0.1", 5)})
    assert from_here({"type": "http", "client": ("::1", 5)})
    for client in (("192.168.7.33", 5), ("fe80::1%eth0", 5), ("phone", 5), None):
        assert not from_here({"type": "http", "client": client})


def test_a_taken_port_is_said_with_another(own: small_match.Made) -> None:
    """Where another program listens, nothing is served and another port is offered."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(Busy, match=rf"{port}: .*--port {port % 65535 + 1}"):
            command.serve_page(own.folder, port, lambda: small_match.LATER, show=False)


def test_phones_are_let_in_under_an_address_that_is_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is no address is refused, and so is --lan on a machine that is on no network."""
    assert command.phone_addresses([LAN]) == (LAN,)
    for text in ("laptop", "192.168.7", "fe80::1", "<b>"):
        with pytest.raises(WrongUse, match="no address"):
            command.phone_addresses([text])
    monkeypatch.setattr(command, "own_addresses", lambda: ())
    with pytest.raises(NotFound, match="hotspot"):
        command.phone_addresses([])
    with pytest.raises(WrongUse, match="--lan"):
        command.serve(tmp_path, 8027, address=[LAN])


def test_own_addresses_are_of_local_networks() -> None:
    """What is found by itself is private, and never the loopback address."""
    for address in command.own_addresses():
        assert re.match(r"10\.|172\.(1[6-9]|2\d|3[01])\.|192\.168\.|169\.254\.", address)
