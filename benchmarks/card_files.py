"""Cards for the benchmarks: pictures of 20 megapixels and 8 MB, drawn once, each with a time,
a number and a body of its own."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import cv2
import numpy as np
import simplejpeg

from setpiece.work.demo.exif import thumbnail, with_exif

WIDTH_PX, HEIGHT_PX = 5472, 3648
WANTED_BYTES = 8_000_000
FIRST = datetime(2027, 3, 6, 15, 0, 0)  # noqa: DTZ001 (a camera's reading has no zone)
HEAD_BYTES = 200_000

_SCALES = ((512, 60), (128, 40), (32, 25), (8, 14), (3, 8))  # px of a spot, its contrast


def draw(width_px: int = WIDTH_PX, height_px: int = HEIGHT_PX) -> np.ndarray:
    """A picture with detail at every scale and a sensor's noise."""
    rng = np.random.default_rng(2027)
    picture = np.full((height_px, width_px, 3), 110, np.float32)
    for spot_px, contrast in _SCALES:
        shape = (height_px // spot_px + 2, width_px // spot_px + 2, 3)
        spots = rng.standard_normal(shape, dtype=np.float32)
        size = (width_px, height_px)
        picture += contrast * cv2.resize(spots, size, interpolation=cv2.INTER_CUBIC)
    picture += 3.5 * rng.standard_normal(picture.shape, dtype=np.float32)
    return np.clip(picture, 0, 255).astype(np.uint8)


def encode(picture: np.ndarray, wanted_bytes: int = WANTED_BYTES) -> bytes:
    """A JPEG with 4:2:2 colour, as cameras write it, of about so many bytes."""
    for quality in range(70, 100):
        jpeg = bytes(simplejpeg.encode_jpeg(picture, quality=quality, colorsubsampling="422"))
        if len(jpeg) >= wanted_bytes:
            break
    return jpeg


class Drawn:
    """The one picture that every file of a benchmark is made from."""

    def __init__(self, width_px: int = WIDTH_PX, height_px: int = HEIGHT_PX,
                 wanted_bytes: int = WANTED_BYTES) -> None:  # fmt: skip
        picture = draw(width_px, height_px)
        self.jpeg = encode(picture, wanted_bytes)
        self.small = thumbnail(picture)

    def frame(self, number: int) -> bytes:
        """The file of that exposure: ten a second, 9,999 to a body."""
        at = FIRST + timedelta(seconds=number / 10)
        body, count = divmod(number, 9999)
        tags = {
            "Exif.Image.Make": "Ostrell",
            "Exif.Image.Model": "Ostrell P1",
            "Exif.Photo.DateTimeOriginal": f"{at:%Y:%m:%d %H:%M:%S}",
            "Exif.Photo.SubSecTimeOriginal": f"{at.microsecond // 10_000:02d}",
            "Exif.Photo.OffsetTimeOriginal": "+01:00",
            "Exif.Photo.BodySerialNumber": f"70012{body:02d}",
            "Exif.Photo.ExposureTime": "1/1600",
            "Exif.Photo.FNumber": "28/10",
            "Exif.Photo.ISOSpeedRatings": "800",
            "Exif.Photo.FocalLength": "400/1",
            "Exif.Photo.LensModel": "400 mm f/2.8",
            "Exif.Image.Orientation": "1" if count % 5 else "8",
        }
        return with_exif(self.jpeg, tags, self.small)

    def card(self, folder: Path, frames: int) -> Path:
        """A card of whole files."""
        for path, number in _names(folder, frames):
            path.write_bytes(self.frame(number))
        _settle()
        return folder

    def hollow_card(self, folder: Path, frames: int) -> Path:
        """A card whose files have their beginning and their length; the rest was never written."""
        whole, self.jpeg = self.jpeg, self.jpeg[:HEAD_BYTES] + b"\xff\xd9"
        try:
            for path, number in _names(folder, frames):
                path.write_bytes(self.frame(number))
                os.truncate(path, len(whole))
        finally:
            self.jpeg = whole
        _settle()
        return folder


def _names(folder: Path, frames: int) -> Iterator[tuple[Path, int]]:
    for number in range(1, frames + 1):
        inside, count = divmod(number - 1, 999)
        place = folder / "DCIM" / f"{100 + inside}OSTR"
        if not count:
            place.mkdir(parents=True, exist_ok=True)
        yield place / f"OSP_{(number - 1) % 9999 + 1:04d}.JPG", number


def _settle() -> None:
    """What was written is on the disk, so that writing it is not counted with what is measured."""
    if hasattr(os, "sync"):
        os.sync()
