"""The border: every error of ftplib, ssl, sockets, paramiko and the disk, in our words.

`border(doing, thing)` wraps each call into a foreign library. What comes out is one of errors.py:
TryAgain when the same call may work later, AskPhotographer when only a person can help. A server's
own words are kept, passwords are not. KINDS lists every foreign class; a test fails when ftplib or
paramiko has one that is missing here.
"""

from __future__ import annotations

import errno
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from types import MappingProxyType
from typing import Any, NamedTuple

from setpiece.errors import (
    AskPhotographer,
    LinkLost,
    NoSpace,
    NotFound,
    OutcomeUnknown,
    ReadOnly,
    Refused,
    SetpieceError,
    TryAgain,
    WrongUse,
)
from setpiece.send.desk import Secret


class Doing(StrEnum):
    """What was being done when it went wrong."""

    CONNECT = "connecting"
    LOG_IN = "logging in"
    LIST = "listing"
    MAKE_FOLDER = "making the folder"
    OPEN_DATA = "opening the data connection"
    WRITE = "writing"
    CONFIRM = "waiting for the server's word after the last byte"
    SIZE = "asking the size"
    RENAME = "renaming"
    DELETE = "deleting"


class FirstContact(AskPhotographer):
    """A server whose key or certificate nobody has confirmed yet; `fingerprint` is for the pin."""

    def __init__(self, what: str, fingerprint: str, *, thing: str) -> None:
        self.fingerprint = fingerprint
        super().__init__(
            what,
            thing=thing,
            next_step=f"Its fingerprint is {fingerprint}. Ask the desk whether that is theirs; "
            "if it is, confirm it and it will be asked for every time.",
        )


class Verdict(NamedTuple):
    """What an error means: its kind in errors.py, what happened, what to do next."""

    kind: type[SetpieceError]
    what: str
    next_step: str = ""


_GOES_ON = "Nothing is lost; it goes on when the link is back."
_CHECK_ADDRESS = "Check host, port and protocol of the desk."
_ASK_DESK = "Ask the desk for the right to do this, or for the right folder."

LOST = Verdict(LinkLost, "the connection went away while {doing}", _GOES_ON)
SILENT = Verdict(LinkLost, "the server did not answer in time while {doing}", _GOES_ON)
BLOCKED = Verdict(
    LinkLost,
    "the data connection is blocked",
    "The server can be reached, but not the port it names for the bytes: another network or "
    "the desk's firewall must let it through, or the desk offers SFTP.",
)
GARBLED = Verdict(TryAgain, "the server's answer makes no sense while {doing}", _CHECK_ADDRESS)
FULL = Verdict(TryAgain, "the desk's disk is full", "Tell the desk; it is tried again later.")
WRONG_LOGIN = Verdict(
    Refused,
    "the desk does not accept this user with this password or key",
    "Check the user, then give the password again.",
)
NOT_KNOWN = Verdict(
    Refused, "the server does not know what was asked while {doing}", "Run the desk test."
)
NOT_ALLOWED = Verdict(Refused, "the desk does not allow {doing} here", _ASK_DESK)
NO_FOLDER = Verdict(NotFound, "there is no such folder or file at the desk", "Check the folder.")
NO_TLS = Verdict(
    Refused,
    "no secure connection could be agreed on",
    "The port may be for another protocol: ftps starts plain, ftps-implicit secure.",
)
BAD_KEY_FILE = Verdict(WrongUse, "the key file cannot be read", "Give a private key of OpenSSH.")

_REPLIES: MappingProxyType[tuple[str, Doing | None], Verdict] = MappingProxyType(
    {
        # RFC 959 section 4.2, RFC 2228 section 5, RFC 4217 section 12; None is any doing.
        ("421", None): Verdict(
            TryAgain,
            "the server closes the connection or has too many",
            "It is tried again later; fewer connections may help.",
        ),
        ("425", None): BLOCKED,
        ("426", None): LOST,
        ("430", None): WRONG_LOGIN,
        ("452", None): FULL,
        ("522", None): Verdict(
            Refused, "the desk wants its data connections secured otherwise", "Ask the desk how."
        ),
        ("530", None): WRONG_LOGIN,
        ("534", None): NO_TLS,
        ("550", Doing.LIST): NO_FOLDER,
        ("550", Doing.MAKE_FOLDER): NO_FOLDER,
        ("550", Doing.RENAME): Verdict(
            Refused,
            "the desk does not allow renaming",
            "Turn temporary names off for this desk, or ask it for the right.",
        ),
        ("552", None): Verdict(
            Refused, "the space the desk gives this user is used up", "Ask the desk for room."
        ),
        ("553", Doing.WRITE): Verdict(
            Refused,
            "the desk does not allow a file of this name in this folder",
            "Check the folder and the house style's file names.",
        ),
        ("500", None): NOT_KNOWN,
        ("501", None): NOT_KNOWN,
        ("502", None): NOT_KNOWN,
        ("504", None): NOT_KNOWN,
    }
)

_BY_NUMBER: MappingProxyType[int, Verdict] = MappingProxyType(
    {
        errno.ECONNREFUSED: Verdict(
            LinkLost, "nothing answers at this port", f"{_CHECK_ADDRESS} It is tried again."
        ),
        errno.EHOSTUNREACH: Verdict(LinkLost, "the host cannot be reached", _GOES_ON),
        errno.ENETUNREACH: Verdict(LinkLost, "there is no network", _GOES_ON),
        errno.ETIMEDOUT: SILENT,
        errno.ENOENT: NO_FOLDER,
        errno.ENOTDIR: NO_FOLDER,
        errno.EACCES: NOT_ALLOWED,
        errno.EPERM: NOT_ALLOWED,
        errno.ENAMETOOLONG: Verdict(Refused, "the name is too long for the desk", "Shorten it."),
        errno.EROFS: Verdict(ReadOnly, "the place cannot be written", "Choose another folder."),
        errno.ENOSPC: Verdict(NoSpace, "the disk is full", "Make room, then send again."),
    }
)

_FAILURE: MappingProxyType[Doing, Verdict] = MappingProxyType(
    {
        # SFTP's status 4 says only "Failure"; what it can mean depends on what was asked.
        Doing.WRITE: Verdict(
            TryAgain, "the server could not write", "Its disk may be full: tell the desk."
        ),
        Doing.RENAME: Verdict(
            Refused,
            "the server did not rename",
            "The name is taken, or the desk forbids renaming: run the desk test.",
        ),
    }
)

_BROKEN = frozenset({"Socket is closed", "cannot read from timed out object"})
"""Texts of paramiko and the standard library for a connection that is no longer one."""

Rule = Verdict | Callable[[Any, Doing], Verdict]


def _asked(doing: Doing) -> Doing:
    """What a refusal is about: the last word on a file is still about writing it."""
    return Doing.WRITE if doing is Doing.CONFIRM else doing


def _reply(error: Exception, doing: Doing) -> Verdict:
    code = str(error)[:3]
    # A server that breaks down says so in the words of a syntax error; after the last byte no
    # command is left that it might not know.
    if doing is Doing.CONFIRM and code in ("500", "501", "502", "504"):
        return LOST
    if str(error).startswith("500 OOPS") and doing is not Doing.LOG_IN:  # vsftpd's way
        return LOST
    known = _REPLIES.get((code, _asked(doing))) or _REPLIES.get((code, None))
    if known:
        return known
    if code.startswith("4"):
        return Verdict(TryAgain, "the desk could not do it now while {doing}", "It is tried again.")
    return NOT_ALLOWED


def _system(error: OSError, doing: Doing) -> Verdict:
    if error.errno is not None and error.errno in _BY_NUMBER:
        return _BY_NUMBER[error.errno]
    if error.errno is None and str(error) not in _BROKEN:  # paramiko's way to give a status
        return _FAILURE.get(_asked(doing), NOT_ALLOWED)
    return LOST


def _authentication(error: Exception, doing: Doing) -> Verdict:
    # paramiko raises the same class for a wrong password and for a link lost meanwhile.
    if "saw EOF" in str(error):
        return LOST
    return SILENT if "timeout" in str(error) else WRONG_LOGIN


def _tls(error: Exception, doing: Doing) -> Verdict:
    return NO_TLS if doing in (Doing.CONNECT, Doing.LOG_IN) else LOST


_SSH = "paramiko.ssh_exception."
_CHANGED_KEY = Verdict(
    Refused, "the server's key is not the one that is known", "Ask the desk before anything else."
)

KINDS: MappingProxyType[str, Rule] = MappingProxyType(
    {
        "builtins.EOFError": LOST,
        "builtins.OSError": _system,
        "builtins.TimeoutError": SILENT,
        "builtins.UnicodeError": Verdict(WrongUse, "the name cannot be written in UTF-8"),
        "socket.gaierror": Verdict(
            LinkLost, "the host's name is not found", "There is no network, or it is misspelt."
        ),
        "ssl.SSLError": _tls,
        "ssl.SSLEOFError": LOST,
        "ssl.SSLZeroReturnError": LOST,
        "ssl.SSLCertVerificationError": Verdict(
            Refused, "the server's certificate does not hold", "Ask the desk for it."
        ),
        "ftplib.Error": GARBLED,
        "ftplib.error_reply": _reply,
        "ftplib.error_temp": _reply,
        "ftplib.error_perm": _reply,
        "ftplib.error_proto": GARBLED,
        _SSH + "SSHException": LOST,
        _SSH + "AuthenticationException": _authentication,
        _SSH + "PasswordRequiredException": Verdict(
            Refused, "the key file is locked", "Give its passphrase."
        ),
        _SSH + "BadAuthenticationType": Verdict(
            Refused,
            "the desk does not take this kind of proof",
            "It may want a key instead of a password, or the other way round.",
        ),
        _SSH + "PartialAuthentication": Verdict(
            Refused, "the desk wants a further proof", "Give both a key and a password."
        ),
        _SSH + "UnableToAuthenticate": WRONG_LOGIN,
        "paramiko.auth_strategy.AuthFailure": WRONG_LOGIN,
        _SSH + "ChannelException": Verdict(
            Refused, "the server opens no channel for files", "Ask the desk whether it has SFTP."
        ),
        _SSH + "BadHostKeyException": _CHANGED_KEY,
        _SSH + "IncompatiblePeer": Verdict(
            Refused,
            "no method of encryption is common to both",
            "Ask the desk for a newer server.",
        ),
        _SSH + "ProxyCommandFailure": LOST,
        _SSH + "NoValidConnectionsError": Verdict(
            LinkLost, "nothing answers at this port", _CHECK_ADDRESS
        ),
        _SSH + "CouldNotCanonicalize": Verdict(LinkLost, "the host's name is not found"),
        _SSH + "ConfigParseError": Verdict(WrongUse, "an SSH configuration cannot be read"),
        _SSH + "MessageOrderError": GARBLED,
        "paramiko.ber.BERException": BAD_KEY_FILE,
        "paramiko.pkey.UnknownKeyType": BAD_KEY_FILE,
        "paramiko.buffered_pipe.PipeTimeout": SILENT,
        "paramiko.hostkeys.InvalidHostKey": Verdict(
            WrongUse, "the file of known hosts has a line that cannot be read", "Mend that line."
        ),
        "paramiko.packet.NeedRekeyException": LOST,
        "paramiko.sftp.SFTPError": GARBLED,
    }
)
"""Foreign class by its full name: what it means. Names, so that nothing heavy is imported."""


def translate(
    error: BaseException, doing: Doing, thing: str, secret: Secret | None = None
) -> SetpieceError | None:
    """The error in our words, None for a class that is not foreign (a fault of our own).

    A link lost while the server's last word was waited for becomes OutcomeUnknown.
    """
    rule = next((KINDS[n] for n in map(_full_name, type(error).__mro__) if n in KINDS), None)
    if rule is None:
        return None
    verdict = rule if isinstance(rule, Verdict) else rule(error, doing)
    if doing is Doing.OPEN_DATA and verdict.kind is LinkLost:
        verdict = BLOCKED
    kind = verdict.kind
    if kind is LinkLost and doing is Doing.CONFIRM:
        kind = OutcomeUnknown
    words = secret.hidden_in(str(error)) if secret else str(error)
    what = verdict.what.format(
        doing=(doing if verdict.kind is LinkLost else _asked(doing)).value,
    )
    if issubclass(kind, Refused):
        return kind(what, words=words, thing=thing, next_step=verdict.next_step)
    if _full_name(type(error)).startswith("ftplib.error"):
        what = f"{what} (it said: {words})"
    return kind(what, thing=thing, next_step=verdict.next_step)


def _full_name(kind: type) -> str:
    return f"{kind.__module__}.{kind.__qualname__}"


@contextmanager
def border(doing: Doing, thing: str, secret: Secret | None = None) -> Iterator[None]:
    """Translates what a foreign library raises inside, keeping the cause.

    Where the cause's own text holds the password, it is dropped.
    """
    try:
        yield
    except SetpieceError:
        raise
    except Exception as error:
        ours = translate(error, doing, thing, secret)
        if ours is None:
            raise
        text = f"{error!r}"
        raise ours from (error if secret is None or secret.hidden_in(text) == text else None)
