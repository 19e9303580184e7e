"""`setpiece serve`: the page in the browser."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened

if TYPE_CHECKING:
    from setpiece.match.instants import Instant

LOOPBACK = "127.0.0.1"


def serve(
    workspace: WorkspaceDir = HERE,
    port: Annotated[int, typer.Option(help="The port on this machine.")] = 8027,
    show: Annotated[bool, typer.Option(help="Open the browser.")] = True,
) -> None:
    """Show the match in the browser. Only this machine can reach it.

    Example: setpiece serve --workspace season-2027
    """
    serve_page(workspace, port, Terminal().now, show=show)


def serve_page(workspace: Path, port: int, now: Callable[[], Instant], *, show: bool) -> None:
    """Serves the page on this machine until Ctrl-C; `now` is the clock it goes by."""
    import threading
    import webbrowser

    import uvicorn

    from setpiece.web.app import make_app

    with opened(workspace):
        pass
    hosts = frozenset({f"{LOOPBACK}:{port}", f"localhost:{port}"})
    address = f"http://{LOOPBACK}:{port}/"
    app = make_app(workspace, now=now, hosts=hosts)
    typer.echo(f"The match is at {address} – Ctrl-C ends it.")
    if show:
        threading.Timer(1.0, webbrowser.open, (address,)).start()
    uvicorn.run(app, host=LOOPBACK, port=port, log_level="warning", access_log=False)
