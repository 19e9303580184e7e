"""A bad link in a box: a TCP proxy that delays, throttles, cuts, stalls and forgets.

It stands between a sender and a real server on the loopback address. With `ftp=True` it reads the
control connection and leads the passive data ports through itself too.
"""

from __future__ import annotations

import asyncio
import contextlib
import re
import socket
import struct
import threading
from collections.abc import Coroutine
from dataclasses import dataclass
from typing import Any, Self

_BLOCK = 64 * 1024
_PASSIVE = re.compile(rb"227 .*?\((\d+),(\d+),(\d+),(\d+),(\d+),(\d+)\)")
_EXTENDED = re.compile(rb"229 .*?\(\|\|\|(\d+)\|\)")


@dataclass(frozen=True)
class Fault:
    """One thing that goes wrong, once.

    `how`: "reset" both sides at once; "stall" both sides without a word, and the server is
    never told when the client goes away (half-open). The moment, on a "control" or "data"
    connection (an SFTP link is "control"): after so many bytes from the client, or when the
    client sends a command (it is swallowed), or when the final reply to a command comes (the
    reply is swallowed).
    """

    how: str = "reset"
    channel: str = "control"
    after_bytes: int | None = None
    at_command: bytes | None = None
    lost_reply_to: bytes | None = None


class _Broken(Exception):
    """The fault struck on this link."""


async def _for_ever() -> None:
    await asyncio.Event().wait()


class _Link:
    """One proxied connection: its two sides, and the fault that waits for it."""

    def __init__(self, channel: str, client: asyncio.StreamWriter) -> None:
        self.channel = channel
        self.client = client
        self.server: asyncio.StreamWriter | None = None
        self.sent = 0
        self.command = b""
        self.stalled = False

    def abort(self) -> None:
        for side in (self.client, self.server):
            if side is None:
                continue
            raw = side.get_extra_info("socket")
            with contextlib.suppress(OSError):
                raw.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
            side.transport.abort()


class LinkProxy:
    """Leads 127.0.0.1:`port` to a server's port.

    `delay_s` is one way, so a round trip costs twice that; `bytes_s` limits each connection's
    rate upwards. `down` True resets every new connection.
    """

    def __init__(
        self, server_port: int, *, ftp: bool, delay_s: float = 0.0, bytes_s: int | None = None
    ) -> None:
        self._server_port = server_port
        self._ftp = ftp
        self.delay_s = delay_s
        self.bytes_s = bytes_s
        self._block = _BLOCK if bytes_s is None else max(512, min(_BLOCK, bytes_s // 20))
        self.down = False
        self.data_blocked = False
        self.struck: list[Fault] = []
        self._armed: list[Fault] = []
        self._links: set[_Link] = set()
        self._tasks: set[asyncio.Task[None]] = set()
        self._servers: list[asyncio.Server] = []
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)
        self.port = 0

    def __enter__(self) -> Self:
        self._thread.start()
        self.port = self._call(self._listen("control", self._server_port))
        return self

    def __exit__(self, *_: object) -> None:
        self._call(self._end())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join()
        self._loop.close()

    def arm(self, *faults: Fault) -> None:
        """These faults strike the next connections, each once, in order."""
        self._armed.extend(faults)

    def mend(self) -> None:
        """No fault waits any more, and stalled links are cut."""
        self._armed.clear()
        self.down = self.data_blocked = False
        self._loop.call_soon_threadsafe(self._cut_all)

    def _call(self, coroutine: Coroutine[Any, Any, Any]) -> Any:
        return asyncio.run_coroutine_threadsafe(coroutine, self._loop).result(10)

    def _cut_all(self) -> None:
        for link in list(self._links):
            link.abort()

    async def _end(self) -> None:
        for server in self._servers:
            server.close()
        self._cut_all()
        for task in list(self._tasks):
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        await asyncio.sleep(0)

    async def _listen(self, channel: str, server_port: int) -> int:
        async def accept(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            task = asyncio.current_task()
            assert task is not None
            self._tasks.add(task)
            try:
                await self._carry(channel, server_port, reader, writer)
            except (OSError, asyncio.CancelledError):
                writer.transport.abort()
            finally:
                self._tasks.discard(task)

        listening = socket.socket()
        # Small, so that what the client sends has really gone when the fault strikes.
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, self._block)
        listening.bind(("127.0.0.1", 0))
        server = await asyncio.start_server(accept, sock=listening, limit=self._block)
        self._servers.append(server)
        port: int = server.sockets[0].getsockname()[1]
        return port

    async def _carry(
        self,
        channel: str,
        server_port: int,
        reader: asyncio.StreamReader,
        writer: asyncio.StreamWriter,
    ) -> None:
        link = _Link(channel, writer)
        if self.down:
            link.abort()
            return
        if self.delay_s:  # the client's hello takes a round trip that the loopback does not
            await asyncio.sleep(2 * self.delay_s)
        server_reader, link.server = await asyncio.open_connection("127.0.0.1", server_port)
        self._links.add(link)
        ways = [
            asyncio.ensure_future(self._way(link, reader, link.server, up=True)),
            asyncio.ensure_future(self._way(link, server_reader, writer, up=False)),
        ]
        try:
            await asyncio.gather(*ways)
        except (_Broken, OSError):
            link.abort()
        finally:
            for way in ways:
                way.cancel()
            await asyncio.gather(*ways, return_exceptions=True)
            link.abort()
            self._links.discard(link)

    async def _way(
        self, link: _Link, source: asyncio.StreamReader, sink: asyncio.StreamWriter, *, up: bool
    ) -> None:
        """Carries one direction: read now, write when its time has come."""
        under_way: asyncio.Queue[tuple[float, bytes]] = asyncio.Queue(1 if self.bytes_s else 512)
        out = asyncio.ensure_future(self._put_out(under_way, sink, up=up))
        try:
            while block := await source.read(self._block):
                if link.stalled:  # nothing is read any more, and nobody is told
                    await _for_ever()
                passed, fault = await self._inspect(link, source, block, up=up)
                if passed:
                    await under_way.put((self._loop.time() + self.delay_s, passed))
                if fault is not None:
                    await self._strike(link, fault, under_way)
            await under_way.put((self._loop.time() + self.delay_s, b""))
            await out
        finally:
            out.cancel()
            await asyncio.gather(out, return_exceptions=True)

    async def _put_out(
        self, under_way: asyncio.Queue[tuple[float, bytes]], sink: asyncio.StreamWriter, *, up: bool
    ) -> None:
        while True:
            due, block = await under_way.get()
            wait = due - self._loop.time()
            if wait > 0:
                await asyncio.sleep(wait)
            if not block:
                if sink.can_write_eof():
                    sink.write_eof()
                under_way.task_done()
                return
            sink.write(block)
            await sink.drain()
            under_way.task_done()
            if up and self.bytes_s:
                await asyncio.sleep(len(block) / self.bytes_s)

    async def _strike(
        self, link: _Link, fault: Fault, under_way: asyncio.Queue[tuple[float, bytes]]
    ) -> None:
        self.struck.append(fault)
        if fault.how == "stall":
            link.stalled = True
            await _for_ever()
        await under_way.join()
        raise _Broken

    async def _inspect(
        self, link: _Link, source: asyncio.StreamReader, block: bytes, *, up: bool
    ) -> tuple[bytes, Fault | None]:
        """What passes of a block, and the fault that strikes after it."""
        if self._ftp and link.channel == "control":
            while not block.endswith(b"\n"):  # whole lines only
                more = await source.read(self._block)
                if not more:
                    break
                block += more
            return self._commands(link, block) if up else await self._replies(link, block)
        if up:
            fault = self._wants(link, lambda f: f.after_bytes is not None)
            if fault is not None and link.sent + len(block) >= (fault.after_bytes or 0):
                self._armed.remove(fault)
                keep = (fault.after_bytes or 0) - link.sent
                link.sent += keep
                return block[:keep], fault
            link.sent += len(block)
        return block, None

    def _commands(self, link: _Link, block: bytes) -> tuple[bytes, Fault | None]:
        link.command = block
        fault = self._wants(link, lambda f: f.at_command and block.startswith(f.at_command))
        if fault is None:
            return block, None
        self._armed.remove(fault)
        return b"", fault

    async def _replies(self, link: _Link, block: bytes) -> tuple[bytes, Fault | None]:
        final = not block.startswith(b"1")
        fault = self._wants(
            link,
            lambda f: f.lost_reply_to and final and link.command.startswith(f.lost_reply_to),
        )
        if fault is not None:
            self._armed.remove(fault)
            return b"", fault
        for pattern in (_PASSIVE, _EXTENDED):
            found = pattern.match(block)
            if found:
                return await self._through_us(pattern, found, block), None
        return block, None

    async def _through_us(
        self, pattern: re.Pattern[bytes], found: re.Match[bytes], block: bytes
    ) -> bytes:
        """The passive reply with a port of ours in place of the server's."""
        if pattern is _EXTENDED:
            theirs = int(found[1])
        else:
            theirs = int(found[5]) * 256 + int(found[6])
        if self.data_blocked:
            ours = closed_port()
        else:
            ours = await self._listen("data", theirs)
        if pattern is _EXTENDED:
            return block.replace(found[1], b"%d" % ours)
        numbers = b"127,0,0,1,%d,%d" % divmod(ours, 256)
        return block.replace(b",".join(found.groups()), numbers)

    def _wants(self, link: _Link, fits: Any) -> Fault | None:
        return next((f for f in self._armed if f.channel == link.channel and fits(f)), None)


def closed_port() -> int:
    """A port of 127.0.0.1 at which nobody listens."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port
