"""exiv2 behind one lock: every call to it goes through here.

Its XMP part is not thread-safe, so one lock is held while a file is open. Bytes go in, never a
path (a path that looks like a URL would be opened as one). Its own messages are silenced: what
matters comes back as an error, translated here with its cause kept.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import exiv2

from setpiece.errors import BadFile
from setpiece.pictures.segments import APP1, APP13, read_header

_LOCK = threading.Lock()

NAMESPACES = {
    "Iptc4xmpExt": "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
    "Iptc4xmpCore": "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/",
    "plus": "http://ns.useplus.org/ldf/xmp/1.0/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "xmpRights": "http://ns.adobe.com/xap/1.0/rights/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "dc": "http://purl.org/dc/elements/1.1/",
}
"""XMP namespaces of the standard's fields (IPTC Photo Metadata 2025.1, technical reference)."""


@contextmanager
def exiv2_alone() -> Iterator[None]:
    """Holds the lock and turns every error of exiv2 into BadFile."""
    with _LOCK:
        try:
            yield
        except (exiv2.Exiv2Error, ValueError, KeyError, MemoryError, UnicodeDecodeError) as error:
            raise BadFile(
                "its metadata cannot be read or written",
                next_step="Keep the file; its picture may still be whole.",
            ) from error


@contextmanager
def opened(data: bytes) -> Iterator[Any]:
    """The file's exiv2 image with its metadata read, while the lock is held. Raises BadFile.

    Of a JPEG exiv2 sees the metadata segments alone: a broken colour profile, for one, would
    else make it refuse the rest. So the size it gives is not a JPEG's.
    """
    with exiv2_alone():
        image = exiv2.ImageFactory.open(_metadata_alone(data))
        image.readMetadata()
        yield image


def _metadata_alone(data: bytes) -> bytes:
    """A JPEG's EXIF, XMP and IIM segments as a JPEG of their own; other files as they are."""
    segments = read_header(data).segments
    if not segments:
        return data
    kept = (s.encode() for s in segments if s.marker in (APP1, APP13))
    return b"\xff\xd8" + b"".join(kept) + b"\xff\xd9"


def _start() -> None:
    """Silences exiv2's own messages and makes the standard's XMP namespaces known to it.

    An unregistered prefix in a structure makes exiv2 drop every XMP change without an error.
    """
    exiv2.LogMsg.setLevel(exiv2.LogMsg.Level.mute)
    exiv2.XmpParser.initialize()
    for prefix in ("Iptc4xmpExt", "Iptc4xmpCore", "plus"):
        exiv2.XmpProperties.registerNs(NAMESPACES[prefix], prefix)


_start()
