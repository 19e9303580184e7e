"""What a camera wrote about a picture: read from memory, never from a path."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.match.instants import CameraTime


@dataclass(frozen=True, slots=True)
class CameraMetadata:
    """What the camera wrote; empty, 0 or None where it was silent.

    `exposure_s` in seconds; `focal_length_35mm` in mm as if on 24 x 36; `orientation` 1 to 8 as
    EXIF numbers them; `width_px`, `height_px` of the picture as stored, before orientation.
    `rating` 0 to 5 (-1 rejected). `monochrome`, `small_size`, `crop_mode` are doubts for the
    photographer: true only where a tag says so.
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


def read_metadata(data: bytes) -> CameraMetadata:
    """What the camera wrote into a file of any kind. Raises BadFile when nothing can be read."""
    raise NotImplementedError


def exif_thumbnail(data: bytes) -> bytes | None:
    """The small JPEG a camera keeps in its EXIF, None where there is none that decodes."""
    raise NotImplementedError


def embedded_preview(data: bytes) -> bytes | None:
    """The largest JPEG inside a raw file that decodes whole, None where there is none."""
    raise NotImplementedError
