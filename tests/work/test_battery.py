"""The laptop's battery as each system tells it."""

from __future__ import annotations

from pathlib import Path

import pytest

from setpiece.work.battery import LOW_SHARE, Battery, Power, power_in, power_of_mac, read_power


def supply(folder: Path, name: str, **values: str) -> None:
    """One power supply as Linux lists it."""
    (folder / name).mkdir(parents=True)
    for key, value in values.items():
        (folder / name / key).write_text(value + "\n")


@pytest.mark.parametrize(
    ("status", "online", "on_mains"),
    [("Discharging", "0", False), ("Charging", "1", True), ("Discharging", "1", True)],
)
def test_linux_tells_share_and_mains(
    tmp_path: Path, status: str, online: str, on_mains: bool
) -> None:
    """The battery's share, and whether mains or a charge feed it; a mouse's battery is left out."""
    supply(tmp_path, "BAT0", type="Battery", capacity="21", status=status)
    supply(tmp_path, "AC", type="Mains", online=online)
    supply(tmp_path, "hid-mouse", type="Battery", scope="Device", capacity="3", status="Unknown")
    assert power_in(tmp_path) == Power(0.21, on_mains)


def test_a_machine_without_a_battery_is_on_the_mains(tmp_path: Path) -> None:
    """Mains alone are no battery; a folder that lists nothing, or is not there, tells nothing."""
    assert power_in(tmp_path) is None
    assert power_in(tmp_path / "gone") is None
    supply(tmp_path, "AC", type="Mains", online="1")
    assert power_in(tmp_path) == Power(None, True)


@pytest.mark.parametrize(
    ("said", "power"),
    [
        ("Now drawing from 'Battery Power'\n -InternalBattery-0\t19%; discharging; 1:02 remaining",
         Power(0.19, False)),
        ("Now drawing from 'AC Power'\n -InternalBattery-0\t84%; charging", Power(0.84, True)),
        ("Now drawing from 'AC Power'\n", Power(None, True)),
        ("", None),
    ],
)  # fmt: skip
def test_the_mac_says_it_in_words(said: str, power: Power | None) -> None:
    """`pmset -g batt` is read, and what it does not say is not known."""
    assert power_of_mac(said) == power


def test_low_is_under_a_quarter_and_off_the_mains() -> None:
    """At a quarter, on the mains or without a battery nothing rests."""
    assert Power(LOW_SHARE - 0.01, False).is_low
    assert not Power(LOW_SHARE, False).is_low
    assert not Power(0.05, True).is_low
    assert not Power(None, True).is_low


def test_a_reading_is_kept_for_a_while() -> None:
    """The system is asked once for many questions; what it does not tell is not low."""
    readings = [None, Power(0.1, False)]
    battery = Battery(lambda: readings.pop(0))
    assert [battery.power, battery.power, battery.is_low] == [None, None, False]
    assert len(readings) == 1


def test_this_machine_is_read_without_an_error() -> None:
    """Whatever machine this is, its reading is a share between 0 and 1, or not known."""
    power = read_power()
    assert power is None or power.share is None or 0 <= power.share <= 1
