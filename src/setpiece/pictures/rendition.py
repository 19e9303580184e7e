"""The file made for a desk from a frame: crop, straighten, size, sRGB, bytes.

Nothing here adds or removes content. The work is libvips', which is safe to call from threads;
it uses as many as the environment's VIPS_CONCURRENCY says (set it to 1 in worker processes).
Turning by a few degrees is OpenCV's (`straighten`): libvips takes twelve times as long.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyvips
import simplejpeg
from numpy.typing import NDArray

from setpiece.errors import BadFile, WrongUse
from setpiece.pictures.heif import heif_picture
from setpiece.pictures.kind import PictureKind
from setpiece.pictures.metadata import CameraMetadata, embedded_preview, read_metadata
from setpiece.pictures.previews import guard_jpeg
from setpiece.pictures.profiles import embedded_profile, is_srgb, wide_profile
from setpiece.pictures.segments import read_header
from setpiece.pictures.straighten import MOST_SPARE, SPARE, Straightened, eighths_wanted

_MOST_STRAIGHTEN_DEG = 45.0
_LEAST_QUALITY = 40
_LEAST_LONG_SIDE_PX = 160
_MOST_ENCODINGS = 5
_NEAR_ENOUGH = 0.94  # of the bytes allowed: no further search
_BYTES_PER_QUALITY = 0.045  # log of bytes for one step of quality, near 80 (measured)
_SHARPEN = pyvips.Image.new_from_array([[-1, -1, -1], [-1, 24, -1], [-1, -1, -1]], scale=16)

pyvips.cache_set_max(0)  # a rendition is made once: keep no pixels of it


@dataclass(frozen=True, slots=True)
class Edit:
    """What the photographer set on a frame; the original is never touched.

    `straighten_deg` turns the upright picture clockwise, at most 45 either way; the largest
    part of the same shape without empty corners stays. `crop` is (x, y, width, height) in
    shares of what then remains.
    """

    crop: tuple[float, float, float, float] | None = None
    straighten_deg: float = 0.0

    def __post_init__(self) -> None:
        if not abs(self.straighten_deg) <= _MOST_STRAIGHTEN_DEG:
            raise WrongUse("a picture is straightened by at most 45 degrees", thing=str(self))
        if self.crop is not None:
            x, y, width, height = self.crop
            inside = 0 <= x < 1 and 0 <= y < 1 and x + width <= 1 + 1e-6 and y + height <= 1 + 1e-6
            if not (inside and width > 0 and height > 0):
                raise WrongUse("a crop lies inside its picture", thing=str(self.crop))


@dataclass(frozen=True, slots=True)
class Recipe:
    """What a desk wants of the file.

    `long_side_px` 0 means as large as it is; a picture is never enlarged. `quality` 1 to 100
    as JPEG encoders count. With `max_bytes` quality is lowered as far as needed, to 40, then
    the size. `sharpen` is light and done only where the size was reduced.
    """

    long_side_px: int = 4000
    quality: int = 88
    max_bytes: int | None = None
    sharpen: bool = True
    profile: str = "sRGB"

    def __post_init__(self) -> None:
        if not 1 <= self.quality <= 100 or self.long_side_px < 0:
            raise WrongUse("quality is 1 to 100, a long side not negative", thing=str(self))
        if self.max_bytes is not None and self.max_bytes < 1:
            raise WrongUse("a file has at least one byte", thing=str(self.max_bytes))
        if self.profile != "sRGB":
            raise WrongUse("renditions are sRGB", thing=self.profile)


def render(data: bytes, kind: PictureKind, edit: Edit, recipe: Recipe) -> bytes:
    """The rendition as a JPEG without metadata but its profile.

    A raw file is rendered from its embedded preview. Raises BadFile when no picture is inside
    or only part of it decodes: half a picture goes to no desk. Raises WrongUse when the bytes
    asked for are too few for any picture.
    """
    source = _source(data, kind, edit, recipe)
    try:
        height, width = source.pixels.shape[:2]
        image = pyvips.Image.new_from_memory(source.pixels.data, width, height, 3, "uchar")
        image = _upright(image.copy(interpretation="srgb"), source.orientation)
        return _within_bytes(_Framed(image, source.reduced, source.part), source.profile, recipe)
    except pyvips.Error as error:
        raise BadFile("its picture cannot be rendered", next_step="Keep the file.") from error


@dataclass(frozen=True, slots=True)
class _Part:
    """The part of an upright picture that an edit leaves, in full pixels of what turning leaves."""

    box_px: tuple[int, int, int, int]
    turned: Straightened | None

    @classmethod
    def of(cls, width: int, height: int, orientation: int, edit: Edit) -> _Part:
        """The part left of a picture that is stored so large."""
        turned = None
        if orientation >= 5:
            width, height = height, width
        if edit.straighten_deg:
            turned = Straightened(width, height, edit.straighten_deg)
            width, height = turned.kept_px
        x, y, across, down = edit.crop or (0, 0, 1, 1)
        left, top = min(round(x * width), width - 1), min(round(y * height), height - 1)
        across = max(1, min(round(across * width), width - left))
        down = max(1, min(round(down * height), height - top))
        return cls((left, top, across, down), turned)

    @property
    def long_side_px(self) -> int:
        """The longer side of the part."""
        return max(self.box_px[2:])

    def long_side_for(self, recipe: Recipe) -> int:
        """The longer side that a recipe asks for; never enlarged."""
        return min(self.long_side_px, recipe.long_side_px or self.long_side_px)


@dataclass(frozen=True, slots=True)
class _Source:
    """Pixels as stored, at `reduced` of their size, the profile (None: sRGB), the orientation."""

    pixels: NDArray[np.uint8]
    profile: bytes | None
    orientation: int
    part: _Part
    reduced: float = 1.0


def _source(data: bytes, kind: PictureKind, edit: Edit, recipe: Recipe) -> _Source:
    """The picture decoded, no larger than it takes to turn it."""
    if kind is PictureKind.HEIF:  # its own turning is part of decoding
        pixels, profile = heif_picture(data)
        return _Source(pixels, profile, 1, _Part.of(pixels.shape[1], pixels.shape[0], 1, edit))
    if not kind.is_picture:
        raise BadFile(f"no picture is inside: the file is {kind}", next_step="Keep the file.")
    try:
        said = read_metadata(data)
    except BadFile:
        said = CameraMetadata()
    jpeg = embedded_preview(data) if kind.is_raw else data
    if jpeg is None:
        raise BadFile(
            "a raw file without its picture: no preview is inside",
            next_step="Keep the file; send another frame.",
        )
    width, height = guard_jpeg(jpeg)
    part = _Part.of(width, height, said.orientation, edit)
    eighths = eighths_wanted(part.long_side_for(recipe) / part.long_side_px) if part.turned else 8
    least = {"min_width": -(-width * eighths // 8), "min_height": -(-height * eighths // 8)}
    try:
        pixels = simplejpeg.decode_jpeg(jpeg, "RGB", strict=True, **least)
    except (ValueError, MemoryError) as error:
        raise BadFile(
            "only part of its picture decodes",
            next_step="Take it from the card again, or send another frame.",
        ) from error
    profile = embedded_profile(read_header(jpeg))
    if profile is None and said.colour_space == "Adobe RGB":
        profile = wide_profile()
    return _Source(pixels, profile, said.orientation, part, eighths / 8)


def _upright(image: Any, orientation: int) -> Any:
    """The picture turned as its tag says, without loss."""
    if orientation == 1:
        return image
    image = image.copy()
    image.set_type(pyvips.GValue.gint_type, "orientation", orientation)
    return image.autorot()


@dataclass(frozen=True, slots=True)
class _Framed:
    """An upright picture at `reduced` of its size (1 where it is not to be turned), its part."""

    image: Any
    reduced: float
    part: _Part

    def at(self, scale: float) -> Any:
        """The part at `scale` of its full size."""
        box_px = self.part.box_px
        size_px = max(1, round(box_px[2] * scale)), max(1, round(box_px[3] * scale))
        if self.part.turned is None:
            image = self.image.crop(*box_px)
            return _resized(image, *size_px) if scale < 1 else image
        whole = self.image
        if self.reduced > scale * MOST_SPARE:
            share = scale * SPARE / self.reduced
            whole = _resized(
                whole, *(max(1, round(n * share)) for n in (whole.width, whole.height))
            )
        reduced = (
            self.reduced * whole.width / self.image.width,
            self.reduced * whole.height / self.image.height,
        )
        pixels = np.asarray(whole.cast("uchar").numpy(), dtype=np.uint8)
        drawn = self.part.turned.drawn(pixels, reduced, box_px, size_px)
        image = pyvips.Image.new_from_memory(drawn.data, *size_px, 3, "uchar")
        return image.copy(interpretation="srgb")


def _resized(image: Any, width_px: int, height_px: int) -> Any:
    return image.resize(width_px / image.width, vscale=height_px / image.height)


def _sized(framed: _Framed, profile: bytes | None, long_side_px: int, sharpen: bool) -> Any:
    """The picture at its final size, in sRGB, held in memory."""
    scale = min(1.0, long_side_px / framed.part.long_side_px)
    image = framed.at(scale)
    if profile is not None and not is_srgb(profile):
        image = _to_srgb(image, profile)
    if sharpen and scale < 1:
        image = image.conv(_SHARPEN, precision="integer")
    return image.cast("uchar").copy_memory()


def _to_srgb(image: Any, profile: bytes) -> Any:
    """The picture in sRGB; as it is where its profile is broken or not for RGB."""
    carrying = image.copy()
    carrying.set_type(pyvips.GValue.blob_type, "icc-profile-data", profile)
    try:
        return carrying.icc_transform("srgb", embedded=True, intent="relative").copy_memory()
    except pyvips.Error:
        return image


def _within_bytes(framed: _Framed, profile: bytes | None, recipe: Recipe) -> bytes:
    """The encoded picture, quality and then size lowered until it fits."""
    long_side_px = framed.part.long_side_for(recipe)
    while True:
        sized = _sized(framed, profile, long_side_px, recipe.sharpen)
        encoded = _search(sized, recipe.quality, recipe.max_bytes)
        if recipe.max_bytes is None or len(encoded) <= recipe.max_bytes:
            return encoded
        long_side_px = int(long_side_px * min(0.9, math.sqrt(recipe.max_bytes / len(encoded))))
        if long_side_px < _LEAST_LONG_SIDE_PX:
            raise WrongUse("too few bytes for any picture", thing=f"{recipe.max_bytes} bytes")


def _search(image: Any, quality: int, max_bytes: int | None) -> bytes:
    """The picture at the best quality that fits, to `_NEAR_ENOUGH`; else at the least quality."""
    encoded = _jpeg(image, quality)
    if max_bytes is None or len(encoded) <= max_bytes:
        return encoded
    least = min(_LEAST_QUALITY, quality)
    too_big, fits, best = (quality, len(encoded)), (least - 1, 0), encoded
    for _ in range(_MOST_ENCODINGS - 1):
        if too_big[0] - fits[0] <= 1:
            break
        tried = _guess(too_big, fits, max_bytes)
        encoded = _jpeg(image, tried)
        if len(encoded) > max_bytes:
            too_big = (tried, len(encoded))
            best = encoded if fits[1] == 0 else best
        else:
            fits, best = (tried, len(encoded)), encoded
            if len(encoded) >= _NEAR_ENOUGH * max_bytes:
                break
    return best


def _guess(too_big: tuple[int, int], fits: tuple[int, int], max_bytes: int) -> int:
    """A quality between the two, by the logarithm of bytes being near linear in quality."""
    above = math.log(too_big[1] / max_bytes)
    if fits[1]:
        steps = (too_big[0] - fits[0]) * above / math.log(too_big[1] / fits[1])
    else:
        steps = above / _BYTES_PER_QUALITY
    return max(fits[0] + 1, min(too_big[0] - 1, too_big[0] - math.ceil(steps)))


def _jpeg(image: Any, quality: int) -> bytes:
    return bytes(image.jpegsave_buffer(Q=quality, keep="icc", profile="srgb"))
