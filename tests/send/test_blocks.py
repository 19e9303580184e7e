"""Writes in blocks: every answer counts, whatever the order they come in."""

from __future__ import annotations

import socket
import struct
import threading

import paramiko
import pytest
from paramiko import sftp as wire

from setpiece.errors import Stopped
from setpiece.send.blocks import Blocks, Watch
from setpiece.send.link import Patience

OK, FAILURE = 0, 4


class Wire:
    """The far end of a session: remembers requests, answers what it is told to."""

    def __init__(self) -> None:
        self.requests: list[int] = []
        self._answers = bytearray()

    def send(self, packet: bytes) -> int:
        kind, number = struct.unpack(">BI", packet[4:9])
        if kind == wire.CMD_INIT:
            self._put(struct.pack(">BI", wire.CMD_VERSION, 3))
        else:
            self.requests.append(number)
        return len(packet)

    def answer(self, number: int, status: int) -> None:
        text = struct.pack(">I", 7) + b"Failure" + struct.pack(">I", 0)
        self._put(struct.pack(">BII", wire.CMD_STATUS, number, status) + text)

    def _put(self, packet: bytes) -> None:
        self._answers += struct.pack(">I", len(packet)) + packet

    def recv(self, size: int) -> bytes:
        taken = bytes(self._answers[:size])
        del self._answers[:size]
        return taken

    def get_name(self) -> str:
        return "a wire"

    def close(self) -> None:
        """Nothing to close."""


@pytest.fixture
def far() -> Wire:
    """The far end."""
    return Wire()


@pytest.fixture
def blocks(far: Wire) -> Blocks:
    """Three blocks under way."""
    made = Blocks(paramiko.SFTPClient(far), b"handle")
    for number, size in enumerate((100, 200, 300)):
        assert made.write(number * 300, bytes(size)) == size
    return made


def test_answers_in_any_order(blocks: Blocks, far: Wire) -> None:
    """Each answer confirms the bytes of its own write, though they come in another order."""
    for number in reversed(far.requests):
        far.answer(number, OK)
    assert [blocks.answer() for _ in far.requests] == [300, 200, 100]
    assert blocks.waiting == 0


def test_one_failure_is_not_lost(blocks: Blocks, far: Wire) -> None:
    """A write that failed is raised, though writes after it succeeded."""
    for number, status in zip(far.requests, (OK, FAILURE, OK), strict=True):
        far.answer(number, status)
    assert blocks.answer() == 100
    with pytest.raises(OSError, match="Failure"):
        blocks.answer()


def test_a_session_that_ends(blocks: Blocks) -> None:
    """When the far end closes, waiting ends with an error."""
    with pytest.raises(paramiko.SSHException, match="dropped"):
        blocks.answer()


class Closable:
    """As much of a transport as the watch needs."""

    def __init__(self) -> None:
        self.closed = threading.Event()
        self.sock = socket.socket()
        self.sock.close()

    def close(self) -> None:
        self.closed.set()


def test_the_watch_cuts_what_stands_still() -> None:
    """A transfer in which nothing moves is cut once its time is over."""
    transport = Closable()
    patience = Patience(0.05, lambda: False, "x")
    with Watch(transport, patience):
        assert transport.closed.wait(10)
    with pytest.raises(TimeoutError):
        patience.look()


def test_the_watch_cuts_what_was_stopped() -> None:
    """A stop is seen while the transfer itself is blocked."""
    transport = Closable()
    patience = Patience(60, lambda: True, "x")
    with Watch(transport, patience):
        assert transport.closed.wait(10)
    with pytest.raises(Stopped):
        patience.look()


def test_the_watch_leaves_alone_what_ended() -> None:
    """A transfer that ends in time is not cut."""
    transport = Closable()
    with Watch(transport, Patience(60, lambda: False, "x")):
        pass
    assert not transport.closed.is_set()
