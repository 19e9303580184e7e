"""Files as cameras write them, made for one test: tags, profiles, raw files with a preview."""

from __future__ import annotations

import struct
from collections.abc import Mapping

import exiv2
import numpy as np
import simplejpeg

from setpiece.pictures.library import exiv2_alone
from setpiece.pictures.segments import APP2, ICC_NAME, Segment


def noise_jpeg(width: int, height: int, seed: int = 1, quality: int = 80) -> bytes:
    """A JPEG of grey noise, so that it has some bytes."""
    rng = np.random.default_rng(seed)
    grey = rng.integers(0, 255, (height, width, 1), dtype=np.uint8)
    return bytes(simplejpeg.encode_jpeg(grey, colorspace="GRAY", quality=quality))


def with_tags(jpeg: bytes, tags: Mapping[str, str]) -> bytes:
    """The JPEG with EXIF and XMP tags, by exiv2's keys."""
    with exiv2_alone():
        image = exiv2.ImageFactory.open(jpeg)
        image.readMetadata()
        for key, value in tags.items():
            data = image.xmpData() if key.startswith("Xmp") else image.exifData()
            data[key] = value
        image.writeMetadata()
        return bytes(image.io().data())


def with_profile(jpeg: bytes, profile: bytes, parts: int = 1) -> bytes:
    """The JPEG with an ICC profile in so many segments."""
    step = -(-len(profile) // parts)
    segments = b"".join(
        Segment(
            APP2, ICC_NAME + bytes((part + 1, parts)) + profile[part * step : (part + 1) * step]
        ).encode()
        for part in range(parts)
    )
    return jpeg[:2] + segments + jpeg[2:]


def raw_file(*previews: bytes, orientation: int = 1) -> bytes:
    """A TIFF-based raw file of a maker whose kind is told by name, with JPEGs inside."""
    make = b"SONY\0\0"
    head = b"II*\0" + struct.pack("<I", 8) + struct.pack("<H", 2)
    head += struct.pack("<HHII", 0x010F, 2, len(make), 38)
    head += struct.pack("<HHIHH", 0x0112, 3, 1, orientation, 0) + bytes(4)
    return head + make + b"".join(bytes(64) + preview for preview in previews) + bytes(64)
