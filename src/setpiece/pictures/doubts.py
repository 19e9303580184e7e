"""Settings made by mistake, as far as a tag says so: black and white, small, cropped.

The makers' tags and values are from memory of their public descriptions; a body not in the
tables raises no doubt.
"""

from __future__ import annotations

from collections.abc import Mapping

_MONOCHROME = {  # key: how its value begins, in capitals
    "Exif.CanonPr.PictureStyle": ("134",),
    "Exif.NikonPc.Name": ("MONOCHROME", "FLAT MONO", "DEEP TONE MONO"),
    "Exif.NikonPc3.Name": ("MONOCHROME", "FLAT MONO", "DEEP TONE MONO"),
    "Exif.Nikon3.ColorMode": ("B&W",),
    "Exif.Fujifilm.Color": ("768", "769", "770", "771", "1280", "1281", "1282", "1283"),
    "Exif.Sony1.CreativeStyle": ("B&W", "BW"),
    "Exif.Sony2.CreativeStyle": ("B&W", "BW"),
}
_SMALL_CANON = frozenset(("1", "2", "5", "6", "7", "14", "15", "16"))  # CanonCs.ImageSize
_NIKON_WHOLE = frozenset(("0", "11", "12"))  # off, and a sensor used whole
_ZOOMED = 1.05  # a digital zoom ratio above 1 by more than rounding


def monochrome(values: Mapping[str, str]) -> bool:
    """Whether the camera was set to black and white."""
    return any(
        values.get(key, "").strip().upper().startswith(starts)
        for key, starts in _MONOCHROME.items()
    )


def small_size(values: Mapping[str, str]) -> bool:
    """Whether the camera was set to less than its full size (Canon bodies say so)."""
    return values.get("Exif.CanonCs.ImageSize", "").strip() in _SMALL_CANON


def crop_mode(values: Mapping[str, str]) -> bool:
    """Whether the camera used a part of its sensor: digital zoom, Nikon's and Fujifilm's crop."""
    above, _, below = values.get("Exif.Photo.DigitalZoomRatio", "").partition("/")
    if above.isdigit() and below.isdigit() and int(below):
        if int(above) / int(below) > _ZOOMED:
            return True
    nikon = values.get("Exif.Nikon3.CropHiSpeed", "").split()
    fujifilm = values.get("Exif.Fujifilm.CropMode", "0").strip()
    return bool(nikon and nikon[0] not in _NIKON_WHOLE) or fujifilm not in ("0", "")
