"""The sender's contract, and the safe steps of one delivery over any kind of sender.

    1. after an earlier try: ask whether the final name is there, for it may have arrived
    2. upload under a temporary name, going on where an earlier try of the same bytes stopped
    3. ask the size of what arrived
    4. ask whether the final name is free, and rename
    5. ask the size and the time again: that is the receipt

Each question costs a round trip, so none is asked twice. Without a temporary name the first one
is asked always, for the upload itself would replace a file.

A crash or a lost link at any point leaves the final name absent or whole. From the last byte on
a lost link is OutcomeUnknown: `settle`, or `deliver_file` with `resume_from_partial`, asks the
server what it has.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import Protocol, Self

import xxhash

from setpiece.errors import LinkLost, OutcomeUnknown, Refused, SetpieceError, TryAgain, WrongUse
from setpiece.match.instants import Instant
from setpiece.send import desk
from setpiece.send.desk import DeskAddress, Secret


class Sender(Protocol):
    """One connection to a desk. Used by one thread at a time; `with` connects and closes.

    Paths are those at the desk, `/` between folders. Every call raises errors.py's errors only.
    After TryAgain or Stopped the connection is spent: close it and open another.
    """

    locks_partials: bool = False
    """Whether servers of this kind may keep a partial locked for a connection that is gone."""

    def connect(self) -> None:
        """Reaches the server and checks that it is the right one. Raises FirstContact."""

    def log_in(self) -> None:
        """Proves who we are."""

    def list_names(self, folder: str) -> list[str]:
        """Names in the folder, sorted."""

    def make_folder(self, folder: str) -> None:
        """Makes the folder and those above it where they are missing."""

    def size(self, path: str) -> int | None:
        """Size in bytes as the server states it, None when there is no such file."""

    def modified(self, path: str) -> Instant | None:
        """When the server says it was written, None when it does not say."""

    def matching(self, path: str, data: bytes) -> int:
        """How many bytes at the path are the beginning of `data`; 0 when it must start again."""

    def upload(
        self,
        data: bytes,
        path: str,
        *,
        resume_from: int,
        progress: Callable[[int], None],
        stopped: Callable[[], bool],
    ) -> int:
        """Writes `data` from that byte on; gives the byte it really began at.

        `progress` gets the bytes of `data` the desk has or was sent. `stopped` may be asked
        from another thread. Raises LinkLost before the last byte, OutcomeUnknown after it,
        Stopped when asked to.
        """

    def rename(self, old: str, new: str) -> None:
        """Renames. Raises Refused rather than replace a file."""

    def delete(self, path: str) -> None:
        """Deletes the file; nothing happens when it is not there."""

    def close(self) -> None:
        """Ends the connection; never raises."""

    @property
    def server_words(self) -> str:
        """The last thing the server said."""

    def __enter__(self) -> Self:
        try:
            self.connect()
            self.log_in()
        except BaseException:
            self.close()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


@dataclass(frozen=True, slots=True)
class Receipt:
    """Proof of delivery: what the server itself states about the file under its final name.

    `server_time` is by the server's clock, None when it does not say. `seconds` is how long the
    last try took, 0 when only the answer had been lost; `resumed_from` the byte it went on from.
    """

    remote_path: str
    size: int
    server_time: Instant | None
    seconds: float
    resumed_from: int
    server_words: str


def open_sender(
    address: DeskAddress, secret: Secret, *, known_hosts: Sequence[Path] | None = None
) -> Sender:
    """A sender of the desk's kind, not yet connected.

    `known_hosts` are files of SSH host keys to trust, by default the user's own.
    """
    if address.protocol is desk.Protocol.FOLDER:
        from setpiece.send.folder import FolderSender

        return FolderSender(address)
    if address.protocol is desk.Protocol.SFTP:
        from setpiece.send.sftp import SftpSender

        return SftpSender(address, secret, known_hosts)
    from setpiece.send.ftp import FtpSender

    return FtpSender(address, secret)


def temporary_name_for(data: bytes, name: str) -> str:
    """The name an upload bears until it is whole: the same for the same bytes and name.

    No picture's extension, so that a desk's intake does not take half a file for a whole one.
    """
    digest = xxhash.xxh3_64(name.encode() + b"\0")
    digest.update(data)
    return f"{digest.hexdigest()}.part"


def join(folder: str, name: str) -> str:
    """The path of a name in a folder at the desk; "" is where the log-in lands."""
    return f"{folder.rstrip('/')}/{name}" if folder.strip("/") else f"{folder}{name}"


def name_taken(path: str, size: int) -> Refused:
    """The refusal that keeps another file from being replaced; `size` is that file's."""
    return Refused(
        f"the desk has another file of this name, {size:,} bytes",
        thing=path,
        next_step="Nothing was replaced. Give ours another name, or ask the desk.",
    )


def deliver_file(
    sender: Sender,
    data: bytes,
    folder: str,
    name: str,
    *,
    temporary_name: bool,
    progress: Callable[[int], None],
    stopped: Callable[[], bool],
    resume_from_partial: bool,
) -> Receipt:
    """Delivers the bytes under that name, once, whole, and proven by the server's own answer.

    `resume_from_partial` says that these very bytes were tried before under this name: then a
    partial is gone on with, and a final file of the right size is the delivery that was not
    answered. Raises LinkLost, OutcomeUnknown, Refused (another file has the name), Stopped.
    """
    _check_name(name)
    started = monotonic()
    final = join(folder, name)
    part = join(folder, temporary_name_for(data, name)) if temporary_name else final
    there = sender.size(final) if resume_from_partial or part == final else None
    if there is not None and not (resume_from_partial and there < len(data) and part == final):
        if there != len(data) or not resume_from_partial:
            raise name_taken(final, there)
        return _settled(sender, final, part, there)
    sender.make_folder(folder)
    if resume_from_partial:
        begun = _go_on(sender, data, part, progress, stopped)
    else:
        begun = sender.upload(data, part, resume_from=0, progress=progress, stopped=stopped)
    try:
        _check_arrived(sender, part, len(data), alone=part != final)
        if part != final:
            _rename(sender, part, final)
            _check_final(sender, final, len(data))
    except LinkLost as error:
        raise _unknown(final) from error
    words = sender.server_words
    return Receipt(
        final, len(data), _server_time(sender, final), monotonic() - started, begun, words
    )


def _go_on(
    sender: Sender,
    data: bytes,
    part: str,
    progress: Callable[[int], None],
    stopped: Callable[[], bool],
) -> int:
    """Uploads what an earlier try left undone; gives the byte it went on from.

    A server that has not noticed yet that the earlier link is gone may keep the partial locked
    and answer nothing. Then, over a new connection, it is deleted and begun again.
    """
    begun = sender.matching(part, data)
    if begun == len(data) and data:
        return begun
    moved: list[int] = []

    def look(done: int) -> None:
        moved.append(done)
        progress(done)

    try:
        return sender.upload(data, part, resume_from=begun, progress=look, stopped=stopped)
    except LinkLost as error:
        silent = isinstance(error.__cause__, TimeoutError)
        if moved or not silent or not sender.locks_partials:
            raise
    sender.close()
    sender.connect()
    sender.log_in()
    sender.delete(part)
    return sender.upload(data, part, resume_from=0, progress=progress, stopped=stopped)


def settle(sender: Sender, folder: str, name: str, temp: str, size: int) -> Receipt | None:
    """Asks what became of an unknown delivery: its receipt, or None when it did not arrive.

    `temp` is the temporary name that was used, "" for none. Raises Refused when another file
    has the name.
    """
    final = join(folder, name)
    there = sender.size(final)
    if there is None or (there < size and not temp):
        return None
    if there != size:
        raise name_taken(final, there)
    return _settled(sender, final, join(folder, temp) if temp else final, there)


def discard(sender: Sender, folder: str, data: bytes, name: str) -> None:
    """Takes away what a withdrawn delivery left under its temporary name."""
    sender.delete(join(folder, temporary_name_for(data, name)))


def _check_name(name: str) -> None:
    if not name or name in (".", "..") or re.search(r"[/\\\x00-\x1f\x7f]", name):
        raise WrongUse(
            "this is no file name", thing=repr(name), next_step="Check the house style's pattern."
        )


def _check_arrived(sender: Sender, path: str, size: int, *, alone: bool) -> None:
    """Raises TryAgain when the server holds anything but the whole file.

    Servers do confirm short files: to some a data connection that was cut merely ended. What
    they hold is a beginning, and the next try goes on from it. Under its final name (not
    `alone`) a file that vanished may have been taken in by the desk: sending it again could
    send it twice, so a person decides.
    """
    held = sender.size(path)
    if held == size:
        return
    if held is None and not alone:
        raise Refused(
            "the desk confirmed the file but does not show it: its intake may have taken it",
            words=sender.server_words,
            thing=path,
            next_step="Ask the desk whether it has it before sending again.",
        )
    state = "nothing" if held is None else f"{held:,} bytes"
    raise TryAgain(
        f"the desk confirmed {size:,} bytes but holds {state}",
        thing=path,
        next_step="It is sent again; if that goes on, its disk may be full: tell the desk.",
    )


def _check_final(sender: Sender, final: str, size: int) -> None:
    """Raises TryAgain when the final name holds something else.

    Nothing there is no fault: the whole file was renamed and the desk's intake took it at once.
    """
    held = sender.size(final)
    if held not in (None, size):
        raise TryAgain(
            f"the desk renamed {size:,} bytes but shows {held:,}",
            thing=final,
            next_step="It is looked at again; if that goes on, tell the desk.",
        )


def _rename(sender: Sender, part: str, final: str) -> None:
    try:
        sender.rename(part, final)
    except Refused:
        with contextlib.suppress(SetpieceError):
            sender.delete(part)
        raise


def _settled(sender: Sender, final: str, part: str, size: int) -> Receipt:
    """The receipt for a file that had arrived without our hearing of it."""
    words = sender.server_words
    if part != final:
        with contextlib.suppress(SetpieceError):
            sender.delete(part)
    return Receipt(final, size, _server_time(sender, final), 0.0, 0, words)


def _server_time(sender: Sender, path: str) -> Instant | None:
    """The server's time for a delivery already proven: no answer does not undo it."""
    try:
        return sender.modified(path)
    except SetpieceError:
        return None


def _unknown(path: str) -> OutcomeUnknown:
    return OutcomeUnknown(
        "the link was lost after the last byte",
        thing=path,
        next_step="The desk is asked what it has before anything is sent again.",
    )
