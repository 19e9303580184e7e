"""What is read from real camera files, and written for desks, as an independent reader sees it.

Source: ExifTool (Phil Harvey, https://exiftool.org/), the version installed, run with a time
limit (it can hang on deeply nested XML). Files: the open camera files, unchanged. Tag names of
the written fields: IPTC Photo Metadata 2025.1, technical reference, keys `etXMP` and `etIIM`.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from setpiece.captions.fields import FIELDS, PersonShown, PictureFields, Place
from setpiece.pictures.iptc import sidecar, write_fields
from setpiece.pictures.kind import HEAD_BYTES, kind_of
from setpiece.pictures.metadata import CameraMetadata, read_metadata
from setpiece.pictures.rendition import Edit, Recipe, render

sys.path.append(str(Path(__file__).parent.parent / "pictures"))

from sample_fields import FULL, LONG

pytestmark = pytest.mark.published

FILES = (
    "Apple_iPhone_6.jpg",
    "Canon-R6-pruned.CR3",
    "Canon.HIF",
    "CanonRaw.cr2",
    "CanonRaw.cr3",
    "Canon_EOS_20D__1_.jpg",
    "Canon_EOS_5D.jpg",
    "DNG.dng",
    "FujiFilm.raf",
    "FujiFilm_FinePixS5500.jpg",
    "Issue_247-1.nef",
    "Issue_247-2.nef",
    "Leica_T__Typ_701_.jpg",
    "Multiple_ICC_segments.jpg",
    "Nikon.nef",
    "Nikon_D70.jpg",
    "Nikon_D90.jpg",
    "Nikon_E995__iptc_.jpg",
    "Panasonic.rw2",
    "Sony.HIF",
    "Sony_DSC-H9.jpg",
    "User_Comment_Encoding.jpg",
    "edited_1.jpg",
)
WITHOUT_PICTURE = {  # cut out of these, but for the last, which ends early
    "CanonRaw.cr2",
    "CanonRaw.cr3",
    "DNG.dng",
    "FujiFilm.raf",
    "Nikon.nef",
    "Panasonic.rw2",
    "User_Comment_Encoding.jpg",
}
ENCRYPTED_SERIAL = {"Sony.HIF"}  # ExifTool deciphers a maker's internal number
NUMBER_IN_PRIVATE_DATA = {"DNG.dng"}  # the maker's tags that a converter packed away
OTHER_SIZE_IN_EXIF = {"FujiFilm.raf", "Panasonic.rw2"}  # that of the preview beside the raw data
COLOUR_IN_PREVIEW = {"Panasonic.rw2"}  # said in the preview's own EXIF only
TIME_LIMIT_S = 120

Run = Callable[..., list[dict[str, Any]]]


@pytest.fixture(scope="module")
def exiftool(need_tool: Callable[[str], str]) -> Run:
    """Runs ExifTool and gives what it says of each file."""
    tool = need_tool("exiftool")

    def run(*arguments: str) -> list[dict[str, Any]]:
        said = subprocess.run(
            [tool, "-j", "-charset", "filename=utf8", *arguments],
            capture_output=True,
            timeout=TIME_LIMIT_S,
            check=False,
        )
        found: list[dict[str, Any]] = json.loads(said.stdout.decode())
        return found

    return run


@pytest.fixture(scope="module")
def folder(open_data: Path) -> Path:
    """The folder of real camera files."""
    place = open_data / "camera-files"
    if not place.is_dir():
        pytest.skip(f"no camera files at {place}")
    return place


@pytest.fixture(scope="module")
def said(exiftool: Run, folder: Path) -> dict[str, dict[str, Any]]:
    """What ExifTool reads in each file; numbers as numbers, lens names as words."""
    tags = "EXIF:DateTimeOriginal EXIF:SubSecTimeOriginal EXIF:OffsetTimeOriginal Make Model"
    tags += " SerialNumber# InternalSerialNumber# EXIF:LensModel LensID EXIF:LensSerialNumber"
    tags += " EXIF:ExposureTime# EXIF:FNumber# EXIF:FocalLength# EXIF:FocalLengthIn35mmFormat#"
    tags += " EXIF:ISO# ISO# IFD0:Orientation# File:ImageWidth# File:ImageHeight# XMP-xmp:Rating#"
    tags += " FileNumber# EXIF:ExifImageWidth# EXIF:ExifImageHeight# EXIF:ColorSpace#"
    tags += " Composite:ImageSize#"
    paths = [str(folder / name) for name in FILES]
    answers = exiftool(*(f"-{tag}" for tag in tags.split()), *paths)
    return {Path(answer["SourceFile"]).name: answer for answer in answers}


@pytest.fixture(scope="module")
def read(folder: Path) -> dict[str, CameraMetadata]:
    """What we read in each file."""
    return {name: read_metadata((folder / name).read_bytes()) for name in FILES}


def test_no_file_is_left_out(folder: Path) -> None:
    """Every file of the folder but its description is compared."""
    assert {p.name for p in folder.iterdir()} == {*FILES, "README.md"}


@pytest.mark.parametrize("name", FILES)
def test_times_agree(
    said: dict[str, dict[str, Any]], read: dict[str, CameraMetadata], name: str
) -> None:
    """Date, time, every digit of the sub-seconds and the zone are the same, or both silent."""
    theirs, ours = said[name], read[name].camera_time
    if "DateTimeOriginal" not in theirs:
        assert ours is None
        return
    assert ours is not None
    taken = datetime.strptime(theirs["DateTimeOriginal"], "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
    digits = str(theirs.get("SubSecTimeOriginal", ""))
    assert ours.reading == taken.replace(microsecond=int(f"{digits:0<6}"[:6]))
    assert ours.resolution_s == pytest.approx(10.0 ** -len(digits))
    zone = re.fullmatch(r"([+-])(\d\d):(\d\d)", str(theirs.get("OffsetTimeOriginal", "")))
    minutes = (int(zone[2]) * 60 + int(zone[3])) * int(f"{zone[1]}1") if zone else None
    assert ours.zone_offset_min == minutes


@pytest.mark.parametrize("name", FILES)
def test_cameras_agree(
    said: dict[str, dict[str, Any]], read: dict[str, CameraMetadata], name: str
) -> None:
    """Maker, model and the body's serial number are the same, but for a maker's padding."""
    theirs, ours = said[name], read[name]
    assert ours.make == str(theirs.get("Make", "")).strip()
    assert ours.model == str(theirs.get("Model", "")).strip()
    serial = str(theirs.get("SerialNumber", "")).removeprefix("NO=").strip()
    serial = serial if serial.strip("0") else str(theirs.get("InternalSerialNumber", ""))
    if name in ENCRYPTED_SERIAL or not serial.strip("0"):
        assert ours.serial == ""
    else:
        assert ours.serial.lstrip("0") == serial.lstrip("0").rstrip("^")


@pytest.mark.parametrize("name", FILES)
def test_lenses_agree(
    said: dict[str, dict[str, Any]], read: dict[str, CameraMetadata], name: str
) -> None:
    """The lens's own name is the same; one from the makers' tables names the same lens; where
    only focal lengths are known they are the same."""
    theirs, ours = said[name], read[name]
    if own := theirs.get("LensModel"):
        assert ours.lens == str(own)
        assert ours.lens_serial.strip("0") == str(theirs.get("LensSerialNumber", "")).strip("0")
        return
    table = str(theirs.get("LensID", ""))
    if table.startswith("Unknown") or not table:
        assert ours.lens in ("", _focal_lengths(table))
        assert bool(ours.lens) == bool(_focal_lengths(table))
    else:
        assert ours.lens.removeprefix("Nikon ") == table


def _focal_lengths(text: str) -> str:
    """`18-55 mm` from ExifTool's `Unknown 18-55mm`."""
    found = re.search(r"(\d+-\d+)mm", text)
    return f"{found[1]} mm" if found else ""


@pytest.mark.parametrize("name", FILES)
def test_exposures_agree(
    said: dict[str, dict[str, Any]], read: dict[str, CameraMetadata], name: str
) -> None:
    """Exposure time, aperture, speed and focal lengths are the same to ExifTool's ten digits."""
    theirs, ours = said[name], read[name]
    pairs = (
        (ours.exposure_s, theirs.get("ExposureTime")),
        (ours.f_number, theirs.get("FNumber")),
        (ours.focal_length_mm, theirs.get("FocalLength")),
        (ours.focal_length_35mm, theirs.get("FocalLengthIn35mmFormat")),
    )
    ten_digits = 1e-9
    for mine, their in pairs:
        assert mine == (None if their is None else pytest.approx(their, rel=ten_digits))
    speed = theirs.get("ISO")
    assert ours.iso == (int(str(speed).split()[-1]) if speed not in (None, "0 0") else None)


@pytest.mark.parametrize("name", FILES)
def test_pictures_agree(
    said: dict[str, dict[str, Any]], read: dict[str, CameraMetadata], name: str
) -> None:
    """Orientation, rating, file number, and the size of JPEG and HEIF pictures are the same; raw
    files agree with the size that EXIF states for the picture, where it states one."""
    theirs, ours = said[name], read[name]
    assert ours.orientation == theirs.get("Orientation", 1)
    assert ours.rating == theirs.get("Rating")
    number = None if name in NUMBER_IN_PRIVATE_DATA else theirs.get("FileNumber")
    assert ours.file_number == (None if number is None else int(number) % 10_000)
    size = (ours.width_px, ours.height_px)
    if not _is_raw(name):
        assert size == (theirs["ImageWidth"], theirs["ImageHeight"])
    elif "ExifImageWidth" in theirs and name not in OTHER_SIZE_IN_EXIF:
        assert size == (theirs["ExifImageWidth"], theirs["ExifImageHeight"])
    if name == "Panasonic.rw2":
        assert theirs["ImageSize"] == "{} {}".format(*size)
    space = {1: "sRGB", 65535: "uncalibrated", None: ""}[theirs.get("ColorSpace")]
    assert ours.colour_space == ("" if name in COLOUR_IN_PREVIEW else space)


def _is_raw(name: str) -> bool:
    return name.lower().endswith(("cr2", "cr3", "dng", "raf", "rw2")) or name == "Nikon.nef"


@pytest.fixture(scope="module")
def standard(open_data: Path) -> dict[str, Any]:
    """The standard's own table of properties."""
    path = open_data / "iptc" / "iptc-pmd-techreference_2025.1.json"
    if not path.is_file():
        pytest.skip(f"the standard's file is not at {path}")
    found: dict[str, Any] = json.loads(path.read_text("utf-8"))["ipmd_top"]
    return found


def written_as(value: Any) -> Any:
    """A field's value as ExifTool prints it."""
    if isinstance(value, datetime):
        fraction = f".{value.microsecond:06d}".rstrip("0") if value.microsecond else ""
        return f"{value:%Y:%m:%d %H:%M:%S}{fraction}{value.isoformat()[-6:]}"
    if isinstance(value, Place):
        parts = {
            "Sublocation": value.sublocation,
            "City": value.city,
            "ProvinceState": value.state,
            "CountryName": value.country,
            "CountryCode": value.country_code,
        }
        return [{key: text for key, text in parts.items() if text}]
    if isinstance(value, tuple):
        return list(value)
    return value


def persons_as(persons: tuple[PersonShown, ...], details: bool) -> list[Any]:
    """Persons as ExifTool prints them, by name or with their details."""
    if not details:
        return [person.name for person in persons]
    return [
        {"PersonName": person.name}
        | ({"PersonDescription": person.description} if person.description else {})
        for person in persons
    ]


def wanted_xmp(fields: PictureFields, standard: dict[str, Any]) -> dict[str, Any]:
    """Every XMP property that should be read, by ExifTool's name for it in the standard."""
    wanted: dict[str, Any] = {}
    for spec in FIELDS:
        value = getattr(fields, spec.name)
        if spec.ipmd and value not in ("", (), None):
            persons = spec.name == "persons"
            details = spec.ipmd == "personsShown"
            shown = persons_as(value, details) if persons else written_as(value)
            wanted[standard[spec.ipmd]["etXMP"]] = shown
    return wanted


def as_lists(found: dict[str, Any], wanted: dict[str, Any]) -> dict[str, Any]:
    """What was found under the wanted names; one item is a list where a list is wanted."""
    same: dict[str, Any] = {}
    for key, value in wanted.items():
        got = found.get(key)
        same[key] = [got] if isinstance(value, list) and not isinstance(got, list) else got
    return same


HOSTS = ("Nikon_D70.jpg", "Canon_EOS_5D.jpg", "edited_1.jpg", "Multiple_ICC_segments.jpg")


@pytest.mark.parametrize("name", HOSTS)
def test_written_fields_are_read_exactly(
    exiftool: Run, folder: Path, standard: dict[str, Any], tmp_path: Path, name: str
) -> None:
    """Every field, in XMP under the standard's names and in IIM, is what was written: accents,
    particles, structures, lists; no other XMP or IIM stands in the file, and nothing is wrong."""
    path = tmp_path / "captioned.jpg"
    path.write_bytes(write_fields((folder / name).read_bytes(), FULL))
    found = exiftool("-G1", "-struct", "-a", "-XMP:all", "-IPTC:all", str(path))[0]
    wanted = wanted_xmp(FULL, standard)
    assert as_lists(found, wanted) == wanted
    iim = {
        "IPTC:CodedCharacterSet": "UTF8",
        "IPTC:ApplicationRecordVersion": 4,
        "IPTC:EditStatus": "CORRECTION",
        "IPTC:DateCreated": "2027:03:06",
        "IPTC:TimeCreated": "16:19:05+01:00",
    }
    for spec in FIELDS:
        if spec.ipmd and spec.iim and spec.name != "date_created":
            iim[standard[spec.ipmd]["etIIM"]] = written_as(getattr(FULL, spec.name))
    assert as_lists(found, iim) == iim
    others = found.keys() - wanted.keys() - iim.keys() - {"SourceFile", "XMP-x:XMPToolkit"}
    assert others == set()


def test_the_file_is_well_formed(exiftool: Run, folder: Path, tmp_path: Path) -> None:
    """ExifTool's own validation finds no error, and warns of nothing but EXIF tags left out."""
    path = tmp_path / "captioned.jpg"
    path.write_bytes(write_fields((folder / "Nikon_D70.jpg").read_bytes(), FULL))
    found = exiftool("-validate", "-warning", "-error", "-a", "-G4", str(path))[0]
    warnings = [str(text) for key, text in found.items() if key.endswith(("Warning", "Error"))]
    assert [text for text in warnings if not text.startswith("Missing required JPEG")] == []


def test_over_long_values_keep_to_their_bytes(
    exiftool: Run, folder: Path, standard: dict[str, Any], tmp_path: Path
) -> None:
    """IIM values end at a word within their limit in bytes (IPTC 2025.1, IIMmaxbytes), however
    the accents fall, and XMP holds the whole text."""
    path = tmp_path / "long.jpg"
    text = (LONG * 50).strip()
    fields = PictureFields(headline=text, description=text, city=text, creator=(text,), credit=text)
    path.write_bytes(write_fields((folder / "edited_1.jpg").read_bytes(), fields))
    found = exiftool("-G1", "-a", "-XMP:all", "-IPTC:all", str(path))[0]
    for spec in FIELDS:
        if spec.name in ("headline", "description", "city", "creator", "credit"):
            row = standard[spec.ipmd]
            short = found[row["etIIM"]]
            assert len(short.encode()) <= row["IIMmaxbytes"]
            assert text.startswith(short + " ")
            assert found[row["etXMP"]] == text


def test_a_sidecar_is_read_exactly(exiftool: Run, standard: dict[str, Any], tmp_path: Path) -> None:
    """The packet beside a raw file holds every field but the edit status, which XMP has not."""
    path = tmp_path / "frame.xmp"
    path.write_bytes(sidecar(FULL))
    found = exiftool("-G1", "-struct", "-a", "-XMP:all", str(path))[0]
    wanted = wanted_xmp(FULL, standard)
    assert as_lists(found, wanted) == wanted


@pytest.fixture(scope="module")
def renditions(
    exiftool: Run, folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, dict[str, Any]]:
    """What ExifTool reads in a captioned rendition of every file with a picture."""
    place = tmp_path_factory.mktemp("renditions")
    for name in FILES:
        if name not in WITHOUT_PICTURE:
            data = (folder / name).read_bytes()
            picture = render(data, kind_of(data[:HEAD_BYTES]), Edit(), Recipe(400, 80))
            (place / name).write_bytes(write_fields(picture, FULL, original=data))
    return {Path(s["SourceFile"]).name: s for s in exiftool("-G1", "-a", "-n", str(place))}


@pytest.mark.parametrize("name", [name for name in FILES if name not in WITHOUT_PICTURE])
def test_a_rendition_of_every_picture_holds_its_caption(
    renditions: dict[str, dict[str, Any]], said: dict[str, dict[str, Any]], name: str
) -> None:
    """Wherever a picture is inside, the rendition has headline and exposure, and of the original
    no serial number, place or maker's note."""
    found, theirs = renditions[name], said[name]
    assert found["File:FileType"] == "JPEG"
    assert found["XMP-photoshop:Headline"] == found["IPTC:Headline"] == FULL.headline
    for key, tag in (("Model", "IFD0:Model"), ("FNumber", "ExifIFD:FNumber")):
        assert str(found.get(tag, "")).strip() == str(theirs.get(key, "")).strip()
    assert found.get("ExifIFD:ExposureTime") == (
        pytest.approx(theirs["ExposureTime"]) if "ExposureTime" in theirs else None
    )
    allowed = {"ExifTool", "System", "File", "JFIF", "IFD0", "ExifIFD", "Composite", "IPTC"}
    groups = {key.split(":")[0] for key in found if ":" in key}
    assert {g for g in groups if not g.startswith(("XMP-", "ICC"))} <= allowed
    assert not any(key.endswith(("SerialNumber", "MakerNote")) for key in found)
