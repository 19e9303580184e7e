"""The doctor: what works on this machine and in this workspace, in plain words."""

from __future__ import annotations

import importlib
import shutil
import sys
from dataclasses import dataclass

from setpiece.store.workspace import Workspace

LOW_DISK_GB = 20.0
"""A match of 3,000 raw frames and their copies (common practice, no source)."""

_NEEDED = {
    "exiv2": "picture metadata",
    "simplejpeg": "JPEG decoding",
    "cv2": "looking at pictures",
    "pyvips": "renditions",
    "zxingcpp": "reading the clock card",
    "paramiko": "SFTP desks",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing examined. `optional` ones may be missing."""

    what: str
    works: bool
    words: str
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Doctor:
    """Everything examined."""

    findings: tuple[Finding, ...]


def examine(space: Workspace) -> Doctor:
    """Examines the machine and the workspace; changes nothing."""
    return Doctor((_python(), *_libraries(), _database(space), _disk(space), _keyring()))


def _python() -> Finding:
    version = ".".join(map(str, sys.version_info[:3]))
    return Finding("Python", sys.version_info >= (3, 11), version)


def _libraries() -> list[Finding]:
    found = []
    for name, use in _NEEDED.items():
        try:
            importlib.import_module(name)
        except (ImportError, OSError) as error:
            found.append(Finding(use, False, f"{name} does not load: {error}. Reinstall Setpiece."))
        else:
            found.append(Finding(use, True, name))
    return found


def _database(space: Workspace) -> Finding:
    with space.reading() as connection:
        answer = connection.exec_driver_sql("PRAGMA quick_check").scalar()
    return Finding("Database", answer == "ok", str(answer))


def _disk(space: Workspace) -> Finding:
    free_gb = shutil.disk_usage(space.folder).free / 1e9
    words = f"{free_gb:.0f} GB free"
    if free_gb < LOW_DISK_GB:
        words += f"; a match with raw files can need {LOW_DISK_GB:.0f} GB"
    return Finding("Disk", free_gb >= LOW_DISK_GB, words)


def _keyring() -> Finding:
    from setpiece.send.passwords import keyring_name

    name = keyring_name()
    words = name or "none: desk passwords are asked for, or read from the environment"
    return Finding("Password keyring", bool(name), words, optional=True)
