"""The doctor: what works on this machine and in this workspace, in plain words."""

from __future__ import annotations

import importlib
import shutil
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from setpiece.send.desk import Protocol
from setpiece.store.laptop_clock import steps
from setpiece.store.workspace import Workspace
from setpiece.work.battery import Power, read_power
from setpiece.work.desk.desks import Desk, known_desks
from setpiece.work.desk.uplink import way_out
from setpiece.work.system_clock import ClockBound, clock_bound

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


NOT_KNOWN = "not known on this machine"


def examine(
    space: Workspace,
    *,
    power: Callable[[], Power | None] = read_power,
    clock: Callable[[], ClockBound | None] = clock_bound,
) -> Doctor:
    """Examines the machine and the workspace; changes nothing and sends nothing."""
    machine = (_python(), *_libraries(), _disk(space), battery_finding(power()))
    return Doctor(
        (*machine, _clock(space, clock()), _link(known_desks(space)), _database(space), _keyring())
    )


def battery_finding(power: Power | None) -> Finding:
    """How full the battery is, and what a low one means."""
    if power is None:
        return Finding("Battery", False, NOT_KNOWN, optional=True)
    if power.share is None:
        return Finding("Battery", True, "no battery, on the mains")
    words = f"{power.share * 100:.0f} %"
    if power.is_low:
        words += ": only the goal, answers, corrections and kills go by themselves"
    return Finding(
        "Battery", not power.is_low, words + (", on the mains" if power.on_mains else "")
    )


def _clock(space: Workspace, bound: ClockBound | None) -> Finding:
    """How far the clock may be off; where it was set while it was watched, that goes first."""
    if set_then := steps(space):
        last = set_then[-1]
        when = f"{last.at:%Y-%m-%d %H:%M} UTC"
        words = f"it was set by {last.step_s:+.1f} s at {when}: photograph the clock card again"
        return Finding("Clock", False, words, optional=True)
    if bound is None:
        return Finding("Clock", False, NOT_KNOWN, optional=True)
    if not bound.kept:
        words = "the system does not keep it in time: compare it with another clock"
        return Finding("Clock", False, words, optional=True)
    return Finding("Clock", True, f"kept in time by the system, within {bound.error_s:.2f} s")


def _link(desks: Sequence[Desk]) -> Finding:
    """Whether there is a way to the desks; it is looked up, and nothing is sent."""
    asked = [d for d in desks if d.address.protocol is not Protocol.FOLDER]
    if not asked:
        return Finding("Link", True, "no desk is reached over the network", optional=True)
    cut_off = [d.name for d in asked if not way_out(d.address)]
    if cut_off:
        words = f"no way out to {', '.join(cut_off)}: what is queued goes when there is one"
        return Finding("Link", False, words, optional=True)
    return Finding("Link", True, f"a way out to {', '.join(d.name for d in asked)}")


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
