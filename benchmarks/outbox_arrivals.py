"""Predicted arrivals over a throttled link: how far off they are after the first pictures.

24 pictures of 0.1 to 0.6 MB go to a real FTP server on the loopback address, through the tests' own
link of 2 Mbit/s and 80 ms. After one, two and three pictures the program says when each of the
rest will arrive; the error is counted against the wait that was told.

Run: python benchmarks/outbox_arrivals.py
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

import xxhash

sys.path += [
    str(Path(__file__).resolve().parent.parent / "tests" / name) for name in ("send", "work")
]

from desk_match import shoot
from link_proxy import LinkProxy

from setpiece.match.instants import Instant, instant, read_instant
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.passwords import variable
from setpiece.store.delivery import Delivery, State
from setpiece.store.matches import Match, add_fixture, match_folder
from setpiece.store.outbox import deliveries, queue
from setpiece.store.workspace import Workspace
from setpiece.work.demo import scenario
from setpiece.work.demo.desk_server import USER, desk_server
from setpiece.work.desk.arrivals import Expected, expected
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.desks import Desk, add_desk
from setpiece.work.matchday import Matchday

PICTURES, BYTES_S, DELAY_S, TARGET = 24, 250_000, 0.04, 0.20


class Watching:
    """A caller with the machine's clock that looks at the predictions as pictures arrive."""

    def __init__(self) -> None:
        self.told: dict[int, tuple[Instant, dict[int, Expected]]] = {}
        self.space: Workspace | None = None
        self.of: Match | None = None

    def now(self) -> Instant:
        """The machine's clock."""
        return instant(datetime.now(UTC))

    def ask(self, question: object) -> str:
        """Nobody is asked."""
        raise NotImplementedError

    def progress(self, done: int, total: int, what: str) -> None:
        """Keeps what is predicted once one, two and three pictures have arrived."""
        if self.space is None or self.of is None:
            return
        arrived = sum(d.state is State.DELIVERED for d in deliveries(self.space, self.of))
        if arrived in (1, 2, 3) and arrived not in self.told:
            now = self.now()
            self.told[arrived] = now, expected(Matchday(self.space, self.of), now)

    def stopped(self) -> bool:
        """Never."""
        return False


def queued(space: Workspace, of: Match, frame_id: str, now: Instant) -> None:
    """Pictures of random bytes in the outbox."""
    dice = random.Random(24)
    for number in range(PICTURES):
        data = dice.randbytes(dice.randrange(100_000, 600_000))
        name = f"picture-{number:02}.jpg"
        path = match_folder(space, of) / "set" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        content = xxhash.xxh3_128_hexdigest(data)
        row = Delivery(
            0, of.id, frame_id, number, "City", name, content, f"set/{name}", "", name,
            len(data), State.QUEUED, now.isoformat(),
        )  # fmt: skip
        queue(space, of, row)


def main() -> bool:
    """Prints a line for each number of pictures; true when the last is within the target."""
    with tempfile.TemporaryDirectory() as name:
        folder, caller = Path(name), Watching()
        space = Workspace.create(folder / "workspace")
        of = add_fixture(space, scenario.fixture(), caller.now())
        frame = shoot(space, of, 1, scenario.at(1, "5:00"))
        with (
            desk_server(folder / "desk") as server,
            LinkProxy(server.port, ftp=True, delay_s=DELAY_S, bytes_s=BYTES_S) as link,
        ):
            os.environ[variable("City")] = server.password
            address = DeskAddress(Protocol.FTP, host="127.0.0.1", port=link.port, user=USER)
            add_desk(space, Desk("City", address, "north"), caller)
            queued(space, of, frame, caller.now())
            caller.space, caller.of = space, of
            send_waiting(space, of, caller)
        ended = {d.id: read_instant(d.ended) for d in deliveries(space, of)}
        space.close()
    error = 1.0
    for count, (asked, rows) in sorted(caller.told.items()):
        errors = [
            abs((ended[i] - e.at).total_seconds()) / (e.at - asked).total_seconds()
            for i, e in rows.items()
        ]
        error = median(errors)
        print(f"after {count} pictures: median error {error:.1%}, largest {max(errors):.1%}")
    print(f"target {TARGET:.0%}: {'met' if error <= TARGET else 'MISSED'}")
    return error <= TARGET


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
