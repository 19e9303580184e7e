"""Desk passwords: the system's keyring, else the environment, else the photographer is asked.

Nothing here writes a password anywhere but the keyring, and no message holds one.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from setpiece.errors import NotFound, WrongUse

if TYPE_CHECKING:
    from keyring.backend import KeyringBackend

SERVICE = "setpiece"
"""The name under which the keyring keeps our passwords; the user name is the desk's name."""

_IN_CLEAR = frozenset({"PlaintextKeyring"})
"""Keyrings that write passwords to a file as they are; we don't use them."""


def variable(desk_name: str) -> str:
    """The environment variable that may hold a desk's password: `SETPIECE_PASSWORD_CITY_DESK`."""
    return "SETPIECE_PASSWORD_" + re.sub(r"[^A-Z0-9]+", "_", desk_name.upper()).strip("_")


def find_password(desk_name: str, ask: Callable[[str], str | None] | None = None) -> str:
    """The desk's password from the keyring, the environment, or `ask(question)`.

    Raises NotFound when nobody knows it, WrongUse for one that no server could take.
    """
    name = variable(desk_name)
    password = _in_keyring(desk_name) or os.environ.get(name)
    if not password and ask is not None:
        password = ask(f"Password for desk {desk_name}")
    if not password:
        raise NotFound(
            "no password is kept for this desk",
            thing=desk_name,
            next_step=f"Keep it with `setpiece desk password`, or set {name}.",
        )
    return usable(password, desk_name)


def usable(password: str, desk_name: str) -> str:
    """The password itself. Raises WrongUse for line ends, control characters, broken text."""
    # isprintable is false for control characters and for halves of surrogate pairs, which an
    # environment variable in another encoding turns into.
    if password.isprintable():
        return password
    raise WrongUse(
        "the password has characters that cannot be sent",
        thing=desk_name,
        next_step="Look for a line end or a tab at its end.",
    )


def keep_password(desk_name: str, password: str) -> bool:
    """Keeps it in the system's keyring; False when this computer has none that is safe."""
    usable(password, desk_name)
    backend = _keyring()
    if backend is None:
        return False
    try:
        backend.set_password(SERVICE, desk_name, password)
    except Exception:  # a keyring's own back-end may raise anything at all (D-Bus, Keychain)
        return False
    return True


def forget_password(desk_name: str) -> bool:
    """Takes it out of the keyring; False when it was not there."""
    backend = _keyring()
    if backend is None:
        return False
    try:
        backend.delete_password(SERVICE, desk_name)
    except Exception:  # as above
        return False
    return True


def keyring_name() -> str:
    """The keyring passwords go to, "" where there is none that is safe."""
    backend = _keyring()
    if backend is None or type(backend).__module__.startswith("keyring.backends.fail"):
        return ""
    return str(backend.name)


def _in_keyring(desk_name: str) -> str | None:
    backend = _keyring()
    if backend is None:
        return None
    try:
        return backend.get_password(SERVICE, desk_name)
    except Exception:  # no keyring, or a locked one: the next source is asked
        return None


def _keyring() -> KeyringBackend | None:
    """The system's keyring, None where there is none or where it would write in clear."""
    try:
        import keyring

        backend = keyring.get_keyring()
    except Exception:  # a back-end that cannot even start must not stop a delivery
        return None
    parts = [backend, *getattr(backend, "backends", ())]
    if any(type(part).__name__ in _IN_CLEAR for part in parts):
        return None
    return backend
