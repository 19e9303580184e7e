"""Passwords: where they are looked for, and that they are nowhere else."""

from __future__ import annotations

import keyring
import pytest
from keyring.backend import KeyringBackend
from keyring.backends.chainer import ChainerBackend
from keyring.backends.fail import Keyring as NoKeyring

from setpiece.errors import NotFound, WrongUse
from setpiece.send.passwords import (
    find_password,
    forget_password,
    keep_password,
    keyring_name,
    usable,
    variable,
)

PASSWORD = "offside-4711-ü"


class MemoryKeyring(KeyringBackend):
    """A keyring that works, in memory."""

    priority = 1

    def __init__(self) -> None:
        self.kept: dict[tuple[str, str], str] = {}

    def get_password(self, service: str, username: str) -> str | None:
        return self.kept.get((service, username))

    def set_password(self, service: str, username: str, password: str) -> None:
        self.kept[service, username] = password

    def delete_password(self, service: str, username: str) -> None:
        del self.kept[service, username]


class PlaintextKeyring(MemoryKeyring):
    """One that would write to a file as it is."""


class BrokenKeyring(MemoryKeyring):
    """A back-end that fails with an error of its own kind."""

    def get_password(self, service: str, username: str) -> str | None:
        raise ConnectionError(f"no bus for {username}")

    set_password = delete_password = get_password


def use(monkeypatch: pytest.MonkeyPatch, backend: KeyringBackend) -> None:
    """This is the system's keyring now."""
    monkeypatch.setattr(keyring, "get_keyring", lambda: backend)


@pytest.fixture
def working(monkeypatch: pytest.MonkeyPatch) -> MemoryKeyring:
    """A keyring that works."""
    backend = MemoryKeyring()
    use(monkeypatch, backend)
    return backend


def test_keyring_first_then_environment_then_asked(
    working: MemoryKeyring, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The keyring wins over the environment, the environment over a question."""

    def ask(question: str) -> str:
        assert "City" in question
        return "asked"

    assert find_password("City", ask) == "asked"
    monkeypatch.setenv("SETPIECE_PASSWORD_CITY", "environment")
    assert find_password("City", ask) == "environment"
    assert keep_password("City", PASSWORD)
    assert find_password("City", ask) == PASSWORD
    assert working.kept == {("setpiece", "City"): PASSWORD}


def test_forgetting(working: MemoryKeyring) -> None:
    """A password that was kept can be forgotten, once."""
    keep_password("City", PASSWORD)
    assert forget_password("City")
    assert not forget_password("City")
    assert working.kept == {}


@pytest.mark.parametrize("backend", [NoKeyring, BrokenKeyring])
def test_a_missing_or_broken_keyring_breaks_nothing(
    monkeypatch: pytest.MonkeyPatch, backend: type[KeyringBackend]
) -> None:
    """Without a keyring that works the environment still answers, and keeping says no."""
    use(monkeypatch, backend())
    assert not keep_password("City", PASSWORD)
    assert not forget_password("City")
    monkeypatch.setenv("SETPIECE_PASSWORD_CITY", PASSWORD)
    assert find_password("City") == PASSWORD


def test_a_keyring_that_cannot_start(monkeypatch: pytest.MonkeyPatch) -> None:
    """A keyring that fails while it is looked for counts as none."""

    def fail() -> KeyringBackend:
        raise RuntimeError

    monkeypatch.setattr(keyring, "get_keyring", fail)
    assert keyring_name() == ""
    assert not keep_password("City", PASSWORD)


def test_a_keyring_in_clear_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is given to a keyring that writes passwords as they are, nor to a chain with one."""
    plain = PlaintextKeyring()
    use(monkeypatch, plain)
    assert not keep_password("City", PASSWORD)
    chain = ChainerBackend()
    monkeypatch.setattr(ChainerBackend, "backends", [MemoryKeyring(), plain])
    use(monkeypatch, chain)
    assert not keep_password("City", PASSWORD)
    assert plain.kept == {}


def test_what_the_keyring_is_called(
    working: MemoryKeyring, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The keyring in use has a name, none has none."""
    assert "MemoryKeyring" in keyring_name()
    use(monkeypatch, NoKeyring())
    assert keyring_name() == ""


def test_nobody_knows_it(working: MemoryKeyring) -> None:
    """Without any source the message names the desk and the variable that would help."""
    for ask in (None, lambda _question: None, lambda _question: ""):
        with pytest.raises(NotFound, match="SETPIECE_PASSWORD_HOLLIN_VALE") as raised:
            find_password("Hollin Vale", ask)
        assert "Hollin Vale" in str(raised.value)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("city", "SETPIECE_PASSWORD_CITY"),
        ("City desk 2", "SETPIECE_PASSWORD_CITY_DESK_2"),
        ("-a.b-", "SETPIECE_PASSWORD_A_B"),
    ],
)
def test_the_variable_of_a_desk(name: str, expected: str) -> None:
    """A desk's name in capitals, with one stroke for anything else."""
    assert variable(name) == expected


@pytest.mark.parametrize("password", ["line\n", "a\r\nDELE x", "tab\t", "\udcff"])
def test_a_password_that_cannot_be_sent(password: str) -> None:
    """Control characters and broken text are refused, and the message does not repeat them."""
    with pytest.raises(WrongUse) as raised:
        usable(f"offside{password}", "City")
    assert "offside" not in str(raised.value)
