"""Colour profiles: the one a picture carries, and the one that cameras leave out.

A body set to Adobe RGB mostly says so in a tag and embeds nothing. That colour space is opRGB
(IEC 61966-2-5; primaries and gamma from memory), written here as a matrix profile (ICC.1:2001-04,
version 2 layout, sections 6.3 and 6.4; from memory).
"""

from __future__ import annotations

import struct

from setpiece.pictures.segments import APP2, ICC_NAME, Header

_GAMMA = 563 / 256
_PRIMARIES_D50 = {  # XYZ of the primaries, adapted to D50
    b"rXYZ": (0.60974, 0.31111, 0.01947),
    b"gXYZ": (0.20528, 0.62567, 0.06087),
    b"bXYZ": (0.14919, 0.06322, 0.74457),
}
_WHITE_D50 = (0.9642, 1.0, 0.8249)


def embedded_profile(header: Header) -> bytes | None:
    """The ICC profile of a JPEG, its parts joined in order; None when it has none or lacks one."""
    parts: dict[int, bytes] = {}
    wanted = 0
    for segment in header.segments:
        body = segment.payload
        if segment.marker == APP2 and body.startswith(ICC_NAME) and len(body) > len(ICC_NAME) + 2:
            place, wanted = body[len(ICC_NAME)], body[len(ICC_NAME) + 1]
            parts.setdefault(place, body[len(ICC_NAME) + 2 :])
    if not parts or sorted(parts) != list(range(1, wanted + 1)):
        return None
    return b"".join(parts[place] for place in sorted(parts))


def is_srgb(profile: bytes) -> bool:
    """Whether a profile names itself sRGB, in either form of text."""
    return b"sRGB" in profile[:8192].replace(b"\0", b"")


def wide_profile() -> bytes:
    """The profile of opRGB, for pictures that name the space but carry no profile."""
    tags: dict[bytes, bytes] = {
        b"desc": b"desc" + bytes(4) + struct.pack(">I", 6) + b"opRGB\0" + bytes(78),
        b"cprt": b"text" + bytes(4) + b"No copyright\0",
        b"wtpt": _xyz(_WHITE_D50),
    }
    tags |= {name: _xyz(value) for name, value in _PRIMARIES_D50.items()}
    curve = b"curv" + bytes(4) + struct.pack(">IH", 1, round(_GAMMA * 256))
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    place = 128 + 4 + 12 * len(tags)
    table, bodies = struct.pack(">I", len(tags)), b""
    for name, body in tags.items():
        table += name + struct.pack(">II", place + len(bodies), len(body))
        bodies += body + bytes(-len(body) % 4)
    head = struct.pack(">I4xI4s4s4s", place + len(bodies), 0x02200000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H", 2000, 1, 1, 0, 0, 0) + b"acsp" + bytes(28)
    head += _fixed(_WHITE_D50)
    return head + bytes(128 - len(head)) + table + bodies


def _fixed(values: tuple[float, float, float]) -> bytes:
    """Three numbers as the profile's fixed point, 16 bits after the point."""
    return struct.pack(">3i", *(round(value * 65536) for value in values))


def _xyz(values: tuple[float, float, float]) -> bytes:
    return b"XYZ " + bytes(4) + _fixed(values)
