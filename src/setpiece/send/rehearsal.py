"""The rehearsal of a desk: every step of a delivery with a small file, told in plain words."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from setpiece.errors import NotFound, SetpieceError
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.sender import Sender, join, open_sender, temporary_name_for

_NAME = "setpiece-test.txt"
_CONTENT = b"Setpiece tests that this desk can be delivered to. This file may be deleted.\n" * 500
"""38 kB: more than one packet, so that a link that carries only small ones is found out."""


class StepName(StrEnum):
    """The steps in their order."""

    CONNECT = "connect"
    LOG_IN = "log in"
    LIST = "list"
    WRITE = "write"
    SIZE = "size"
    RENAME = "rename"
    DELETE = "delete"


class Outcome(StrEnum):
    """How a step went. WITHOUT: not allowed, and Setpiece can deliver without it."""

    GOOD = "good"
    WITHOUT = "without"
    FAILED = "failed"
    NOT_TRIED = "not tried"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the rehearsal. `trouble` is what was raised, if anything was."""

    name: StepName
    outcome: Outcome
    sentence: str
    trouble: SetpieceError | None = None


def rehearse(
    address: DeskAddress, secret: Secret, *, known_hosts: Sequence[Path] | None = None
) -> tuple[Step, ...]:
    """Connects, logs in, lists, writes, asks the size, renames and deletes at the desk.

    Always gives all seven steps; nothing is raised for what the desk does.
    """
    sender = open_sender(address, secret, known_hosts=known_hosts)
    run = _Run(address, sender)
    try:
        return run.steps()
    finally:
        sender.close()


class _Run:
    """One rehearsal: what was written where, and which steps still make sense."""

    def __init__(self, address: DeskAddress, sender: Sender) -> None:
        self._address = address
        self._sender = sender
        self._final = join(address.folder, _NAME)
        self._part = join(address.folder, temporary_name_for(_CONTENT, _NAME))
        self._at = self._part if address.temporary_name else self._final
        self._stop = ""

    def steps(self) -> tuple[Step, ...]:
        """All seven, in order."""
        table: tuple[tuple[StepName, Callable[[], Step]], ...] = (
            (StepName.CONNECT, self._connect),
            (StepName.LOG_IN, self._log_in),
            (StepName.LIST, self._list),
            (StepName.WRITE, self._write),
            (StepName.SIZE, self._size),
            (StepName.RENAME, self._rename),
            (StepName.DELETE, self._delete),
        )
        return tuple(self._step(name, action) for name, action in table)

    def _step(self, name: StepName, action: Callable[[], Step]) -> Step:
        if self._stop:
            return Step(name, Outcome.NOT_TRIED, f"Not tried, because of: {self._stop}.")
        try:
            return action()
        except SetpieceError as trouble:
            self._stop = str(name)
            return Step(name, Outcome.FAILED, _one_line(trouble), trouble)

    def _connect(self) -> Step:
        self._sender.connect()
        return _good(StepName.CONNECT, f"{self._address.spelled()} answers{_SURE[self._kind]}.")

    def _log_in(self) -> Step:
        self._sender.log_in()
        who = "Nobody needs to log in" if self._kind is Protocol.FOLDER else "The desk knows us"
        return _good(StepName.LOG_IN, f"{who}.")

    def _list(self) -> Step:
        folder = self._address.folder
        try:
            count = len(self._sender.list_names(folder))
        except NotFound as trouble:
            return Step(
                StepName.LIST,
                Outcome.WITHOUT,
                f"The folder {folder} is not there or not shown; it is made when writing.",
                trouble,
            )
        return _good(StepName.LIST, f"The folder shows {count} names.")

    def _write(self) -> Step:
        self._sender.make_folder(self._address.folder)
        for left in (self._part, self._final):  # by an earlier rehearsal that broke off
            with contextlib.suppress(SetpieceError):
                self._sender.delete(left)
        self._sender.upload(
            _CONTENT,
            self._at,
            resume_from=0,
            progress=lambda _bytes: None,
            stopped=lambda: False,
        )
        return _good(StepName.WRITE, f"{len(_CONTENT):,} bytes were written as {self._at}.")

    def _size(self) -> Step:
        held = self._sender.size(self._at)
        if held == len(_CONTENT):
            return _good(StepName.SIZE, "The desk states the size, and it is right.")
        self._stop = str(StepName.SIZE)
        said = "does not show the file" if held is None else f"states {held:,} bytes"
        return Step(
            StepName.SIZE,
            Outcome.FAILED,
            f"The desk took {len(_CONTENT):,} bytes but {said}: a delivery could not be proven. "
            "Ask the desk for the right to see what was sent.",
        )

    def _rename(self) -> Step:
        if not self._address.temporary_name:
            return Step(StepName.RENAME, Outcome.NOT_TRIED, "Temporary names are off.")
        try:
            self._sender.rename(self._part, self._final)
        except SetpieceError as trouble:
            return Step(
                StepName.RENAME,
                Outcome.FAILED,
                f"{_one_line(trouble)} Turn temporary names off for this desk to go without.",
                trouble,
            )
        self._at = self._final
        return _good(StepName.RENAME, f"{self._part} was renamed to {self._final}.")

    def _delete(self) -> Step:
        try:
            self._sender.delete(self._at)
        except SetpieceError as trouble:
            return Step(
                StepName.DELETE,
                Outcome.WITHOUT,
                f"The desk does not let us delete; {self._at} stays there. Deliveries work.",
                trouble,
            )
        return _good(StepName.DELETE, "The test file was deleted.")

    @property
    def _kind(self) -> Protocol:
        return self._address.protocol


_SURE = {
    Protocol.FTP: "; nothing is encrypted, the password neither",
    Protocol.FTPS: " and its certificate holds",
    Protocol.FTPS_IMPLICIT: " and its certificate holds",
    Protocol.SFTP: " and its key is the known one",
    Protocol.FOLDER: "",
}


def _good(name: StepName, sentence: str) -> Step:
    return Step(name, Outcome.GOOD, sentence)


def _one_line(trouble: SetpieceError) -> str:
    return " ".join(str(trouble).split())
