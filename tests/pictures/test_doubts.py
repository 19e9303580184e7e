"""Settings made by mistake show where a tag says so."""

from __future__ import annotations

import pytest

from setpiece.pictures.doubts import crop_mode, monochrome, small_size


@pytest.mark.parametrize(
    "values",
    [
        {"Exif.CanonPr.PictureStyle": "134"},
        {"Exif.NikonPc.Name": "MONOCHROME\0\0"},
        {"Exif.NikonPc3.Name": "Flat Monochrome"},
        {"Exif.Fujifilm.Color": "768"},
        {"Exif.Sony1.CreativeStyle": "B&W"},
    ],
)
def test_black_and_white_is_noticed(values: dict[str, str]) -> None:
    """Each maker's own word for black and white raises the doubt."""
    assert monochrome(values)


@pytest.mark.parametrize(
    "values",
    [
        {"Exif.Photo.DigitalZoomRatio": "15/10"},
        {"Exif.Nikon3.CropHiSpeed": "2 8256 5504 5408 3600 0 0"},
        {"Exif.Fujifilm.CropMode": "2"},
    ],
)
def test_a_cropped_sensor_is_noticed(values: dict[str, str]) -> None:
    """Digital zoom and the makers' crop settings raise the doubt."""
    assert crop_mode(values)


def test_usual_settings_raise_no_doubt() -> None:
    """Standard colours, full size and the whole sensor are nothing to speak of."""
    usual = {
        "Exif.CanonPr.PictureStyle": "129",
        "Exif.NikonPc.Name": "STANDARD",
        "Exif.Fujifilm.Color": "0",
        "Exif.CanonCs.ImageSize": "0",
        "Exif.Photo.DigitalZoomRatio": "1/1",
        "Exif.Nikon3.CropHiSpeed": "0 4352 2868 4352 2868 0 0",
    }
    assert not monochrome(usual)
    assert not small_size(usual)
    assert not crop_mode(usual)
    assert not crop_mode({"Exif.Photo.DigitalZoomRatio": "0/0"})


def test_a_small_size_is_noticed() -> None:
    """A body set to its middle or small size raises the doubt, an unknown value none."""
    assert small_size({"Exif.CanonCs.ImageSize": "15"})
    assert not small_size({"Exif.CanonCs.ImageSize": "65535"})
