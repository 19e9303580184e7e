"""What every answer and request of the local page is held to.

A request must name one of the hosts the server was started for (a page elsewhere that points its
own name at this machine is refused), and anything but reading must come from the page itself.
The laptop's pages answer to this machine only, whatever a request from the network says its host
is. Every answer forbids scripts, styles and pictures from anywhere else, and inline ones.
"""

from __future__ import annotations

from collections.abc import Iterable
from ipaddress import ip_address
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

READING = frozenset({"GET", "HEAD"})
"""Methods that change nothing."""

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
"""Content Security Policy, level 3 (W3C): only what this server serves, nothing inline."""

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}

PHONE_PATHS = ("/phone/", "/static/")
"""All that a phone on the local network can reach; the rest is for this computer only."""

MOST_BYTES = 1_000_000
"""The longest body of a request: a pasted team sheet with room to spare."""

MOST_DIGITS = 15
"""No length that is honest is written longer."""


class Guard:
    """Stands before the application; refuses what it must and marks every answer."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str], phone_hosts: Iterable[str] = ()) -> None:
        self.app = app
        self.phone_hosts = frozenset(h.lower() for h in phone_hosts)
        self.hosts = frozenset(h.lower() for h in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes a request on, or answers it with a refusal."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        hosts = self.hosts if from_here(scope) else frozenset()
        if scope["path"] == "/phone" or scope["path"].startswith(PHONE_PATHS):
            hosts = hosts | self.phone_hosts
        reason = refusal(scope["method"], Headers(scope=scope), hosts)
        if reason:
            await PlainTextResponse(reason + "\n", status_code=403)(scope, receive, marked)
        else:
            await self.app(scope, receive, marked)


def from_here(scope: Scope) -> bool:
    """Whether a request came from this machine, over its loopback address."""
    client = scope.get("client")
    try:
        return client is not None and ip_address(client[0]).is_loopback
    except ValueError:
        return False


def refusal(method: str, headers: Headers, hosts: frozenset[str]) -> str:
    """Why a request is refused, empty when it may pass. A host without a port stands for any."""
    host = headers.get("host", "")
    if host.lower() not in hosts and host_name(host) not in hosts:
        return "This page answers only to the address it was started for."
    if method in READING:
        return ""
    origin = urlsplit(headers.get("origin", ""))
    if not host or origin.netloc.lower() != host.lower() or origin.scheme not in ("http", "https"):
        return "Only the page itself may change anything."
    length = headers.get("content-length", "")
    if not length.isdecimal() or len(length) > MOST_DIGITS or int(length) > MOST_BYTES:
        return "A request says how long it is, and is no longer than a team sheet."
    return ""


def host_name(host: str) -> str:
    """The name or address in a Host header, without its port; empty when it is malformed."""
    try:
        return (urlsplit(f"//{host}").hostname or "") if host and "@" not in host else ""
    except ValueError:
        return ""
