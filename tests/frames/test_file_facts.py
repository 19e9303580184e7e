"""Facts of one file."""

from datetime import datetime

import pytest

from setpiece.errors import WrongUse
from setpiece.frames.file_facts import FileFacts, base_name, file_number_in
from setpiece.match.instants import CameraTime

READING = datetime.fromisoformat("2027-03-06T15:03:12.340")


def facts(**said: object) -> FileFacts:
    known = {"content": "c1", "name": "ABCD0231.JPG", "folder": "100", "kind": "JPEG", "size": 9}
    return FileFacts(**(known | said))


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("ABCD0231.JPG", 231),
        ("_ABC9999.NEF", 9999),
        ("abcd0001 (1).jpg", 1),
        ("ABCD0231-2.JPG", 231),
        ("ABCD0231_1.JPG", 231),
        ("touchline 0042.jpg", 42),
        ("A-0231 small.jpg", 231),
        ("final.jpg", None),
        ("photo12345.jpg", None),
        ("ABCD0231", 231),
    ],
)
def test_number_is_what_the_camera_counted(name: str, number: int | None) -> None:
    """A file number is the four digits a camera counts, whatever a computer added."""
    assert file_number_in(name) == number


@pytest.mark.parametrize(
    ("name", "kind", "base"),
    [
        ("ABCD0231.JPG", "JPEG", "abcd0231"),
        ("ABCD0231.xmp", "XMP", "abcd0231"),
        ("ABCD0231.JPG.xmp", "XMP", "abcd0231"),
        ("v1.2.JPG", "JPEG", "v1.2"),
        (".hidden", "JPEG", ".hidden"),
        ("plain", "JPEG", "plain"),
    ],
)
def test_base_name_ignores_endings_and_case(name: str, kind: str, base: str) -> None:
    """Files of one exposure share a base name, a sidecar with either form of name."""
    assert base_name(name, kind) == base


@pytest.mark.parametrize(
    ("resolution_s", "digits"),
    [(1.0, ""), (2.0, ""), (0.1, "3"), (0.01, "34"), (0.001, "340"), (0.02, "34")],
)
def test_subseconds_are_as_many_digits_as_the_camera_wrote(
    resolution_s: float, digits: str
) -> None:
    """Sub-seconds have as many digits as the stamp resolves, none for whole seconds."""
    assert facts(camera_time=CameraTime(READING, resolution_s)).subsec == digits


def test_no_time_has_no_subseconds() -> None:
    """A file without a camera time has no sub-seconds."""
    assert facts().subsec == ""


@pytest.mark.parametrize(
    ("kind", "size", "picture", "raw"),
    [
        ("JPEG", 9, True, False),
        ("HEIF", 9, True, False),
        ("NEF", 9, True, True),
        ("WAV", 9, False, False),
        ("XMP", 9, False, False),
        ("unknown", 9, False, False),
        ("JPEG", 0, False, False),
    ],
)
def test_picture_is_what_has_one_inside(kind: str, size: int, picture: bool, raw: bool) -> None:
    """Memos, sidecars, unknown and empty files are no pictures; other kinds are raw files."""
    file = facts(kind=kind, size=size)
    assert (file.is_picture, file.is_raw) == (picture, raw)


@pytest.mark.parametrize(
    "said",
    [
        {"content": ""},
        {"name": ""},
        {"size": -1},
        {"width_px": -1},
        {"height_px": -5},
        {"file_number": -1},
    ],
)
def test_impossible_facts_are_refused(said: dict[str, object]) -> None:
    """A file without content or name, or with negative figures, cannot be made."""
    with pytest.raises(WrongUse):
        facts(**said)
