"""`setpiece serve`: the page in the browser, for this machine and, when asked, for phones."""

from __future__ import annotations

import contextlib
import socket
from collections.abc import Callable, Sequence
from functools import partial
from ipaddress import ip_address, ip_network
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.laptop import watched_clock
from setpiece.cli.options import HERE, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened
from setpiece.errors import Busy, NotFound, WrongUse

if TYPE_CHECKING:
    from setpiece.match.instants import Instant

LOOPBACK, EVERYWHERE = "127.0.0.1", "0.0.0.0"
LOCAL_NETWORKS = tuple(
    ip_network(n) for n in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")
)
"""Networks that a router or a phone's hotspot makes (RFC 1918, RFC 3927)."""

ELSEWHERE = ("192.0.2.1", 9)
"""An address kept for documentation (RFC 5737): the way there shows our own address."""


def serve(
    workspace: WorkspaceDir = HERE,
    port: Annotated[int, typer.Option(help="The port on this machine.", min=1, max=65535)] = 8027,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let phones on the local network pair and log.")
    ] = False,
    address: Annotated[
        list[str] | None,
        typer.Option(help="The address phones reach this machine by, if it is not found."),
    ] = None,
    show: Annotated[bool, typer.Option(help="Open the browser.")] = True,
) -> None:
    """Show the match in the browser. Only this machine can reach it, unless phones are let in.

    With --lan a phone reaches its own log page and nothing else, after it was paired by a code.

    Example: setpiece serve --workspace season-2027 --lan
    """
    if address and not lan:
        raise WrongUse("an address is for phones", next_step="Add --lan to let them in.")
    phones = phone_addresses(address or ()) if lan else ()
    with watched_clock(workspace, partial(typer.echo, err=True)):
        serve_page(workspace, port, Terminal().now, show=show, phones=phones)


def serve_page(
    workspace: Path,
    port: int,
    now: Callable[[], Instant],
    *,
    show: bool,
    phones: Sequence[str] = (),
) -> None:
    """Serves the page until Ctrl-C; `now` is the clock it goes by.

    `phones` are the addresses that phones reach this machine by; without, it listens on this
    machine only. Raises Busy where the port is taken.
    """
    import threading
    import webbrowser

    from setpiece.web.app import make_app
    from setpiece.web.serving import PageServer

    with opened(workspace):
        pass
    hosts = frozenset({f"{LOOPBACK}:{port}", f"localhost:{port}"})
    phone_hosts = tuple(f"{a}:{port}" for a in phones)
    listening = _listening(EVERYWHERE if phones else LOOPBACK, port)
    app = make_app(workspace, now=now, hosts=hosts, phone_hosts=phone_hosts)
    page = f"http://{LOOPBACK}:{port}/"
    typer.echo(f"The match is at {page} – Ctrl-C ends it.")
    for host in phone_hosts:
        typer.echo(f"Phones: pair at {page}phones, then http://{host}/phone on the phone.")
    if show:
        threading.Timer(1.0, webbrowser.open, (page,)).start()
    with listening, contextlib.suppress(KeyboardInterrupt):
        PageServer(app, LOOPBACK, port).run(sockets=[listening])


def _listening(host: str, port: int) -> socket.socket:
    try:
        return socket.create_server((host, port))
    except OSError as error:
        raise Busy(
            f"this port cannot be listened on ({error.strerror or error})",
            thing=str(port),
            next_step=f"Perhaps the page runs already: end it, or give --port {port % 65535 + 1}.",
        ) from error


def phone_addresses(given: Sequence[str]) -> tuple[str, ...]:
    """The addresses phones reach this machine by: those given, else those found.

    Raises WrongUse for what is no address, NotFound where there is none.
    """
    for text in given:
        with contextlib.suppress(ValueError):
            if ip_address(text).version == 4:
                continue
        raise WrongUse("this is no address of a machine", thing=text, next_step="As 192.168.43.20.")
    found = tuple(given) or own_addresses()
    if not found:
        raise NotFound(
            "this machine is on no local network",
            next_step="Join the phone's hotspot first, or name the address by --address.",
        )
    return found


def own_addresses() -> tuple[str, ...]:
    """This machine's IPv4 addresses on local networks. Nothing is sent to find them."""
    found: dict[str, None] = {}
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way, contextlib.suppress(OSError):
        way.connect(ELSEWHERE)
        found[way.getsockname()[0]] = None
    with contextlib.suppress(OSError):
        found |= dict.fromkeys(socket.gethostbyname_ex(socket.gethostname())[2])
    return tuple(a for a in found if _is_local(a))


def _is_local(address: str) -> bool:
    return any(ip_address(address) in network for network in LOCAL_NETWORKS)
