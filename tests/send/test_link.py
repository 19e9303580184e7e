"""The link: its options, its patience, and what is still under way."""

from __future__ import annotations

import contextlib
import socket
import sys
from collections.abc import Iterator

import pytest

from setpiece.errors import Stopped
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.link import Patience, Rising, open_link, under_way_bytes


@pytest.fixture
def listening() -> Iterator[socket.socket]:
    """A socket that accepts and never reads."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        yield server


def address(**changes) -> DeskAddress:
    """A desk on this computer."""
    return DeskAddress(Protocol.FTP, "127.0.0.1", user="ada", **changes)


def test_idle_connections_are_kept_awake(listening: socket.socket) -> None:
    """The system probes an idle link as often as the desk's settings say, or never."""
    port = listening.getsockname()[1]
    with open_link(address(keep_alive_s=45), "127.0.0.1", port) as link:
        assert link.getsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE)
        if hasattr(socket, "TCP_KEEPIDLE"):
            assert link.getsockopt(socket.IPPROTO_TCP, socket.TCP_KEEPIDLE) == 45
    with open_link(address(keep_alive_s=0), "127.0.0.1", port) as link:
        assert not link.getsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE)


def test_the_timeout_is_the_desks(listening: socket.socket) -> None:
    """A link waits as long as the desk's settings say."""
    with open_link(address(timeout_s=7.5), "127.0.0.1", listening.getsockname()[1]) as link:
        assert link.gettimeout() == 7.5


@pytest.mark.skipif(sys.platform not in ("linux", "darwin"), reason="the system does not say")
def test_bytes_under_way_are_known(listening: socket.socket) -> None:
    """What the other side has not taken is counted, and what it takes is counted off."""
    with open_link(address(timeout_s=0.2), "127.0.0.1", listening.getsockname()[1]) as link:
        other, _ = listening.accept()
        with other:
            assert under_way_bytes(link) == 0
            sent = 0
            with contextlib.suppress(TimeoutError):
                while True:
                    sent += link.send(bytes(65_536))
            assert 0 < under_way_bytes(link) < sent
            taken = 0
            while taken < sent:
                taken += len(other.recv(65_536))
            while under_way_bytes(link):  # acknowledgements are on their way
                pass
    assert under_way_bytes(link) == 0, "a closed link has nothing under way"


def test_progress_only_rises() -> None:
    """Progress that falls back or stands still is not told."""
    told: list[int] = []
    rising = Rising(told.append, 10)
    for done in (5, 10, 12, 11, 12, 20):
        rising(done)
    assert told == [12, 20]


def test_bytes_that_move_renew_patience(listening: socket.socket) -> None:
    """What goes out or is taken counts as movement, though nobody has answered yet."""
    with open_link(address(), "127.0.0.1", listening.getsockname()[1]) as link:
        other, _ = listening.accept()
        with other:
            patience = Patience(60.0, lambda: False, "x")
            before = patience._moved_at
            assert patience.notice(link) == 0
            assert patience._moved_at == before
            link.send(bytes(300_000))
            if sys.platform in ("linux", "darwin"):
                assert patience.notice(link) > 0
                assert patience._moved_at > before


def test_patience_ends() -> None:
    """Without movement it is over after its time; a stop comes before that."""
    short = Patience(0.0, lambda: False, "a.jpg")
    while not short.over:
        pass
    with pytest.raises(TimeoutError):
        short.look()
    with pytest.raises(Stopped, match=r"a\.jpg"):
        Patience(60.0, lambda: True, "a.jpg").look()
    Patience(60.0, lambda: False, "a.jpg").look()


def test_its_end_is_told_before_what_followed() -> None:
    """An error that a stop or a timeout brought about gives way to its cause; others stay."""
    with pytest.raises(Stopped), Patience(60.0, lambda: True, "x").over_errors():
        raise EOFError
    with pytest.raises(EOFError), Patience(60.0, lambda: False, "x").over_errors():
        raise EOFError
