"""The link: a TCP connection kept awake, and the patience with which it is waited for."""

from __future__ import annotations

import contextlib
import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic

from setpiece.errors import Stopped
from setpiece.send.desk import DeskAddress

if sys.platform == "linux":
    import fcntl
    import termios

SLICE_S = 0.2
"""A blocked write looks up this often to see whether the photographer stopped it."""

UNSENT_BYTES = 128 * 1024
"""What the system may hold ahead of the link. Without a limit it takes megabytes at once, and on
a slow link the last byte would seem sent long before it is."""

_IDLE_OPTIONS = ("TCP_KEEPIDLE", "TCP_KEEPALIVE")  # Linux and Windows; macOS
_AGAIN_OPTION = "TCP_KEEPINTVL"
_COUNT_OPTION = "TCP_KEEPCNT"
_SO_NWRITE = 0x1024  # macOS, sys/socket.h: bytes in the send buffer; Python gives it no name


def open_link(address: DeskAddress, host: str, port: int) -> socket.socket:
    """A connected socket with the desk's timeout, no delay for small packets, and keep-alive."""
    link = socket.create_connection((host, port), address.timeout_s)
    link.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    unsent = getattr(socket, "TCP_NOTSENT_LOWAT", None)  # Windows has none
    if unsent is not None:
        link.setsockopt(socket.IPPROTO_TCP, unsent, UNSENT_BYTES)
    if address.keep_alive_s:
        _keep_awake(link, address.keep_alive_s)
    return link


def _keep_awake(link: socket.socket, every_s: int) -> None:
    """Mobile networks forget idle connections within minutes; the probes keep them known."""
    link.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    wanted = [(name, every_s) for name in _IDLE_OPTIONS]
    wanted += [(_AGAIN_OPTION, max(1, every_s // 4)), (_COUNT_OPTION, 4)]
    for name, value in wanted:
        option = getattr(socket, name, None)
        if option is not None:
            link.setsockopt(socket.IPPROTO_TCP, option, value)


def under_way_bytes(link: socket.socket) -> int:
    """Bytes handed to the system that the other side has not acknowledged; 0 where it won't say.

    Without this a slow link looks done long before it is, because the system takes bytes ahead.
    """
    with contextlib.suppress(OSError, ValueError):  # the second for a closed one
        if sys.platform == "linux":
            answer = fcntl.ioctl(link.fileno(), termios.TIOCOUTQ, b"\0\0\0\0")
            return int.from_bytes(answer, sys.byteorder)
        if sys.platform == "darwin":
            return link.getsockopt(socket.SOL_SOCKET, _SO_NWRITE)
    return 0


class Rising:
    """Tells progress only when it is more than was told before."""

    def __init__(self, progress: Callable[[int], None], told: int) -> None:
        self._progress = progress
        self._told = told

    def __call__(self, done: int) -> None:
        if done > self._told:
            self._told = done
            self._progress(done)


class Patience:
    """How long a transfer may stand still, and whether it was stopped.

    `look` raises TimeoutError after `timeout_s` without `moved`, Stopped when asked to stop.
    """

    def __init__(self, timeout_s: float, stopped: Callable[[], bool], what: str) -> None:
        self._timeout_s = timeout_s
        self._stopped = stopped
        self._what = what
        self._moved_at = monotonic()
        self._under_way_bytes = 0

    def moved(self) -> None:
        """Bytes went out or were acknowledged: the waiting starts anew."""
        self._moved_at = monotonic()

    def notice(self, link: socket.socket) -> int:
        """Looks at what is under way on the link, which moves long before anybody answers.

        Gives `under_way_bytes`.
        """
        now = under_way_bytes(link)
        if now != self._under_way_bytes:
            self._under_way_bytes = now
            self.moved()
        return now

    @property
    def over(self) -> bool:
        """Whether nothing moved for too long."""
        return monotonic() - self._moved_at > self._timeout_s

    @property
    def stopped(self) -> bool:
        """Whether the photographer asked to stop."""
        return self._stopped()

    @contextmanager
    def over_errors(self) -> Iterator[None]:
        """Inside, the transfer's own end (stopped, timed out) is told before what followed it."""
        try:
            yield
        except Exception:
            self.look()
            raise

    def look(self) -> None:
        """Raises Stopped or TimeoutError when there is reason to end the transfer."""
        if self._stopped():
            raise Stopped(
                "stopped as you asked",
                thing=self._what,
                next_step="What the desk has so far is used again.",
            )
        if self.over:
            raise TimeoutError(f"nothing moved for {self._timeout_s:g} s")
