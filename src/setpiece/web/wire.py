"""The wire to open pages: what changed in the workspace, and how far jobs are, as it happens.

Server-sent events (WHATWG HTML, section 9.2). Nothing polls: the system tells when the database
file was written, by this process or another, and only then is the news table read.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass

from starlette.concurrency import run_in_threadpool
from starlette.responses import StreamingResponse
from starlette.types import Receive, Scope, Send
from watchfiles import Change, awatch

from setpiece.store.news import News, Topic, newest_number, news_since
from setpiece.store.workspace import DATABASE, Workspace

BEAT_S = 25.0
"""A comment so often on a silent wire shows both ends that the other is there."""

SETTLE_MS = 20
"""Writes this close together are told together."""

QUEUE_MOST = 500
"""A page that is further behind than this is told to look at everything again."""


@dataclass(frozen=True, slots=True)
class Message:
    """One event: its name, its data, and the match it is about (None: all)."""

    name: str
    data: str
    match_id: int | None
    number: int | None = None

    def text(self) -> str:
        """The event as it goes over the wire."""
        head = f"id: {self.number}\n" if self.number is not None else ""
        return f"{head}event: {self.name}\ndata: {self.data}\n\n"


class EventStream(StreamingResponse):
    """A stream that a stopping server may cut off; that is no error."""

    media_type = "text/event-stream"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Sends until the page or the server goes away."""
        try:
            await super().__call__(scope, receive, send)
        except asyncio.CancelledError:
            with contextlib.suppress(Exception):
                await send({"type": "http.response.body", "body": b"", "more_body": False})


class Wire:
    """Gives every open page its stream."""

    def __init__(self, space: Workspace) -> None:
        self.space = space
        self._loop: asyncio.AbstractEventLoop | None = None
        self._pages: set[asyncio.Queue[Message | None]] = set()
        self._told = newest_number(space)
        self.on_news: Callable[[], None] = lambda: None

    @contextlib.asynccontextmanager
    async def open(self) -> AsyncIterator[None]:
        """Watches the workspace while the server runs."""
        self._loop = asyncio.get_running_loop()
        stop = asyncio.Event()
        watching = asyncio.create_task(self._watch(stop))
        try:
            yield
        finally:
            stop.set()
            self._loop = None
            self.close()
            await watching

    def close(self) -> None:
        """Ends every page's stream, so that the server can stop."""
        for page in list(self._pages):
            page.put_nowait(None)

    def progress(self, match_id: int, kind: str, done: int, total: int, what: str) -> None:
        """Tells how far a job is; called from the job's own thread."""
        data = json.dumps({"job": kind, "done": done, "total": total, "what": what})
        self._from_thread(Message("progress", data, match_id))

    def said(self, match_id: int, kind: str, text: str, tone: str) -> None:
        """Tells how a job ended; called from the job's own thread."""
        data = json.dumps({"job": kind, "text": text, "tone": tone})
        self._from_thread(Message("said", data, match_id))

    def changed(self, match_id: int) -> None:
        """Tells a match's pages to look again; called from any thread."""
        self._from_thread(Message(Topic.OUTBOX.value, "", match_id))

    async def stream(self, match_id: int, since: int | None) -> AsyncIterator[str]:
        """The events of one match for one page, from the news after `since` on."""
        queue: asyncio.Queue[Message | None] = asyncio.Queue(QUEUE_MOST)
        self._pages.add(queue)
        try:
            yield "retry: 1000\n\n"
            if since is not None:
                missed = await run_in_threadpool(news_since, self.space, since)
                for message in map(_message, missed):
                    if message.match_id in (match_id, None):
                        yield message.text()
            while True:
                try:
                    message_or_end = await asyncio.wait_for(queue.get(), BEAT_S)
                except TimeoutError:
                    yield ": still here\n\n"
                    continue
                if message_or_end is None:
                    return
                if message_or_end.match_id in (match_id, None):
                    yield message_or_end.text()
        finally:
            self._pages.discard(queue)

    async def look(self) -> None:
        """Reads the news that came since and gives them to every page."""
        fresh = await run_in_threadpool(news_since, self.space, self._told)
        if fresh:
            self.on_news()
        for news in fresh:
            if news.number > self._told:
                self._told = news.number
                self._tell(_message(news))

    def look_soon(self) -> None:
        """Has the news read at once; called from a request's thread after it changed something."""
        if self._loop is not None:
            asyncio.run_coroutine_threadsafe(self.look(), self._loop)

    async def _watch(self, stop: asyncio.Event) -> None:
        names = (DATABASE, f"{DATABASE}-wal")

        def ours(_change: Change, path: str) -> bool:
            return path.endswith(names)

        watch = awatch(
            self.space.folder,
            watch_filter=ours,
            debounce=SETTLE_MS * 5,
            step=SETTLE_MS,
            stop_event=stop,
            recursive=False,
        )
        async for _ in watch:
            await self.look()

    def _from_thread(self, message: Message) -> None:
        loop = self._loop
        if loop is not None:
            with contextlib.suppress(RuntimeError):  # the server has just stopped
                loop.call_soon_threadsafe(self._tell, message)

    def _tell(self, message: Message) -> None:
        for page in self._pages:
            if page.full():
                while not page.empty():
                    page.get_nowait()
                page.put_nowait(Message("frames", "", None))
            page.put_nowait(message)


def _message(news: News) -> Message:
    return Message(news.topic.value, json.dumps(news.about), news.match_id, news.number)
