"""What the demo's cameras write into a picture: EXIF 2.32 tags and a thumbnail."""

from __future__ import annotations

from fractions import Fraction

import cv2
import exiv2
import numpy as np
import simplejpeg
from numpy.typing import NDArray

from setpiece.pictures.library import exiv2_alone
from setpiece.work.demo.exposures import Exposure, take_of

THUMBNAIL_PX = (160, 120)


def tags_of(exposure: Exposure, width_px: int, height_px: int, orientation: int) -> dict[str, str]:
    """The tags of an exposure stored at that size, by exiv2's names, as texts it reads."""
    body, take = exposure.body, take_of(exposure)
    stamp, sub_seconds, zone = body.stamp(exposure.true)
    shutter = Fraction(take.shutter_s).limit_denominator(16000)
    tags = {
        "Exif.Image.Make": body.make,
        "Exif.Image.Model": body.model,
        "Exif.Image.Orientation": str(orientation),
        "Exif.Image.XResolution": "300/1",
        "Exif.Image.YResolution": "300/1",
        "Exif.Image.ResolutionUnit": "2",
        "Exif.Image.DateTime": stamp,
        "Exif.Photo.ExifVersion": "48 50 51 50",
        "Exif.Photo.ExposureTime": f"{shutter.numerator}/{shutter.denominator}",
        "Exif.Photo.FNumber": f"{round(take.aperture * 10)}/10",
        "Exif.Photo.ISOSpeedRatings": str(exposure.iso),
        "Exif.Photo.DateTimeOriginal": stamp,
        "Exif.Photo.DateTimeDigitized": stamp,
        "Exif.Photo.FocalLength": f"{take.focal_length_mm}/1",
        "Exif.Photo.FocalLengthIn35mmFilm": str(take.focal_length_mm),
        "Exif.Photo.SubjectDistance": f"{round(take.distance_m * 10)}/10",
        "Exif.Photo.ColorSpace": "1",
        "Exif.Photo.PixelXDimension": str(width_px),
        "Exif.Photo.PixelYDimension": str(height_px),
        "Exif.Photo.BodySerialNumber": body.serial,
        "Exif.Photo.LensModel": body.lens,
    }
    if sub_seconds:
        tags["Exif.Photo.SubSecTimeOriginal"] = sub_seconds
    if zone:
        tags["Exif.Photo.OffsetTimeOriginal"] = zone
    return tags


def thumbnail(picture: NDArray[np.uint8]) -> bytes:
    """A JPEG of 160 x 120 with the stored picture in it, black above and below as cameras do."""
    width, height = THUMBNAIL_PX
    scale = min(width / picture.shape[1], height / picture.shape[0])
    size = (round(picture.shape[1] * scale), round(picture.shape[0] * scale))
    # Half the pixels in each direction are enough to average over for so small a picture.
    small = cv2.resize(picture[::2, ::2], size, interpolation=cv2.INTER_AREA)
    framed = np.zeros((height, width, 3), dtype=np.uint8)
    y, x = (height - size[1]) // 2, (width - size[0]) // 2
    framed[y : y + size[1], x : x + size[0]] = small
    return bytes(simplejpeg.encode_jpeg(framed, quality=80, colorspace="RGB"))


def with_exif(jpeg: bytes, tags: dict[str, str], small: bytes) -> bytes:
    """The JPEG with its tags and its thumbnail."""
    with exiv2_alone():
        image = exiv2.ImageFactory.open(jpeg)
        data = exiv2.ExifData()
        for key, value in tags.items():
            data[key] = value
        exiv2.ExifThumb(data).setJpegThumbnail(small)
        image.setExifData(data)
        image.writeMetadata()
        return bytes(image.io().data())
