"""A small match, the page served over it on the loopback address, and a real browser."""

from __future__ import annotations

import http.client
import json
import shutil
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
import uvicorn

sys.path.append(str(Path(__file__).parent))

import small_match

from setpiece.match.instants import Instant
from setpiece.store.workspace import Workspace
from setpiece.web.app import make_app
from setpiece.web.standing import Standing
from setpiece.web.wording import Wording, wording
from setpiece.work.matchday import Matchday

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
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
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


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> small_match.Made:
    """The small match; nobody changes it."""
    return small_match.make(tmp_path_factory.mktemp("small") / "workspace")


@pytest.fixture
def own(made: small_match.Made, tmp_path: Path) -> small_match.Made:
    """A copy of the small match, to be changed."""
    folder = tmp_path / "workspace"
    shutil.copytree(made.folder, folder)
    return small_match.Made(folder, made.match, made.frames)


@pytest.fixture
def day(made: small_match.Made) -> Matchday:
    """The small match as it stands."""
    return Standing(Workspace.open(made.folder)).of(made.match.folder)


@pytest.fixture(scope="session")
def words() -> Wording:
    """The English texts."""
    return wording()


def serve(made: small_match.Made, port: int = 0) -> Iterator[Page]:
    """Serves a workspace until the test is done."""
    page = Page(0, made)
    app = make_app(made.folder, now=lambda: page.now[0], hosts=HOSTS)
    server = uvicorn.Server(
        uvicorn.Config(app, port=port, log_level="warning", timeout_graceful_shutdown=1)
    )
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        assert thread.is_alive()
        thread.join(0.01)
    page.port = server.servers[0].sockets[0].getsockname()[1]
    yield page
    server.should_exit = True
    thread.join(10)


@pytest.fixture(scope="session")
def page(made: small_match.Made) -> Iterator[Page]:
    """The page over the match that nobody changes."""
    yield from serve(made)


@pytest.fixture
def own_page(own: small_match.Made) -> Iterator[Page]:
    """The page over a match of the test's own."""
    yield from serve(own)


CHROMIUM = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()


@pytest.fixture(scope="session")
def chromium(need_tool: Callable[[str], str]) -> Iterator[object]:
    """A headless browser."""
    from playwright.sync_api import sync_playwright

    path = need_tool("chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=CHROMIUM)
        yield browser
        browser.close()
