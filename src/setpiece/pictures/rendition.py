"""The file made for a desk from a frame: crop, straighten, size, sRGB, bytes."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.pictures.kind import PictureKind


@dataclass(frozen=True, slots=True)
class Edit:
    """What the photographer set on a frame; the original is never touched.

    `crop` is (x, y, width, height) in shares of the upright picture, after straightening;
    `straighten_deg` turns the picture clockwise.
    """

    crop: tuple[float, float, float, float] | None = None
    straighten_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Recipe:
    """What a desk wants: long side in pixels (0 = as it is), JPEG quality, bytes at most."""

    long_side_px: int = 4000
    quality: int = 88
    max_bytes: int | None = None
    sharpen: bool = True
    profile: str = "sRGB"


def render(data: bytes, kind: PictureKind, edit: Edit, recipe: Recipe) -> bytes:
    """The rendition as a JPEG without metadata. Raises BadFile when no picture is inside."""
    raise NotImplementedError
