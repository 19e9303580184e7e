"""The day of the match and its calendar."""

from __future__ import annotations

from datetime import UTC, timedelta

import pytest

from setpiece.errors import WrongUse
from setpiece.match.fixture import Fixture, Rules
from setpiece.match.instants import read_instant
from setpiece.plan.day import Entry, calendar, day_plan, packing
from setpiece.plan.optics import Lens

KICK_OFF = read_instant("2027-03-06T14:30:00Z")
MADE = read_instant("2027-03-05T18:00:00Z")
FIXTURE = Fixture(
    "2027-03-06-lethenbruck-marnstein",
    "SK Lethenbruck",
    "TSV Marnstein",
    "Women's Lantern Cup",
    KICK_OFF,
    "Europe/Vienna",
    venue="Stadion an der Leth",
    city="Lethenbruck",
)


def test_the_day_runs_in_order_from_setting_out_to_the_last_picture() -> None:
    """Entries are in time's order; team sheets come an hour before kick-off."""
    plan = day_plan(FIXTURE, travel_min=75)
    times = [entry.at for entry in plan]
    assert times == sorted(times)
    assert plan[0] == Entry("set-out", KICK_OFF - timedelta(minutes=225), "Set out", 75)
    sheets = next(entry for entry in plan if "Team sheets" in entry.what)
    assert sheets.at == KICK_OFF - timedelta(minutes=60)


def test_without_a_way_to_go_the_day_begins_at_the_ground() -> None:
    """No travel, no setting out."""
    assert day_plan(FIXTURE)[0].what.startswith("At the ground")


def test_shorter_halves_end_earlier() -> None:
    """The competition's own halves count."""
    youth = Fixture("y", "A", "B", "C", KICK_OFF, "UTC", rules=Rules(half_min=35))
    full = [e.at for e in day_plan(youth) if e.what.startswith("Full time")]
    assert full == [KICK_OFF + timedelta(minutes=37 + 15 + 38)]


def test_the_bag_holds_what_the_day_asks_for() -> None:
    """Every lens, a torch after dark, covers in the rain."""

    def texts(*lenses: Lens, **day: object) -> list[str]:
        return [item.text for _, items in packing(lenses, **day) for item in items]

    plain = texts(Lens(400, 400), bodies=1)
    assert plain[:2] == ["1 camera, clocks set", "lens 400/2.8"]
    assert "one rain cover all the same" in plain
    dark = texts(after_dark=True, rain=True)
    assert {"head torch", "rain covers for every camera"} <= set(dark)


def test_an_entry_keeps_its_identifier_when_others_join() -> None:
    """A calendar written again with a way to the ground replaces the entries of the first."""

    def ids(travel_min: int) -> list[str]:
        text = calendar(FIXTURE, day_plan(FIXTURE, travel_min=travel_min), made=MADE)
        return [line for line in text.replace("\r\n ", "").split("\r\n") if "UID:" in line]

    assert ids(75)[1:] == ids(0)


def test_the_calendar_is_lines_of_75_octets_that_end_in_cr_lf() -> None:
    """Long lines fold between characters, also where a character takes several octets."""
    text = calendar(FIXTURE, [Entry("a", KICK_OFF, "Ä" * 60 + "; b, c\\d\nnext")], made=MADE)
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    lines = text.split("\r\n")
    assert all(len(line.encode()) <= 75 for line in lines)
    unfolded = text.replace("\r\n ", "")
    assert "SUMMARY:" + "Ä" * 60 + "\\; b\\, c\\\\d\\nnext\r\n" in unfolded


def test_a_control_character_has_no_place_in_a_calendar() -> None:
    """RFC 5545 allows none in a text."""
    with pytest.raises(WrongUse, match="control characters"):
        calendar(FIXTURE, [Entry("a", KICK_OFF, "a\x07b")], made=MADE)


def test_another_program_reads_the_calendar_back() -> None:
    """The icalendar library, an independent reader, finds every entry with its time and place."""
    icalendar = pytest.importorskip("icalendar", reason="the icalendar library is not installed")
    plan = day_plan(FIXTURE, travel_min=75)
    read = icalendar.Calendar.from_ical(calendar(FIXTURE, plan, made=MADE))
    events = read.walk("VEVENT")
    assert [str(event["SUMMARY"]) for event in events] == [entry.what for entry in plan]
    assert [event.decoded("DTSTART").astimezone(UTC) for event in events] == [e.at for e in plan]
    assert len({str(event["UID"]) for event in events}) == len(plan)
    assert str(events[0]["LOCATION"]) == "Stadion an der Leth, Lethenbruck"
    kick_off = next(e for e in events if "Kick-off" in str(e["SUMMARY"]))
    assert kick_off.decoded("DTEND") - kick_off.decoded("DTSTART") == timedelta(minutes=110)


def test_a_fixture_without_a_place_has_an_entry_without_one() -> None:
    """No LOCATION where none is known."""
    bare = Fixture("b", "A", "B", "C", KICK_OFF, "UTC")
    assert "LOCATION" not in calendar(bare, day_plan(bare), made=MADE)
