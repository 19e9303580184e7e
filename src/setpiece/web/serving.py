"""Serves the page. Stopping ends the pages' open streams first, so that nothing hangs."""

from __future__ import annotations

import socket

import uvicorn
from fastapi import FastAPI

GRACE_S = 3
"""How long a request that is under way may take when the server stops."""


class PageServer(uvicorn.Server):
    """A server over one application on one address; port 0 takes a free one."""

    def __init__(self, app: FastAPI, host: str, port: int) -> None:
        super().__init__(
            uvicorn.Config(
                app,
                host=host,
                port=port,
                log_level="warning",
                access_log=False,
                proxy_headers=False,  # nothing stands between: who says so is a stranger
                timeout_graceful_shutdown=GRACE_S,
            )
        )
        self._app = app

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Closes the streams, then everything else."""
        self._app.state.desk.wire.close()
        await super().shutdown(sockets)

    @property
    def port(self) -> int:
        """The port it listens on, once it has started."""
        address = self.servers[0].sockets[0].getsockname()
        return int(address[1])
