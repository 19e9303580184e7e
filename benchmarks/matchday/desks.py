"""Two desks behind one mobile link, whose rate changes and which drops."""

from __future__ import annotations

import random
import sys
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from typing import Any

from benchmarks.matchday.script import Clock
from setpiece.send.passwords import variable
from setpiece.store.workspace import Workspace
from setpiece.work.desk.desks import Desk, add_desk
from setpiece.work.job import Unattended

ROOT = Path(__file__).resolve().parents[2]
sys.path.append(str(ROOT / "tests" / "send"))
LinkProxy = import_module("link_proxy").LinkProxy
PyFtp = import_module("servers").PyFtp

STYLES = {"north": "north", "city": "gazette"}
"""The desks by their house styles."""

BEST_MBIT_S = 10.0
TURNS = (10.0, 6.0, 2.0, 0.5, 0.0, None, 4.0, 1.0)
"""Megabits a second of the link's turns: 0 is silent, None resets every connection."""

TURN_S = (20.0, 60.0)
TIMEOUT_S = 30.0
"""Of the day, as everything here: a desk is waited for so long."""


@dataclass
class Desks:
    """The desks' servers and the link to them."""

    servers: dict[str, Any]
    proxies: dict[str, Any]

    def add_to(self, space: Workspace, clock: Clock) -> dict[str, str]:
        """Writes them into the workspace; gives their passwords, for the environment."""
        secrets = {}
        for name, server in self.servers.items():
            known = server.server.through(self.proxies[name].port)
            address = replace(known.address, folder="in", timeout_s=TIMEOUT_S / clock.speed)
            add_desk(space, Desk(name, address, STYLES[name]), Unattended(clock.now()))
            secrets[variable(name)] = known.secret.password
        return secrets

    def files(self, name: str) -> dict[str, Path]:
        """What is really at a desk, by the file's path below its folder."""
        place = self.servers[name].home
        return {p.relative_to(place).as_posix(): p for p in sorted(place.rglob("*")) if p.is_file()}


@contextmanager
def two_desks(folder: Path, clock: Clock) -> Iterator[Desks]:
    """Both servers, each behind its half of the link."""
    full = _bytes_s(BEST_MBIT_S, clock.speed)
    with ExitStack() as stack:
        servers, proxies = {}, {}
        for name in STYLES:
            home = folder / name
            (home / "in").mkdir(parents=True)
            servers[name] = stack.enter_context(PyFtp(home))
            port = servers[name].server.address.port
            proxies[name] = stack.enter_context(LinkProxy(port, ftp=True, bytes_s=full))
        yield Desks(servers, proxies)


def _bytes_s(mbit_s: float, speed: float) -> int:
    """Bytes of our own seconds for one of the two desks; a silent link lets one through."""
    return max(1, round(mbit_s * 1e6 / 8 * speed / len(STYLES)))


class BadLink(threading.Thread):
    """Changes the link turn by turn until it is told to be good."""

    def __init__(self, desks: Desks, clock: Clock) -> None:
        super().__init__(name="link", daemon=True)
        self._desks, self._clock = desks, clock
        self._dice = random.Random(20261024)
        self._good = threading.Event()
        self.turns: list[float | None] = []
        self.said = "10 Mbit/s"

    def run(self) -> None:
        """The thread."""
        while not self._good.is_set():
            rate = self._dice.choice(TURNS)
            self._turn(rate)
            self._good.wait(self._dice.uniform(*TURN_S) / self._clock.speed)
        self._turn(BEST_MBIT_S)

    def good(self) -> None:
        """The link carries everything from now on."""
        self._good.set()
        self.join()

    def _turn(self, rate: float | None) -> None:
        self.turns.append(rate)
        self.said = "no link" if rate is None else f"{rate:g} Mbit/s"
        for proxy in self._desks.proxies.values():
            if proxy.down or proxy.bytes_s == 1:
                proxy.mend()
            if rate is None:
                proxy.mend()
                proxy.down = True
            else:
                proxy.bytes_s = _bytes_s(rate, self._clock.speed)
