"""What a desk really gets, read by ExifTool: the caption that was checked, and nothing else."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from desk_match import at, folder_desk, noise, own_style, shoot
from frame_maker import with_tags

from setpiece.captions.translit import in_ascii
from setpiece.match.instants import Instant
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.desks import desk_named
from setpiece.work.desk.preparing import Preparing
from setpiece.work.desk.queueing import queue_set
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday

SECRET = {
    "Exif.Photo.BodySerialNumber": "SN-7001233",
    "Exif.Photo.LensSerialNumber": "LN-4455667",
    "Exif.Image.Artist": "SOMEBODY-ELSE",
    "Exif.Image.ImageDescription": "CAMERA-DEFAULT",
    "Exif.Photo.UserComment": "charset=Ascii PRIVATE-NOTE",
    "Exif.GPSInfo.GPSLatitude": "47/1 12/1 36/1",
    "Exif.GPSInfo.GPSLatitudeRef": "N",
    "Exif.Image.Software": "FIRMWARE-9.9",
}
"""What a camera wrote that is no desk's business."""

SHOWN = {
    "Exif.Image.Make": "Alder",
    "Exif.Image.Model": "One",
    "Exif.Photo.FNumber": "28/10",
    "Exif.Photo.ExposureTime": "1/2000",
    "Exif.Photo.ISOSpeedRatings": "1600",
    "Exif.Photo.FocalLength": "400/1",
}

ALLOWED = {
    "Make", "Model", "ExposureTime", "FNumber", "ISO", "DateTimeOriginal", "OffsetTimeOriginal",
    "SubSecTimeOriginal", "FocalLength", "FocalLengthIn35mmFormat", "LensModel",
    "XResolution", "YResolution", "ResolutionUnit", "YCbCrPositioning", "ExifVersion",
    "ComponentsConfiguration", "FlashpixVersion", "ColorSpace",
}  # fmt: skip
"""EXIF that may be in a rendition: make, model, lens, exposure, date; and what describes the file
itself."""

HANNA, SIGNE = "Hanna Kolbrand", "Signe Ørbeck"


@pytest.fixture
def arrived(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> tuple[Path, Preparing, str]:
    """The delivered file of a frame full of metadata, and the caption that was checked."""
    desk = folder_desk(space, tmp_path, "City", now, style="gazette")
    data = with_tags(noise(1, (900, 600)), {**SECRET, **SHOWN}, small=True)
    frame = shoot(space, played, 1, at(2, "28:45"), size=(900, 600), data=data)
    write_caption(space, played, frame, "9r celebrates with 11r right", Unattended(now))
    prepared = Preparing(Matchday(space, played), now)
    queue_set(space, played, ["City"], Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (file,) = desk.iterdir()
    return file, prepared, frame


def exiftool(need_tool: Callable[[str], str], file: Path) -> dict[str, Any]:
    """Everything ExifTool finds in a file, by group and name."""
    command = [need_tool("exiftool"), "-j", "-G0:1", "-struct", "-charset", "iptc=UTF8", str(file)]
    ran = subprocess.run(command, capture_output=True, check=True, timeout=60)
    found: dict[str, Any] = json.loads(ran.stdout)[0]
    return found


def test_exiftool_reads_the_caption_that_was_checked(
    arrived: tuple[Path, Preparing, str], need_tool: Callable[[str], str], space: Workspace
) -> None:
    """Headline, description, people, place, credit and date stand in the file as checked.

    The desk's style asks for IIM in ASCII; XMP keeps every letter.
    """
    file, prepared, frame_id = arrived
    frame = prepared.day.frames[frame_id]
    fields = prepared.of(frame, desk_named(space, "City")).caption.fields
    found = exiftool(need_tool, file)
    both = {
        ("Headline", "Headline"): fields.headline,
        ("Description", "Caption-Abstract"): fields.description,
        ("City", "City"): fields.city,
        ("Country", "Country-PrimaryLocationName"): fields.country,
        ("Credit", "Credit"): fields.credit,
        ("Rights", "CopyrightNotice"): fields.copyright_notice,
    }
    for (xmp, iim), wanted in both.items():
        assert wanted
        assert _xmp(found, xmp) == wanted
        assert found[f"IPTC:{iim}"] == in_ascii(wanted)  # its style asks for that
    assert _xmp(found, "PersonInImage") == [SIGNE, HANNA]
    assert not fields.description.isascii()
    assert found["IPTC:CodedCharacterSet"] == "UTF8"
    date = _xmp(found, "DateCreated")
    assert fields.date_created is not None
    assert date.startswith(f"{fields.date_created:%Y:%m:%d %H:%M:%S}")


def _xmp(found: dict[str, Any], name: str) -> Any:
    return next(v for k, v in found.items() if k.startswith("XMP") and k.endswith(f":{name}"))


def test_nothing_of_the_original_gets_through_but_the_allowed_list(
    arrived: tuple[Path, Preparing, str], need_tool: Callable[[str], str]
) -> None:
    """Make, model and exposure are there; serial numbers, place, notes and thumbnail are not."""
    file, _, _ = arrived
    found = exiftool(need_tool, file)
    exif = {k.rpartition(":")[2] for k in found if k.startswith("EXIF")}
    assert exif <= ALLOWED, exif - ALLOWED
    assert found["EXIF:IFD0:Model"] == "One"
    assert {"Make", "FNumber", "ExposureTime", "ISO", "FocalLength"} <= exif
    raw = file.read_bytes()
    for words in ("SN-7001233", "LN-4455667", "SOMEBODY-ELSE", "CAMERA-DEFAULT", "PRIVATE", "9.9"):
        assert words.encode() not in raw
    assert not [k for k in found if "GPS" in k or "Thumbnail" in k]


def test_serial_numbers_and_place_go_out_only_if_the_style_says_so(
    space: Workspace,
    played: Match,
    tmp_path: Path,
    now: Instant,
    need_tool: Callable[[str], str],
) -> None:
    """With `keep` ExifTool finds the body's and the lens's number and the place; no note."""
    name = own_style(space, "keeping")
    file = space.folder / "styles" / f"{name}.toml"
    text = file.read_text("utf-8")
    file.write_text(text.replace("[file]\n", '[file]\nkeep = ["serial", "gps"]\n'), "utf-8")
    desk = folder_desk(space, tmp_path, "City", now, style=name)
    data = with_tags(noise(1, (900, 600)), {**SECRET, **SHOWN}, small=True)
    frame = shoot(space, played, 1, at(2, "28:45"), size=(900, 600), data=data)
    write_caption(space, played, frame, "9r celebrates with 11r right", Unattended(now))
    queue_set(space, played, ["City"], Unattended(now))
    assert send_waiting(space, played, Unattended(now)).delivered == 1
    (sent,) = desk.iterdir()
    found = exiftool(need_tool, sent)
    kept = {key.rpartition(":")[2]: value for key, value in found.items()}
    assert (kept["SerialNumber"], kept["LensSerialNumber"]) == ("SN-7001233", "LN-4455667")
    assert kept["GPSLatitudeRef"] == "North"
    assert b"PRIVATE" not in sent.read_bytes()
