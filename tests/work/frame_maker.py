"""Small pictures with what a camera writes into them, and cards that hold them."""

from __future__ import annotations

import os
from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import lru_cache
from pathlib import Path

import exiv2
import numpy as np
import simplejpeg

from setpiece.pictures.library import exiv2_alone

FIRST = datetime(2027, 3, 6, 15, 0, 0)
MODEL, SERIAL = "Ostrell P1", "7001233"


@lru_cache(maxsize=256)
def jpeg(seed: int, width: int = 120, height: int = 90) -> bytes:
    """A JPEG of noise, different for each seed."""
    pixels = np.random.default_rng(seed).integers(0, 255, (height, width, 3), dtype=np.uint8)
    return bytes(simplejpeg.encode_jpeg(pixels, quality=80))


@lru_cache(maxsize=1)
def thumbnail() -> bytes:
    """The small picture a camera writes: 160 x 120."""
    return jpeg(0, 160, 120)


def frame(
    number: int,
    *,
    after_s: float = 0.0,
    seed: int | None = None,
    serial: str = SERIAL,
    size: tuple[int, int] = (120, 90),
    small: bool = True,
    tags: Mapping[str, str] | None = None,
) -> bytes:
    """The file of an exposure `after_s` after 15:00:00 on the camera's clock, in UTC+1."""
    values = {**body_tags(after_s, serial), **(tags or {})}
    return with_tags(jpeg(number if seed is None else seed, *size), values, small)


def body_tags(after_s: float, serial: str = SERIAL) -> dict[str, str]:
    """What a body writes `after_s` after 15:00:00 on its own clock."""
    at = FIRST + timedelta(seconds=after_s)
    return {
        "Exif.Image.Make": "Ostrell",
        "Exif.Image.Model": MODEL,
        "Exif.Photo.DateTimeOriginal": f"{at:%Y:%m:%d %H:%M:%S}",
        "Exif.Photo.SubSecTimeOriginal": f"{round(at.microsecond / 10_000) % 100:02d}",
        "Exif.Photo.OffsetTimeOriginal": "+01:00",
        "Exif.Photo.BodySerialNumber": serial,
    }


def with_tags(picture: bytes, tags: Mapping[str, str], small: bool) -> bytes:
    """The JPEG with these EXIF tags, and a thumbnail where wanted."""
    with exiv2_alone():
        image = exiv2.ImageFactory.open(picture)
        data = exiv2.ExifData()
        for key, value in tags.items():
            data[key] = value
        if small:
            exiv2.ExifThumb(data).setJpegThumbnail(thumbnail())
        image.setExifData(data)
        image.writeMetadata()
        return bytes(image.io().data())


def put(
    card: Path, name: str, data: bytes, *, after_s: float = 0.0, protected: bool = False
) -> Path:
    """A file on a card, dated to FAT's two seconds."""
    path = card / "DCIM" / "100OSTR" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    modified_s = (FIRST + timedelta(seconds=after_s)).timestamp() // 2 * 2
    os.utime(path, (modified_s, modified_s))
    if protected:
        path.chmod(0o444)
    return path


def put_frame(card: Path, number: int, *, protected: bool = False, **made: object) -> Path:
    """A frame on a card, named as its camera names it."""
    after_s = float(made.get("after_s", 0.0))  # type: ignore[arg-type]
    data = frame(number, **made)  # type: ignore[arg-type]
    return put(card, f"OSP_{number:04d}.JPG", data, after_s=after_s, protected=protected)
