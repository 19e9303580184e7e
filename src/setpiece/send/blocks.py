"""SFTP writes in blocks, many on their way at once, each answer looked at."""

from __future__ import annotations

import threading
from typing import Any

import paramiko
from paramiko import sftp as wire

from setpiece.send.link import SLICE_S, Patience

BLOCK = 32_000
"""Bytes a write: with its headers it fits one SSH packet (RFC 4253 section 6.1: 32,768)."""

WINDOW = 64
"""Writes on their way unanswered, about 2 MB: a whole rendition at once, so that a far server
costs one round trip and not fifty."""


class Blocks:
    """Writes on their way, and what the server answered to each.

    paramiko's own pipelined mode drops the answers, so that a disk which filled up in the middle
    would go unnoticed; this is the call-back by which it reads ahead.
    """

    def __init__(self, session: paramiko.SFTPClient, handle: bytes) -> None:
        self._waiting: dict[int, int] = {}
        self._session = session
        self._handle = handle
        self._confirmed = 0
        self._error: Exception | None = None

    @property
    def waiting(self) -> int:
        """How many writes have no answer yet."""
        return len(self._waiting)

    def write(self, offset: int, block: bytes) -> int:
        """Sends one write; gives its length."""
        number = self._session._async_request(
            self, wire.CMD_WRITE, self._handle, wire.int64(offset), block
        )
        self._waiting[number] = len(block)
        return len(block)

    def answer(self) -> int:
        """Waits for one answer; gives the bytes it confirms."""
        self._session._read_response()
        if self._error is not None:
            raise self._error
        confirmed, self._confirmed = self._confirmed, 0
        return confirmed

    def _async_response(self, kind: int, message: Any, number: int) -> None:
        self._confirmed += self._waiting.pop(number)
        try:
            self._session._convert_status(message)
        except (OSError, EOFError) as error:
            self._error = error


class Watch:
    """Cuts the connection when a transfer stands still or was stopped.

    paramiko waits without limit for a socket that takes no more bytes, and a fixed limit for an
    answer, which on a slow link is long in coming though bytes move. Only closing ends the first,
    and the second has no limit while the watch is on.
    """

    def __init__(self, transport: paramiko.Transport, patience: Patience) -> None:
        self._transport = transport
        self._patience = patience
        self._done = threading.Event()
        self._thread = threading.Thread(target=self._run, name="setpiece-sftp-watch", daemon=True)

    def _run(self) -> None:
        while not self._done.wait(SLICE_S):
            self._patience.notice(self._transport.sock)
            if self._patience.stopped or self._patience.over:
                self._transport.close()
                return

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._done.set()
        self._thread.join()
