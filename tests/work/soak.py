"""The soak: many pictures over three real servers, through bad links, to a dying sender.

Every desk is reached through a link of the tests' own that breaks as the dice say; servers are
killed and refuse; the sending process is killed. Nothing in here knows what the sender does.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

import xxhash

sys.path.append(str(Path(__file__).resolve().parent.parent / "send"))

from link_proxy import Fault, LinkProxy
from servers import Process, PyFtp, Server, made_account, openssh, vsftpd

from setpiece.match.instants import Instant
from setpiece.send.desk import Protocol
from setpiece.send.passwords import variable
from setpiece.send.sender import Receipt
from setpiece.store.delivery import Delivery, Event, Kind, State
from setpiece.store.forms import from_json
from setpiece.store.matches import Match, match_folder
from setpiece.store.outbox import deliveries, queue, record
from setpiece.store.workspace import Workspace
from setpiece.work.desk.desks import Desk, add_desk
from setpiece.work.job import Unattended

COMMANDS = (b"USER", b"PASS", b"TYPE", b"EPSV", b"STOR", b"SIZE", b"RNFR", b"RNTO", b"MDTM")
REPLIES = (b"STOR", b"SIZE", b"RNFR", b"RNTO", b"MDTM")
TIMEOUT_S = 3.0
PATIENCE_S = 1.5
"""A fault that found no occasion for so long gives way to another."""

FOLDER = "soak"
NO_KEYRING = "keyring.backends.null.Keyring"


@dataclass
class Figures:
    """What a soak saw."""

    pictures: int = 0
    faults: Counter[str] = field(default_factory=Counter)
    at: Counter[str] = field(default_factory=Counter)
    kills: int = 0
    answered: int = 0
    seconds: float = 0.0

    def told(self) -> str:
        """In one line, for docs/reliability.md."""
        kinds = ", ".join(f"{n} x {kind}" for kind, n in self.faults.most_common())
        desks = ", ".join(f"{n} at {desk}" for desk, n in self.at.most_common())
        return (
            f"{self.pictures} pictures, {self.faults.total()} faults ({desks}; {kinds}), "
            f"{self.kills} kills "
            f"of the sender, {self.answered} refusals answered, {self.seconds:.0f} s"
        )


@dataclass
class Line:
    """One desk behind its bad link. `process` is its server where it can be killed."""

    name: str
    server: Server
    proxy: LinkProxy
    folder: str
    process: Process | None = None
    pyftp: PyFtp | None = None
    struck: int = 0
    armed_at: float = 0.0

    @property
    def files(self) -> dict[str, bytes]:
        """What is really at the desk."""
        return self.server.files(self.folder)


@contextmanager
def three_lines(need_tool: Callable[[str], str], home: Path) -> Iterator[list[Line]]:
    """vsftpd, pyftpdlib and OpenSSH, each behind a link that can be broken."""
    home.mkdir()
    with ExitStack() as stack:
        account = stack.enter_context(made_account(need_tool))
        ftp, ftp_process = stack.enter_context(vsftpd(account, need_tool("vsftpd"), Protocol.FTP))
        ssh, ssh_process = stack.enter_context(
            openssh(account, need_tool("sshd"), need_tool("ssh-keygen"))
        )
        pyftp = stack.enter_context(PyFtp(home))

        def through(server: Server, *, is_ftp: bool) -> tuple[Server, LinkProxy]:
            proxy = stack.enter_context(LinkProxy(server.address.port or 0, ftp=is_ftp))
            return server.through(proxy.port), proxy

        plain, plain_link = through(ftp, is_ftp=True)
        python, python_link = through(pyftp.server, is_ftp=True)
        shell, shell_link = through(ssh, is_ftp=False)
        yield [
            Line("vsftpd", plain, plain_link, f"{FOLDER}-ftp", process=ftp_process),
            Line("pyftpdlib", python, python_link, f"{FOLDER}-py", pyftp=pyftp),
            Line("OpenSSH", shell, shell_link, f"{FOLDER}-ssh", process=ssh_process),
        ]


class Soak:
    """One soak over a workspace with one match."""

    def __init__(self, space: Workspace, of: Match, frame_id: str, lines: list[Line]) -> None:
        self.space, self.of, self.frame_id, self.lines = space, of, frame_id, lines
        self.dice = random.Random(20270306)
        self.figures = Figures()
        self.wanted: dict[str, dict[str, bytes]] = {line.name: {} for line in lines}

    def queue(self, count: int, now: Instant) -> None:
        """Desks, and so many pictures of random bytes in their outbox, one desk each in turn."""
        for line in self.lines:
            address = replace(line.server.address, folder=line.folder, timeout_s=TIMEOUT_S)
            key = line.server.secret.key_file
            if key is not None:
                address = replace(address, key_file=key)
            add_desk(self.space, Desk(line.name, address, "north"), Unattended(now))
        for number in range(count):
            self._queue_one(self.lines[number % len(self.lines)], number, now)
        self.figures.pictures = count

    def _queue_one(self, line: Line, number: int, now: Instant) -> None:
        data = self.dice.randbytes(self.dice.randrange(10_000, 400_000))
        name = f"picture-{number:04}.jpg"
        path = match_folder(self.space, self.of) / "set" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        row = Delivery(
            id=0,
            match_id=self.of.id,
            frame_id=self.frame_id,
            caption_version=number,
            desk=line.name,
            made_from=name,
            content=xxhash.xxh3_128_hexdigest(data),
            path=f"set/{name}",
            remote_folder=line.folder,
            remote_name=name,
            size=len(data),
            state=State.QUEUED,
            queued=now.isoformat(),
            kind=Kind.PICTURE,
            weight=1.0 + self.dice.random(),
        )
        queue(self.space, self.of, row)
        self.wanted[line.name][name] = data

    def run(self, faults: int, kills: int, most_s: float) -> Figures:
        """Sends through so many faults and kills until all has arrived, or raises."""
        began = time.monotonic()
        child = self._child()
        kill_at = time.monotonic() + self.dice.uniform(0.5, 3.0)
        try:
            while self._to_go():
                if time.monotonic() - began > most_s:
                    raise AssertionError(f"not done after {most_s:.0f} s: {self.figures.told()}")
                self._break_something(faults)
                self._answer()
                if child.poll() is not None:
                    child = self._child()
                elif self.figures.kills < kills and time.monotonic() > kill_at:
                    if self._sending():
                        child.kill()
                        child.wait()
                        self.figures.kills += 1
                        child = self._child()
                    kill_at = time.monotonic() + self.dice.uniform(1.2, 3.5)
                time.sleep(0.05)
            self._mend()
        finally:
            child.kill()
            child.wait()
        self.figures.seconds = time.monotonic() - began
        return self.figures

    def check(self) -> None:
        """Every picture once, whole, under its name; nothing else there; a receipt for each."""
        for line in self.lines:
            there, wanted = line.files, self.wanted[line.name]
            assert sorted(there) == sorted(wanted), line.name
            wrong = [name for name, data in wanted.items() if there[name] != data]
            assert wrong == [], line.name
        for item in deliveries(self.space, self.of):
            assert item.state is State.DELIVERED
            assert item.receipt is not None
            receipt = from_json(Receipt, item.receipt)
            assert (receipt.size, Path(receipt.remote_path).name) == (item.size, item.remote_name)

    def _child(self) -> subprocess.Popen[bytes]:
        secrets = {
            variable(line.name): line.server.secret.password
            for line in self.lines
            if line.server.secret.password
        }
        program = Path(__file__).with_name("soak_child.py")
        return subprocess.Popen(
            [sys.executable, str(program), str(self.space.folder)],
            env={**os.environ, **secrets, "PYTHON_KEYRING_BACKEND": NO_KEYRING},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
        )

    def _to_go(self) -> bool:
        return any(d.state is not State.DELIVERED for d in deliveries(self.space, self.of))

    def _sending(self) -> bool:
        return any(d.state is State.SENDING for d in deliveries(self.space, self.of))

    def _answer(self) -> None:
        """The photographer looks at what was refused, and sends it again."""
        for item in deliveries(self.space, self.of):
            if item.state is State.REFUSED:
                record(self.space, item, Event.AGAIN, words="", not_before="")
                self.figures.answered += 1

    def _break_something(self, most: int) -> None:
        for line in self.lines:
            while line.struck < len(line.proxy.struck):
                fault = line.proxy.struck[line.struck]
                line.struck += 1
                self.figures.faults[_kind(fault)] += 1
                self.figures.at[line.name] += 1
            late = time.monotonic() - line.armed_at > PATIENCE_S
            if self.figures.faults.total() < most and (late or not line.proxy._armed):
                line.proxy._armed.clear()
                line.armed_at = time.monotonic()
                self._break(line)

    def _break(self, line: Line) -> None:
        """One thing goes wrong with a desk, or will with its next deliveries."""
        luck = self.dice.random()
        if luck < 0.04 and line.process is not None:
            line.process.kill()
            line.process.start()
            self._count("server killed", line)
        elif luck < 0.10:
            line.proxy.mend()
            line.proxy.down = True
            time.sleep(self.dice.uniform(0.05, 0.3))
            line.proxy.down = False
            self._count("no link", line)
        elif luck < 0.25 and line.pyftp is not None:
            self._count(self._misbehave(line.pyftp), line)
        else:
            line.proxy.arm(self._fault(ftp=line.server.address.protocol is Protocol.FTP))

    def _count(self, kind: str, line: Line) -> None:
        self.figures.faults[kind] += 1
        self.figures.at[line.name] += 1

    def _misbehave(self, pyftp: PyFtp) -> str:
        """A server that lies or refuses for a moment; what it did."""
        kind = self.dice.choice(("short file confirmed", "rename refused", "size unknown"))
        if kind == "short file confirmed":
            pyftp.handler.lose_tail = self.dice.randrange(1, 5000)
        elif kind == "rename refused":
            pyftp.handler.replies = {"RNFR": "550 Not allowed."}
        else:
            pyftp.handler.replies = {"SIZE": "500 Unknown."}
        time.sleep(self.dice.uniform(0.1, 0.4))
        pyftp.handler.lose_tail, pyftp.handler.replies = 0, {}
        return kind

    def _fault(self, *, ftp: bool) -> Fault:
        how = "stall" if self.dice.random() < 0.08 else "reset"
        after = self.dice.randrange(0, 300_000)
        if not ftp:
            return Fault(how, "control", after_bytes=after)
        kind = self.dice.randrange(3)
        if kind == 0:
            return Fault(how, "data", after_bytes=after)
        if kind == 1:
            return Fault(how, "control", at_command=self.dice.choice(COMMANDS))
        return Fault(how, "control", lost_reply_to=self.dice.choice(REPLIES))

    def _mend(self) -> None:
        for line in self.lines:
            line.proxy.mend()


def _kind(fault: Fault) -> str:
    """The kind of a fault in words."""
    if fault.at_command:
        return f"{fault.how} at {fault.at_command.decode()}"
    if fault.lost_reply_to:
        return f"{fault.how}, reply to {fault.lost_reply_to.decode()} lost"
    return f"{fault.how} amid the bytes"
