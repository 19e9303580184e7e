"""Previews are found largest first, and what no camera writes is not decoded."""

from __future__ import annotations

import pytest
from files import noise_jpeg, raw_file

from setpiece.errors import BadFile
from setpiece.pictures.previews import (
    MAX_PIXELS,
    decodes_whole,
    guard,
    guard_jpeg,
    previews_inside,
)


def test_the_largest_comes_first() -> None:
    """By pixels, whatever their order in the file; thumbnails are left out."""
    small, middle, large = (noise_jpeg(w, w * 3 // 4) for w in (160, 640, 1280))
    assert list(previews_inside(raw_file(middle, small, large))) == [large, middle]


@pytest.mark.parametrize(
    ("size", "fine"),
    [((8640, 5760), True), ((14_204, 10_652), True), ((65_535, 65_535), False), ((0, 9), False)],
)
def test_sizes_beyond_any_camera_are_refused(size: tuple[int, int], fine: bool) -> None:
    """Up to the largest cameras' pictures pass, an impossible size does not."""
    assert (0 < size[0] * size[1] <= MAX_PIXELS) is fine
    if fine:
        guard(*size)
    else:
        with pytest.raises(BadFile):
            guard(*size)


def test_a_header_without_a_picture_is_refused() -> None:
    """Bytes without a frame header hold no picture."""
    with pytest.raises(BadFile, match="no picture"):
        guard_jpeg(b"\xff\xd8\xff\xe0\0\x04no\xff\xd9")


def test_whole_means_to_the_last_byte() -> None:
    """A JPEG that lacks its end, or has noise in its scan, does not decode whole."""
    jpeg = noise_jpeg(320, 240)
    assert decodes_whole(jpeg)
    assert not decodes_whole(jpeg[:-40])
    assert not decodes_whole(jpeg[:3000] + b"\xff\xd4" * 40 + jpeg[3080:])
    assert not decodes_whole(b"")
