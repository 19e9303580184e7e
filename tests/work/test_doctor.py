"""What the doctor says of clock, link and battery."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from setpiece.match.instants import Instant, instant, read_instant
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.laptop_clock import ClockReading, note_reading
from setpiece.store.workspace import Workspace
from setpiece.work import doctor
from setpiece.work.battery import Power
from setpiece.work.desk.desks import Desk, DeskSettings, add_desk
from setpiece.work.doctor import NOT_KNOWN, examine
from setpiece.work.job import Unattended
from setpiece.work.system_clock import ClockBound, clock_bound

NOON: Instant = read_instant("2027-03-06T12:00:00+00:00")


@pytest.fixture
def space(tmp_path: Path) -> Workspace:
    """An empty workspace."""
    return Workspace.create(tmp_path / "workspace")


def said(space: Workspace, what: str, **given: object) -> tuple[bool, str]:
    """Whether that works, and what is said of it."""
    values = {"power": lambda: None, "clock": lambda: None} | given
    found = next(f for f in examine(space, **values).findings if f.what == what)
    assert found.optional or found.works or what == "Battery"
    return found.works, found.words


def test_what_a_machine_does_not_tell_is_said_plainly(space: Workspace) -> None:
    """Without a battery and a clock that can be asked, both are not known, and nothing fails."""
    assert said(space, "Battery") == (False, NOT_KNOWN)
    assert said(space, "Clock") == (False, NOT_KNOWN)
    assert said(space, "Link")[1] == "no desk is reached over the network"


def test_a_low_battery_says_what_still_goes(space: Workspace) -> None:
    """Under a quarter only what cannot wait goes by itself, and the doctor says so."""
    works, words = said(space, "Battery", power=lambda: Power(0.2, False))
    assert not works
    assert words == "20 %: only the goal, answers, corrections and kills go by themselves"
    assert said(space, "Battery", power=lambda: Power(0.2, True)) == (True, "20 %, on the mains")
    assert said(space, "Battery", power=lambda: Power(None, True))[0]


def test_the_clock_is_told_with_its_error(space: Workspace) -> None:
    """The system's own bound is the error; a clock that nothing keeps in time is a doubt."""
    kept = said(space, "Clock", clock=lambda: ClockBound(True, 0.021))
    assert kept == (True, "kept in time by the system, within 0.02 s")
    works, words = said(space, "Clock", clock=lambda: ClockBound(False))
    assert not works
    assert "compare it" in words


def test_a_clock_that_was_set_calls_for_another_card(space: Workspace) -> None:
    """A step noticed while the clock was watched goes before anything the system says."""
    for running_s, at in ((10.0, NOON), (20.0, instant(NOON + timedelta(seconds=12.5)))):
        note_reading(space, ClockReading("boot", running_s, at))
    works, words = said(space, "Clock", clock=lambda: ClockBound(True, 0.01))
    assert not works
    assert words.startswith("it was set by +2.5 s")


@pytest.mark.parametrize(("way", "works"), [("192.0.2.7", True), ("", False)])
def test_the_link_is_a_way_out_to_each_desk(
    space: Workspace, monkeypatch: pytest.MonkeyPatch, way: str, works: bool
) -> None:
    """A desk without a route is named; a folder of this computer needs none."""
    monkeypatch.setattr(doctor, "way_out", lambda _address: way)
    address = DeskAddress(Protocol.SFTP, host="desk.example", user="ida")
    add_desk(space, Desk("north", address, "north", DeskSettings()), Unattended(NOON))
    found, words = said(space, "Link")
    assert found is works
    assert "north" in words


def test_this_machines_clock_is_read_without_an_error() -> None:
    """Whatever machine this is, its bound is not negative, or not known."""
    bound = clock_bound()
    assert bound is None or bound.error_s >= 0
