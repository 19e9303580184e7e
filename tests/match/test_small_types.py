"""Instants, intervals, minutes, people, kits, fixtures and scores."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from setpiece.errors import WrongUse
from setpiece.match.fixture import Fixture
from setpiece.match.instants import (
    CameraTime,
    Interval,
    MinuteLabel,
    instant,
    read_instant,
    write_instant,
)
from setpiece.match.people import (
    Kit,
    Person,
    PersonId,
    Role,
    Side,
    SidePeople,
    TeamSheet,
    number_in_id,
    numbered_id,
)
from setpiece.match.roles import role_of
from setpiece.match.state import Score

NOON = instant(datetime(2027, 3, 6, 12, 0, tzinfo=UTC))


def test_an_instant_is_utc() -> None:
    """Any zone becomes UTC; a time without a zone is none."""
    east = timezone(timedelta(hours=2))
    assert instant(datetime(2027, 3, 6, 14, 0, tzinfo=east)) == NOON
    with pytest.raises(WrongUse, match="without a zone"):
        instant(datetime(2027, 3, 6, 12, 0))
    assert read_instant(" 2027-03-06T13:00:00+01:00 ") == NOON
    for text in ("noon", "2027-03-06T12:00:00"):
        with pytest.raises(WrongUse):
            read_instant(text)


def test_an_instant_is_written_with_tenths_cut() -> None:
    """Tenths are cut, not rounded."""
    assert write_instant(instant(NOON + timedelta(milliseconds=390))) == "2027-03-06T12:00:00.3Z"


def test_intervals_hold_and_meet() -> None:
    """Both ends belong to an interval; it cannot run backwards."""
    around = Interval.around(NOON, 2)
    assert around.width_s == 4
    assert around.middle == NOON
    assert around.holds(around.start)
    assert not around.holds(instant(NOON + timedelta(seconds=3)))
    assert around.meets(Interval.exactly(around.end))
    assert not around.meets(Interval.exactly(instant(NOON + timedelta(seconds=3))))
    with pytest.raises(WrongUse, match="before it starts"):
        Interval(around.end, around.start)


def test_a_camera_time_has_no_zone() -> None:
    """A camera's reading lies within its resolution, and is never an instant."""
    reading = CameraTime(datetime(2027, 3, 6, 12, 0))
    assert reading.middle == datetime(2027, 3, 6, 12, 0, 0, 500_000)
    with pytest.raises(WrongUse):
        CameraTime(NOON)
    with pytest.raises(WrongUse):
        CameraTime(datetime(2027, 3, 6), resolution_s=0)


def test_minutes_are_read_and_written() -> None:
    """73, 73' and 45+2’ are minutes; 0, early and 999 are none."""
    assert str(MinuteLabel.read("73'")) == "73"
    assert str(MinuteLabel.read(" 45+2’ ")) == "45+2"
    assert MinuteLabel(45, 2) < MinuteLabel(46)
    for text in ("0", "early", "999", "45+"):
        with pytest.raises(WrongUse):
            MinuteLabel.read(text)


def test_people_and_their_identifiers() -> None:
    """An identifier made of side and number gives both back; names and numbers are checked."""
    assert number_in_id(numbered_id(Side.AWAY, 7)) == (Side.AWAY, 7)
    assert number_in_id(PersonId("referee")) is None
    assert Person(PersonId("x"), "ANN RAY", known_as="Ann Ray").name == "Ann Ray"
    with pytest.raises(WrongUse, match="needs a name"):
        Person(PersonId("x"), " ")
    with pytest.raises(WrongUse, match="no such shirt number"):
        Person(PersonId("x"), "Ann", number=1000)
    assert Side.HOME.other is Side.AWAY
    assert Side.AWAY.other is Side.HOME


def test_kits_are_found_by_their_letter() -> None:
    """A kit's letter is one small letter and stands for a side's or the officials' kit."""
    red, black = Kit("r", "red", "#b5382a"), Kit("k", "black", "#111111")
    sheet = TeamSheet(SidePeople("A", "A", (red,)), SidePeople("B", "B"), officials_kits=(black,))
    assert sheet.kit("r") == (red, Side.HOME)
    assert sheet.kit("k") == (black, None)
    assert sheet.kit("z") is None
    for letter in ("R", "rr", "1"):
        with pytest.raises(WrongUse):
            Kit(letter, "red", "#b5382a")


def test_a_fixture_knows_its_zone_and_date() -> None:
    """The date is the venue's own; an unknown zone or country code is refused."""
    fixture = Fixture("x", "A", "B", "Cup", NOON, "Asia/Tokyo", country_code="JPN")
    assert fixture.local_date(instant(NOON + timedelta(hours=4))) == date(2027, 3, 7)
    with pytest.raises(WrongUse, match="no such time zone"):
        Fixture("x", "A", "B", "Cup", NOON, "Europe/Nowhere")
    with pytest.raises(WrongUse, match="three letters"):
        Fixture("x", "A", "B", "Cup", NOON, "UTC", country_code="DE")


def test_the_venue_s_offset_changes_with_summer_time() -> None:
    """A venue is as far from UTC as its zone says for that instant, east counted up."""
    assert venue("Europe/Vienna").offset_min(NOON) == 60
    summer = instant(datetime(2027, 7, 3, 12, 0, tzinfo=UTC))
    assert venue("Europe/Vienna").offset_min(summer) == 120
    assert venue("America/St_Johns").offset_min(NOON) == -210


def venue(zone: str) -> Fixture:
    """A fixture in that zone."""
    return Fixture("x", "A", "B", "Cup", NOON, zone)


def test_scores() -> None:
    """A score is printed with an en dash, home first."""
    score = Score(2, 1).plus(Side.AWAY)
    assert str(score) == "2–2"
    assert (score.of(Side.HOME), score.of(Side.AWAY)) == (2, 2)


def test_words_for_roles() -> None:
    """A sheet's word is understood with what stands before it; an unknown one is not."""
    assert role_of("Head-Coach") is Role.HEAD_COACH
    assert role_of("caretaker manager") is Role.MANAGER
    assert role_of("wizard") is None
