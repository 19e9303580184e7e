"""The page served over a small match on the loopback address, and one request to it."""

from __future__ import annotations

import http.client
import json
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field

import small_match

from setpiece.match.instants import Instant
from setpiece.web.app import make_app
from setpiece.web.serving import PageServer
from setpiece.work.battery import Battery, Power

NOW = small_match.LATER
HOSTS = frozenset({"127.0.0.1"})


@dataclass
class Answer:
    """One answer of the server."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def text(self) -> str:
        """The body as text."""
        return self.body.decode()

    @property
    def value(self) -> dict:
        """The body as JSON."""
        return json.loads(self.body)


@dataclass
class Page:
    """The page as served; `now` may be moved."""

    port: int
    made: small_match.Made
    now: list[Instant] = field(default_factory=lambda: [NOW])

    @property
    def address(self) -> str:
        """Where a browser finds it."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def match(self) -> str:
        """The path of the match."""
        return f"/match/{self.made.match.folder}"

    def ask(
        self,
        path: str,
        *,
        method: str = "GET",
        send: object | None = None,
        headers: dict[str, str] | None = None,
    ) -> Answer:
        """One request. What is sent goes as JSON from the page itself unless headers differ."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        given = dict(headers or {})
        body = None
        if send is not None:
            body = json.dumps(send)
            given = {"origin": self.address, "content-type": "application/json"} | given
        connection.request(method, path, body, given)
        answer = connection.getresponse()
        read = Answer(answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read())
        connection.close()
        return read

    def post(self, path: str, send: object, **headers: str) -> Answer:
        """Sends a value as the page does."""
        return self.ask(path, method="POST", send=send, headers=headers)


def serve(
    made: small_match.Made,
    port: int = 0,
    *,
    phones: tuple[str, ...] = (),
    power: Power | None = None,
) -> Iterator[Page]:
    """Serves a workspace until the test is done; its laptop's battery is as given."""
    page = Page(0, made)
    app = make_app(
        made.folder,
        now=lambda: page.now[0],
        hosts=HOSTS,
        phone_hosts=phones,
        battery=Battery(lambda: power),
    )
    server = PageServer(app, "127.0.0.1", port)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        assert thread.is_alive()
        thread.join(0.01)
    page.port = server.port
    yield page
    server.should_exit = True
    thread.join(10)
