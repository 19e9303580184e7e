"""What a photographer types."""

from __future__ import annotations

import pytest

from setpiece.errors import WrongUse
from setpiece.match.instants import read_instant
from setpiece.plan.camera import Seat
from setpiece.plan.day import Contact
from setpiece.plan.flight import Ball
from setpiece.plan.ground import Flank, Stand
from setpiece.plan.optics import Lens, Orientation
from setpiece.plan.pitch import End, Pitch, Point
from setpiece.plan.typed import (
    choose,
    read_contact,
    read_kick,
    read_lens,
    read_local,
    read_metered,
    read_seat,
    read_sensor,
    read_shutter,
    read_stand,
    read_zone,
    write_shutter,
)


@pytest.mark.parametrize(
    ("text", "seat"),
    [
        ("-8,-2,1.0", Seat("-8,-2,1.0", -8, -2, 1)),
        ("-8, -2", Seat("-8, -2", -8, -2, 1)),
        ("left=-8,-2,.5", Seat("left", -8, -2, 0.5)),
    ],
)
def test_a_seat_is_two_or_three_numbers(text: str, seat: Seat) -> None:
    """Without a height the lens is 1 m up; a name may stand before."""
    assert read_seat(text) == seat


@pytest.mark.parametrize(
    ("text", "lens"),
    [
        ("400/2.8", Lens(400, 400, 2.8)),
        ("70-200/2.8", Lens(70, 200, 2.8)),
        ("300 f/2.8 x1.4", Lens(300, 300, 2.8, 1.4)),
        ("85mm", Lens(85, 85, 2.8)),
        ("100-400/4.5", Lens(100, 400, 4.5)),
    ],
)
def test_a_lens_is_read_as_it_is_engraved(text: str, lens: Lens) -> None:
    """Focal length or range, aperture, converter; f/2.8 where none is given."""
    assert read_lens(text) == lens


@pytest.mark.parametrize("text", ["400/2.8", "70-200/2.8", "300/2.8x1.4"])
def test_a_lens_prints_as_it_is_typed(text: str) -> None:
    """Reading a lens's name gives the lens."""
    assert read_lens(text).name == text


@pytest.mark.parametrize(
    ("text", "seconds", "printed"),
    [("1/1000", 0.001, "1/1000"), ("0.5", 0.5, "0.5 s"), ("1/4s", 0.25, "1/4"), ("2s", 2, "2 s")],
)
def test_a_shutter_speed_reads_and_prints(text: str, seconds: float, printed: str) -> None:
    """Fractions and seconds."""
    assert read_shutter(text) == pytest.approx(seconds)
    assert write_shutter(seconds) == printed


def test_a_sensor_is_a_size_or_a_name() -> None:
    """Millimetres or a known name, and pixels."""
    assert read_sensor("36x24", "8192x5464").pixels_high == 5464
    assert read_sensor("1.5x", "6000x4000").width_mm == 23.5


@pytest.mark.parametrize(
    ("text", "stand"),
    [
        ("left:20", Stand(Flank.LEFT, "left stand", 20, 5, 5)),
        ("far:20:8", Stand(Flank.FAR, "far stand", 20, 8, 8)),
        ("near:20:8:6", Stand(Flank.NEAR, "near stand", 20, 8, 6)),
    ],
)
def test_a_stand_is_a_side_and_one_to_three_numbers(text: str, stand: Stand) -> None:
    """Height, set-back, roof edge; the edge stands over the first row where none is given."""
    assert read_stand(text) == stand


def test_a_word_of_a_few_is_chosen() -> None:
    """Letters of either case; another word lists the choices."""
    assert choose(Orientation, " Portrait ", "a way") is Orientation.PORTRAIT
    with pytest.raises(WrongUse, match="landscape or portrait"):
        choose(Orientation, "upright", "a way to hold a camera")


def test_a_kick_is_read_at_either_goal() -> None:
    """A penalty needs no place; a free kick two numbers; a header three or none."""
    ball, pitch = Ball(), Pitch(100, 64)
    assert read_kick("penalty", "", "1,0.5", 30, ball, pitch, End.NEAR).target == (1, 0, 0.5)
    free = read_kick("free-kick", "-5,20", "0,1.22", 25, ball, pitch, End.FAR)
    assert free.start == (5, 80, 0)
    assert read_kick("header", "", "0,1", 12, ball, pitch, End.NEAR).start == Point(2, 6, 2.2)
    assert read_kick("header", "1,5,2", "0,1", 12, ball, pitch, End.NEAR).start == Point(1, 5, 2)


@pytest.mark.parametrize(
    ("kind", "start"),
    [("penalty", "0,11"), ("free-kick", ""), ("header", "1,2"), ("corner", ""), ("", "")],
)
def test_a_kick_with_the_wrong_place_is_refused(kind: str, start: str) -> None:
    """The message says what each kind needs."""
    with pytest.raises(WrongUse, match="A penalty needs no place"):
        read_kick(kind, start, "0,1.22", 25, Ball(), Pitch(), End.NEAR)


def test_a_local_time_knows_summer_and_winter() -> None:
    """The same clock time is another instant in summer."""
    zone = read_zone("Europe/Vienna")
    assert read_local("2027-03-06", "15:30", zone) == read_instant("2027-03-06T14:30:00Z")
    assert read_local("2027-07-06", "15:30", zone) == read_instant("2027-07-06T13:30:00Z")


def test_a_metered_value_is_light() -> None:
    """f/2.8, 1/1000 s and ISO 1960 stand for 1000 lx."""
    assert read_metered("1/1000,2.8,1960") == pytest.approx(1000)


def test_a_contact_is_three_texts() -> None:
    """Name, role, how to reach."""
    assert read_contact("Media office; ground; 1") == Contact("Media office", "ground", "1")


@pytest.mark.parametrize(
    ("read", "text", "hint"),
    [
        (read_seat, "8", "Write it as -8,-2,1.0"),
        (read_seat, "a,b,c", "Write it as -8,-2,1.0"),
        (read_seat, "1,2,3,4", "Write it as -8,-2,1.0"),
        (read_lens, "long one", "Write it as 400/2.8"),
        (read_shutter, "fast", "Write it as 1/1000"),
        (read_shutter, "1/0", "Write it as 1/1000"),
        (read_stand, "left", "Write it as left:20:8:6"),
        (read_stand, "north:20", "Write it as left:20:8:6"),
        (read_stand, "left:high", "Write it as left:20:8:6"),
        (read_metered, "1/500,2.8", "Write it as 1/500,2.8,3200"),
        (read_metered, "1/500,wide,3200", "Write it as 1/500,2.8,3200"),
        (read_contact, "Somebody", "Write NAME;ROLE;NUMBER"),
        (read_zone, "Mars/Base", "Europe/Berlin"),
        (read_zone, "../etc", "Europe/Berlin"),
        (lambda t: read_sensor(t, "6000x4000"), "big", "36x24"),
        (lambda t: read_sensor("36x24", t), "many", "6000x4000"),
        (lambda t: read_local(t, "15:00", read_zone("UTC")), "6 March", "2027-03-06"),
    ],
)
def test_what_cannot_be_read_shows_how_to_write_it(read, text: str, hint: str) -> None:
    """The message repeats what was typed and shows a right one."""
    with pytest.raises(WrongUse) as refused:
        read(text)
    assert text in str(refused.value)
    assert hint in str(refused.value)
