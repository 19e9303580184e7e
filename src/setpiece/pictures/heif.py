"""Pixels of HEIF files, as sRGB: libvips from its wheel has no HEVC decoder.

Cameras write HEIF in a range wider than a screen's (PQ or HLG). Those are brought to sRGB here:
linear light by the standard's own curve, reference white at 203 cd/m2 (ITU-R BT.2408, section
2.2; from memory) as nine tenths of white, a smooth shoulder above, colours from BT.2020 to
BT.709 (ITU-R BT.2087; from memory). The shoulder is ours. Other HEIF files are passed as they
are, with their profile.
"""

from __future__ import annotations

import numpy as np
import pillow_heif
from numpy.typing import NDArray

from setpiece.errors import BadFile
from setpiece.pictures.previews import guard

_PQ, _HLG = 16, 18  # transfer characteristics, ITU-T H.273, table 3
_REFERENCE_WHITE_CD_M2 = 203.0
_HLG_PEAK_CD_M2 = 1000.0
_REFERENCE_SHARE = 0.9
_FROM_2020 = np.array(
    [[1.6605, -0.5876, -0.0728], [-0.1246, 1.1329, -0.0083], [-0.0182, -0.1006, 1.1187]],
    dtype=np.float32,
)
_ROWS_AT_ONCE = 256


def heif_pixels(data: bytes) -> NDArray[np.uint8]:
    """The primary picture, upright, RGB of 8 bits. Raises BadFile when it does not decode."""
    return heif_picture(data)[0]


def heif_picture(data: bytes) -> tuple[NDArray[np.uint8], bytes | None]:
    """The primary picture, upright, and its ICC profile (None: sRGB). Raises BadFile."""
    try:
        opened = pillow_heif.open_heif(data, convert_hdr_to_8bit=False)
        guard(*opened.size)
        nclx = opened.info.get("nclx_profile") or {}
        transfer = nclx.get("transfer_characteristics")
        if transfer not in (_PQ, _HLG):
            opened = pillow_heif.open_heif(data, convert_hdr_to_8bit=True)
        stored = np.asarray(opened)
        profile = opened.info.get("icc_profile") or None
    except BadFile:
        raise
    except Exception as error:  # the decoder raises what it likes: EOFError, RuntimeError, ...
        raise BadFile("its picture cannot be decoded", next_step="Keep the file.") from error
    if stored.ndim == 2:
        stored = np.stack((stored,) * 3, axis=2)
    rgb = stored[:, :, :3]
    if rgb.dtype == np.uint16:
        return _to_srgb(rgb, _light(transfer)), None
    return np.ascontiguousarray(rgb, dtype=np.uint8), profile


def _light(transfer: int | None) -> NDArray[np.float32]:
    """Linear light, reference white at `_REFERENCE_SHARE`, for each of 65536 code values."""
    code = np.linspace(0.0, 1.0, 65536)
    light_cd_m2 = _pq_light(code) if transfer == _PQ else _hlg_light(code)
    return (light_cd_m2 * (_REFERENCE_SHARE / _REFERENCE_WHITE_CD_M2)).astype(np.float32)


def _pq_light(code: NDArray[np.float64]) -> NDArray[np.float64]:
    """Luminance in cd/m2 of a PQ code value (SMPTE ST 2084, equation 4.1; from memory)."""
    m1, m2 = 2610 / 16384, 2523 / 4096 * 128
    c1, c2, c3 = 3424 / 4096, 2413 / 4096 * 32, 2392 / 4096 * 32
    root = code ** (1 / m2)
    light: NDArray[np.float64] = 10_000 * (np.maximum(root - c1, 0) / (c2 - c3 * root)) ** (1 / m1)
    return light


def _hlg_light(code: NDArray[np.float64]) -> NDArray[np.float64]:
    """Luminance in cd/m2 of a grey of an HLG code value (ITU-R BT.2100, table 5; from memory)."""
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    scene = np.where(code <= 0.5, code**2 / 3, (np.exp((code - c) / a) + b) / 12)
    light: NDArray[np.float64] = _HLG_PEAK_CD_M2 * scene**1.2
    return light


def _to_srgb(stored: NDArray[np.uint16], light: NDArray[np.float32]) -> NDArray[np.uint8]:
    """sRGB of 8 bits from 16-bit code values, a band of rows at a time."""
    out = np.empty(stored.shape, dtype=np.uint8)
    steps = np.linspace(0.0, 1.0, 4097)
    curve = np.where(steps <= 0.0031308, 12.92 * steps, 1.055 * steps ** (1 / 2.4) - 0.055)
    encode = np.rint(curve * 255).astype(np.uint8)  # IEC 61966-2-1
    for top in range(0, stored.shape[0], _ROWS_AT_ONCE):
        linear = light[stored[top : top + _ROWS_AT_ONCE]] @ _FROM_2020.T
        np.clip(linear, 0, None, out=linear)
        brightest = linear.max(axis=2, keepdims=True)
        linear *= _shoulder(brightest) / np.maximum(brightest, 1e-6)
        out[top : top + _ROWS_AT_ONCE] = encode[np.rint(np.clip(linear, 0, 1) * 4096).astype(int)]
    return out


def _shoulder(light: NDArray[np.float32]) -> NDArray[np.float32]:
    """Light unchanged to 0.7, then bent so that it nears but never passes 1."""
    knee, room = 0.7, 0.3
    above = np.maximum(light - knee, 0)
    bent: NDArray[np.float32] = np.where(
        light <= knee, light, knee + room * (above / (above + room))
    )
    return bent
