"""A page of another origin, open in the same browser, against the page of the desk."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import TYPE_CHECKING

import pytest
from served import Page

from setpiece.store.matches import log_of, matches
from setpiece.store.outbox import desks
from setpiece.store.workspace import Workspace

if TYPE_CHECKING:
    from playwright.sync_api import Browser
    from playwright.sync_api import Page as Tab

pytestmark = [pytest.mark.browser, pytest.mark.network]

WAIT_MS = 30_000
EVIL = "http://localhost:{port}/"
"""The desk is at 127.0.0.1: to a browser that is another site."""

ATTACK = """
async ({at, match}) => {
  const told = {};
  const line = JSON.stringify({line: "goal 9r", frame: "", version: 0});
  const tries = {
    read: () => fetch(at + match + "/standing").then((r) => r.text()),
    credentials: () => fetch(at + "/", {credentials: "include"}).then((r) => r.text()),
    json: () => fetch(at + match + "/line", {method: "POST", body: line,
      headers: {"content-type": "application/json"}}).then((r) => r.text()),
    text: () => fetch(at + match + "/line", {method: "POST", body: line,
      headers: {"content-type": "text/plain"}}).then((r) => r.text()),
    blind: () => fetch(at + match + "/line", {method: "POST", mode: "no-cors", body: line})
      .then((r) => r.type),
    peek: () => fetch(at + match + "/standing", {mode: "no-cors"}).then((r) => r.text()),
    module: () => import(at + "/static/js/live.js").then(() => "loaded"),
  };
  for (const [name, attempt] of Object.entries(tries)) {
    try { told[name] = String(await attempt()); } catch (error) { told[name] = "stopped"; }
  }
  const waits = (make, name) => new Promise((done) => {
    const thing = make();
    thing.onload = thing.onopen = thing.onmessage = () => done(told[name] = "loaded");
    thing.onerror = () => done(told[name] = "stopped");
  });
  await waits(() => Object.assign(new Image(), {src: at + "/favicon.ico"}), "picture");
  await waits(() => new EventSource(at + match + "/news"), "stream");
  await waits(() => new WebSocket(at.replace("http", "ws") + match + "/news"), "socket");
  return told;
}
"""

FRAME = """
<!doctype html><title>free WiFi</title><iframe name="inside" src="{at}{match}"></iframe>
<form id="plain" method="post" enctype="text/plain" target="inside" action="{at}/desks">
<input name='{{"name":"Evil","protocol":"folder","path":"/","style":"north","x":"' value='"}}'>
</form>
<form id="coded" method="post" target="inside" action="{at}/fixtures">
<input name="home" value="Evil"><input name="away" value="Worse"></form>
"""


class Hostile(BaseHTTPRequestHandler):
    """Serves the hostile page, whatever is asked for."""

    page = b""

    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("content-type", "text/html")
        self.send_header("content-length", str(len(self.page)))
        self.end_headers()
        self.wfile.write(self.page)

    def log_message(self, *_: object) -> None:
        """Says nothing."""


@pytest.fixture
def hostile(lan: Page) -> Iterator[str]:
    """The address of a page that means harm to the desk's page."""
    page = FRAME.format(at=lan.address, match=lan.match).encode()
    handler = type("Serving", (Hostile,), {"page": page})
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
    thread.start()
    yield EVIL.format(port=server.server_address[1])
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture
def tab(chromium: Browser, hostile: str) -> Iterator[Tab]:
    """The hostile page, open."""
    context = chromium.new_context()
    context.set_default_timeout(WAIT_MS)
    page = context.new_page()
    page.goto(hostile)
    yield page
    context.close()


def state(lan: Page) -> tuple[int, int, int]:
    """How many matches, entries of the log and desks there are."""
    space = Workspace.open(lan.made.folder)
    try:
        return len(matches(space)), len(log_of(space, lan.made.match)), len(desks(space))
    finally:
        space.close()


def test_another_page_reads_and_changes_nothing(lan: Page, tab: Tab) -> None:
    """Fetches, scripts, pictures, streams and sockets of another origin all come to nothing."""
    before = state(lan)
    told = tab.evaluate(ATTACK, {"at": lan.address, "match": lan.match})
    assert told.pop("blind") in ("opaque", "stopped")
    assert told.pop("peek") in ("", "stopped")
    assert told == dict.fromkeys(
        ("read", "credentials", "json", "text", "module", "picture", "stream", "socket"), "stopped"
    )
    assert state(lan) == before


def test_another_page_shows_nothing_inside_itself(lan: Page, tab: Tab) -> None:
    """The desk's page does not stand in a frame of another page, where clicks could be led."""
    tab.wait_for_load_state("load")
    for _ in range(WAIT_MS // 100):
        others = [frame for frame in tab.frames if frame != tab.main_frame]
        if others and "chrome-error" in others[0].url:
            break
        tab.wait_for_timeout(100)
    (inside,) = others
    assert "chrome-error" in inside.url
    assert inside.locator("main").count() == 0


@pytest.mark.parametrize("form", ["plain", "coded"])
def test_another_pages_forms_are_refused(lan: Page, tab: Tab, form: str) -> None:
    """A form that another page sends is answered with a refusal, and nothing is kept."""
    before = state(lan)
    with tab.expect_response(lambda r: r.request.method == "POST") as got:
        tab.evaluate(f"document.getElementById('{form}').submit()")
    assert got.value.status == 403
    assert state(lan) == before


def test_a_name_that_was_pointed_here_is_refused(lan: Page, chromium: Browser) -> None:
    """A page whose own name was made to mean this machine is no page of this server."""
    context = chromium.new_context()
    page = context.new_page()
    answer = page.goto(f"http://localhost:{lan.port}{lan.match}")
    assert answer is not None
    assert answer.status == 403
    told = page.evaluate(
        "(at) => fetch(at).then((r) => r.status)", f"http://localhost:{lan.port}/phones"
    )
    assert told == 403
    context.close()


def test_the_policy_stops_what_was_slipped_into_a_page(lan: Page, chromium: Browser) -> None:
    """Should a text ever get into a page as code, the browser neither runs it nor lets it out."""
    context = chromium.new_context()
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url))
    page.goto(lan.address + "/")
    page.evaluate(
        """() => {
          const place = document.createElement("div");
          place.innerHTML = '<img src="http://elsewhere.example/x.png" onerror="window.ran = 1">'
            + '<iframe srcdoc="<script>parent.ran = 1</script>"></iframe>'
            + '<form action="http://elsewhere.example/" method="get"></form>';
          document.body.append(place);
          const script = document.createElement("script");
          script.textContent = "window.ran = 1";
          document.body.append(script);
          place.querySelector("form").submit();
        }"""
    )
    told = page.evaluate(
        """() => fetch("http://elsewhere.example/").then(() => "sent", () => "stopped")"""
    )
    assert told == "stopped"
    assert page.evaluate("window.ran") is None
    assert page.url == lan.address + "/"
    assert [url for url in asked if "elsewhere" in url and not url.endswith(".png")] == []
    context.close()
