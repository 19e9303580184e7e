"""What a camera wrote about a picture: read from memory, never from a path.

exiv2 reads; a file it refuses gives what its standard tags still say. No sample of ARW or ORF
has been read. Tags: EXIF 2.32 (CIPA DC-008); makers' tags by the names exiv2 gives them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import exiv2

from setpiece.errors import BadFile
from setpiece.match.instants import CameraTime
from setpiece.pictures import doubts, readings
from setpiece.pictures.blocks import salvaged_values, stored_thumbnail
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.pictures.library import opened
from setpiece.pictures.previews import decodes_whole, previews_inside
from setpiece.pictures.segments import read_header


@dataclass(frozen=True, slots=True)
class CameraMetadata:
    """What the camera wrote; empty, 0 or None where it was silent.

    `serial` names the body, by the maker's internal number where it has no other. `file_number`
    is the camera's own, 0 to 9999, as in the file's name, without the folder's number.
    `exposure_s` in seconds; `focal_length_35mm` in mm as if on 24 x 36; `orientation` 1 to 8 as
    EXIF numbers them; `width_px`, `height_px` of the picture as stored, before orientation (of a
    raw file the sensor's, where it says no other). `rating` -1 (rejected) to 5. `monochrome`,
    `small_size`, `crop_mode` are doubts for the photographer, true only where a tag says so.
    """

    make: str = ""
    model: str = ""
    serial: str = ""
    lens: str = ""
    lens_serial: str = ""
    camera_time: CameraTime | None = None
    file_number: int | None = None
    focal_length_mm: float | None = None
    focal_length_35mm: float | None = None
    f_number: float | None = None
    exposure_s: float | None = None
    iso: int | None = None
    orientation: int = 1
    width_px: int = 0
    height_px: int = 0
    rating: int | None = None
    colour_space: str = ""
    monochrome: bool = False
    small_size: bool = False
    crop_mode: bool = False


_PRINTED = frozenset(("Exif.CanonFi.FileNumber", "Exif.CanonCs.Lens", "Exif.Nikon3.Lens"))
_LONGEST_VALUE_BYTES = 1024  # makers keep whole tables in a tag
_SIZE_KEYS = ("Exif.Photo.PixelXDimension", "Exif.Photo.PixelYDimension")
_PANASONIC_BORDERS = ("SensorLeftBorder", "ImageWidth", "SensorTopBorder", "ImageHeight")


def read_metadata(data: bytes) -> CameraMetadata:
    """What the camera wrote into a file of any kind. Raises BadFile when nothing can be read."""
    kind = kind_of(data[:HEAD_BYTES])
    try:
        with opened(data) as image:
            values, lens_by_table = _values(image)
            size_px = (image.pixelWidth(), image.pixelHeight())
    except BadFile:
        values, lens_by_table, size_px = salvaged_values(data), "", (0, 0)
        if not values and kind is not PictureKind.JPEG:
            raise
    found = _from_values(values, lens_by_table, _size(data, kind, values, size_px))
    if found == CameraMetadata():
        raise BadFile("nothing a camera wrote can be read in it", next_step="Keep the file.")
    return found


def _values(image: Any) -> tuple[dict[str, str], str]:
    """The tags of an open file as text, and the lens by exiv2's own table."""
    exif = image.exifData()
    values: dict[str, str] = {}
    for datum in exif:
        key = datum.key()
        if datum.size() <= _LONGEST_VALUE_BYTES:
            values[key] = datum.print(exif) if key in _PRINTED else datum.toString()
    for datum in image.xmpData():
        values[datum.key()] = datum.toString()
    lens = exiv2.lensName(exif)
    return values, "" if lens is None else lens.print(exif)


def _from_values(
    values: readings.Values, lens_by_table: str, size_px: tuple[int, int]
) -> CameraMetadata:
    """The metadata that tags say, by exiv2's keys."""
    orientation = readings.whole(values.get("Exif.Image.Orientation", ""))
    rating = readings.whole(values.get("Xmp.xmp.Rating", values.get("Exif.Image.Rating", "")))
    return CameraMetadata(
        make=values.get("Exif.Image.Make", "").strip(" \0"),
        model=values.get("Exif.Image.Model", "").strip(" \0"),
        serial=readings.serial(values),
        lens=readings.lens(values, lens_by_table),
        lens_serial=readings.bare_serial(values.get("Exif.Photo.LensSerialNumber", "")),
        camera_time=readings.camera_time(values),
        file_number=readings.file_number(values),
        focal_length_mm=readings.number(values.get("Exif.Photo.FocalLength", "")),
        focal_length_35mm=readings.number(values.get("Exif.Photo.FocalLengthIn35mmFilm", "")),
        f_number=readings.number(values.get("Exif.Photo.FNumber", "")),
        exposure_s=readings.number(values.get("Exif.Photo.ExposureTime", "")),
        iso=readings.iso(values),
        orientation=orientation if orientation and 1 <= orientation <= 8 else 1,
        width_px=size_px[0],
        height_px=size_px[1],
        rating=rating if rating is not None and -1 <= rating <= 5 else None,
        colour_space=readings.colour_space(values),
        monochrome=doubts.monochrome(values),
        small_size=doubts.small_size(values),
        crop_mode=doubts.crop_mode(values),
    )


def _size(
    data: bytes, kind: PictureKind, values: readings.Values, said: tuple[int, int]
) -> tuple[int, int]:
    """The picture's size as stored: a JPEG's own header, else what the tags say."""
    if kind is PictureKind.JPEG:
        frame = read_header(data).frame
        return (frame.width_px, frame.height_px) if frame else (0, 0)
    width, height = (readings.whole(values.get(key, "")) for key in _SIZE_KEYS)
    if width and height and kind is not PictureKind.RAF:  # there it is the preview's
        return width, height
    borders = [readings.whole(values.get(f"Exif.PanasonicRaw.{b}", "")) for b in _PANASONIC_BORDERS]
    left, right, top, bottom = (border or 0 for border in borders)
    if right > left and bottom > top:
        return right - left, bottom - top
    return said


def exif_thumbnail(data: bytes) -> bytes | None:
    """The small JPEG a camera keeps beside its tags, None where there is none that decodes."""
    found = stored_thumbnail(data)
    return found if found and decodes_whole(found) else None


def embedded_preview(data: bytes) -> bytes | None:
    """The largest JPEG inside a raw file that decodes whole, None where there is none."""
    if not kind_of(data[:HEAD_BYTES]).is_raw:
        return None
    return next((found for found in previews_inside(data) if decodes_whole(found)), None)
