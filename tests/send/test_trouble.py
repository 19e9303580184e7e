"""The border: no foreign class is unknown, each means the right thing, no password leaks."""

from __future__ import annotations

import errno
import ftplib
import importlib
import pkgutil
import socket
import ssl

import paramiko
import pytest

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
from setpiece.send import trouble
from setpiece.send.desk import Secret
from setpiece.send.trouble import KINDS, Doing, FirstContact, Verdict, border, translate

PASSWORD = "offside-4711"

NOT_FOR_US = {
    "paramiko._winapi.WindowsError",  # raised by the agent of another program, which we don't use
}


def foreign_classes(package) -> set[type]:
    """Every exception class a library defines, in all its modules."""
    modules = [package]
    for module in pkgutil.iter_modules(getattr(package, "__path__", []), f"{package.__name__}."):
        try:
            modules.append(importlib.import_module(module.name))
        except (ImportError, AttributeError):
            continue  # a module for another system
    return {
        value
        for module in modules
        for value in vars(module).values()
        if isinstance(value, type)
        and issubclass(value, Exception)
        and value.__module__.split(".")[0] == package.__name__
    }


@pytest.mark.parametrize("package", [ftplib, paramiko], ids=lambda p: p.__name__)
def test_every_foreign_class_is_translated(package) -> None:
    """Each exception class of the library stands in the table by its own name."""
    names = {f"{c.__module__}.{c.__qualname__}" for c in foreign_classes(package)}
    assert len(names) > 4
    assert names - set(KINDS) - NOT_FOR_US == set()


def test_the_table_names_only_classes_that_exist() -> None:
    """Every name in the table leads to a class, so none is misspelt."""
    for name in KINDS:
        module, _, kind = name.rpartition(".")
        found = getattr(importlib.import_module(module), kind)
        assert issubclass(found, Exception)


REPLIES = [
    ("530 Login incorrect.", Doing.LOG_IN, Refused, "user"),
    ("430 Invalid", Doing.LOG_IN, Refused, "user"),
    ("421 Too many connections", Doing.CONNECT, TryAgain, "too many"),
    ("425 Can't open data connection", Doing.WRITE, LinkLost, "blocked"),
    ("426 Connection closed", Doing.WRITE, LinkLost, "went away"),
    ("451 Local error", Doing.WRITE, TryAgain, "could not do it now"),
    ("452 No space left", Doing.WRITE, TryAgain, "disk is full"),
    ("552 Quota exceeded", Doing.WRITE, Refused, "used up"),
    ("553 Could not create file.", Doing.WRITE, Refused, "name"),
    ("550 Permission denied.", Doing.WRITE, Refused, "does not allow"),
    ("550 Permission denied.", Doing.RENAME, Refused, "renaming"),
    ("550 No such directory", Doing.LIST, NotFound, "no such folder"),
    ("550 No", Doing.DELETE, Refused, "deleting"),
    ("522 Secured otherwise", Doing.WRITE, Refused, "secured"),
    ("502 Not implemented", Doing.RENAME, Refused, "does not know"),
    ("534 Policy requires SSL", Doing.LOG_IN, Refused, "secure connection"),
    ("500 OOPS: priv_sock_get_cmd", Doing.WRITE, LinkLost, "went away"),
    ("500 OOPS: cannot change directory", Doing.LOG_IN, Refused, "does not know"),
    ("500 OOPS: priv_sock_get_cmd", Doing.CONFIRM, OutcomeUnknown, "went away"),
    ("426 Connection closed", Doing.CONFIRM, OutcomeUnknown, "went away"),
    ("452 No space left", Doing.CONFIRM, TryAgain, "disk is full"),
    ("552 Quota exceeded", Doing.CONFIRM, Refused, "used up"),
]


@pytest.mark.parametrize(("words", "doing", "kind", "says"), REPLIES)
def test_ftp_replies(words: str, doing: Doing, kind: type[SetpieceError], says: str) -> None:
    """A reply becomes the error that says what to do, in plain words beside the server's own."""
    raised = ftplib.error_temp if words.startswith("4") else ftplib.error_perm
    ours = translate(raised(words), doing, "desk.example")
    assert type(ours) is kind
    assert says in str(ours)
    assert words in str(ours)


OTHERS = [
    (ConnectionRefusedError(errno.ECONNREFUSED, "x"), Doing.CONNECT, LinkLost, "nothing answers"),
    (socket.gaierror(-2, "x"), Doing.CONNECT, LinkLost, "name is not found"),
    (OSError(errno.ENETUNREACH, "x"), Doing.CONNECT, LinkLost, "no network"),
    (ConnectionResetError(errno.ECONNRESET, "x"), Doing.WRITE, LinkLost, "went away"),
    (ConnectionResetError(errno.ECONNRESET, "x"), Doing.CONFIRM, OutcomeUnknown, "went away"),
    (ConnectionRefusedError(errno.ECONNREFUSED, "x"), Doing.OPEN_DATA, LinkLost, "is blocked"),
    (TimeoutError("timed out"), Doing.OPEN_DATA, LinkLost, "is blocked"),
    (TimeoutError("timed out"), Doing.SIZE, LinkLost, "did not answer in time"),
    (EOFError(), Doing.RENAME, LinkLost, "went away"),
    (ssl.SSLError(1, "wrong version number"), Doing.CONNECT, Refused, "secure connection"),
    (ssl.SSLError(1, "bad record mac"), Doing.WRITE, LinkLost, "went away"),
    (ssl.SSLEOFError(8, "x"), Doing.CONNECT, LinkLost, "went away"),
    (OSError("Failure"), Doing.WRITE, TryAgain, "could not write"),
    (OSError("Failure"), Doing.CONFIRM, TryAgain, "could not write"),
    (PermissionError(errno.EACCES, "x"), Doing.CONFIRM, Refused, "does not allow writing"),
    (OSError("Failure"), Doing.RENAME, Refused, "did not rename"),
    (OSError("Failure"), Doing.DELETE, Refused, "does not allow"),
    (OSError("Socket is closed"), Doing.WRITE, LinkLost, "went away"),
    (FileNotFoundError(errno.ENOENT, "x"), Doing.LIST, NotFound, "no such folder"),
    (PermissionError(errno.EACCES, "x"), Doing.WRITE, Refused, "does not allow writing"),
    (OSError(errno.ENOSPC, "x"), Doing.WRITE, NoSpace, "disk is full"),
    (OSError(errno.EROFS, "x"), Doing.WRITE, ReadOnly, "cannot be written"),
    (OSError(errno.ENAMETOOLONG, "x"), Doing.WRITE, Refused, "too long"),
    ("\udcff", Doing.WRITE, WrongUse, "UTF-8"),
    (paramiko.AuthenticationException("Authentication failed."), Doing.LOG_IN, Refused, "user"),
    (paramiko.AuthenticationException("transport saw EOF"), Doing.LOG_IN, LinkLost, "went away"),
    (paramiko.AuthenticationException("Authentication timeout."), Doing.LOG_IN, LinkLost, "time"),
    (paramiko.BadAuthenticationType("x", ["publickey"]), Doing.LOG_IN, Refused, "proof"),
    (paramiko.SSHException("Server connection dropped"), Doing.SIZE, LinkLost, "went away"),
    (paramiko.SFTPError("Garbage packet received"), Doing.SIZE, TryAgain, "makes no sense"),
    (ftplib.error_proto("hello"), Doing.CONNECT, TryAgain, "makes no sense"),
]


@pytest.mark.parametrize(("error", "doing", "kind", "says"), OTHERS)
def test_other_foreign_errors(
    error: Exception | str, doing: Doing, kind: type[SetpieceError], says: str
) -> None:
    """Sockets, TLS, SSH and the disk fail in our words too."""
    if isinstance(error, str):
        with pytest.raises(UnicodeError) as raised:
            error.encode()
        error = raised.value
    ours = translate(error, doing, "desk.example")
    assert type(ours) is kind
    assert says in str(ours)


def test_a_fault_of_our_own_is_not_hidden() -> None:
    """An error that is not foreign passes the border as it is."""
    with pytest.raises(ZeroDivisionError), border(Doing.WRITE, "desk.example"):
        raise ZeroDivisionError


def test_our_own_errors_pass() -> None:
    """An error that is in our words already is not translated again."""
    ours = NotFound("x")
    with pytest.raises(NotFound) as raised, border(Doing.CONFIRM, "desk.example"):
        raise ours
    assert raised.value is ours


def test_the_cause_is_kept() -> None:
    """The foreign error stands behind ours."""
    cause = EOFError("x")
    with pytest.raises(LinkLost) as raised, border(Doing.SIZE, "desk.example", Secret(PASSWORD)):
        raise cause
    assert raised.value.__cause__ is cause


def texts(error: BaseException | None) -> str:
    """Everything that printing an error, its fields and its causes could show."""
    shown = []
    while error is not None:
        shown += [str(error), repr(error), repr(vars(error)), repr(error.args)]
        error = error.__cause__
    return " ".join(shown)


def holding(name: str, words: str) -> Exception:
    """A foreign error of that class whose text holds the words."""
    module, _, kind = name.rpartition(".")
    foreign = getattr(importlib.import_module(module), kind)
    match kind:
        case "UnicodeError":
            return UnicodeEncodeError("utf-8", f"PASS {words}", 0, 1, "surrogates not allowed")
        case "BadAuthenticationType" | "ChannelException" | "ProxyCommandFailure":
            return foreign(words, [words])
        case "InvalidHostKey":
            return foreign(words, ValueError(words))
        case "BadHostKeyException":
            return foreign(words, paramiko.ECDSAKey.generate(), paramiko.ECDSAKey.generate())
        case "UnknownKeyType":
            return foreign(words, b"")
        case "NoValidConnectionsError":
            return foreign({(words, 22): OSError(words)})
        case "AuthFailure":
            return foreign([words])
        case _:
            return foreign(words)


@pytest.mark.parametrize("name", sorted(KINDS))
def test_no_error_text_holds_the_password(name: str) -> None:
    """Even where a server or a library repeats the password, no text of the error has it."""
    error = holding(name, f"530 no such user ada with {PASSWORD}")
    assert PASSWORD in texts(error)
    for doing in Doing:
        with pytest.raises(SetpieceError) as raised, border(doing, "desk", Secret(PASSWORD)):
            raise error
        assert PASSWORD not in texts(raised.value)


def test_every_verdict_says_what_happened() -> None:
    """Every verdict's words are a sentence's beginning, with the step that failed filled in."""
    tables = [trouble._REPLIES, trouble._BY_NUMBER, trouble._FAILURE, KINDS]
    verdicts = [v for table in tables for v in table.values() if isinstance(v, Verdict)]
    assert len(verdicts) > 40
    for verdict in verdicts:
        text = str(verdict.kind(verdict.what.format(doing="writing"), next_step=verdict.next_step))
        assert len(verdict.what) > 10
        assert "{" not in text


def test_first_contact_tells_the_fingerprint() -> None:
    """The question about an unknown server holds the fingerprint in its text and as a field."""
    error = FirstContact("this server is not known yet", "SHA256:abc", thing="desk.example")
    assert isinstance(error, AskPhotographer)
    assert error.fingerprint == "SHA256:abc"
    assert "SHA256:abc" in str(error)
