"""Serves pictures by a frame's id: small ones from the previews folder, and the frame itself.

For a thumbnail the stored small picture is halved on the way: what a browser holds decoded is a
quarter, and a report shows hundreds.
"""

from __future__ import annotations

import re
from pathlib import Path

import simplejpeg
from starlette.requests import Request
from starlette.responses import FileResponse, Response

from setpiece.errors import NotFound
from setpiece.pictures.decode import decode_half, thumbnail
from setpiece.pictures.kind import HEAD_BYTES, PictureKind, kind_of
from setpiece.store.matches import match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.intake.look import previews
from setpiece.work.matchday import Matchday

NAME = re.compile(r"(f[0-9a-f]{12})-([tsm])\.jpg")
"""A small picture's name: a frame's id and a size."""

FOR_EVER = "private, max-age=31536000, immutable"
"""For an address that names the look: another look has another address."""

ASK_AGAIN = "private, no-cache"

TINY_QUALITY = 82

LARGEST_PX = 100_000
"""No picture is larger, so that nothing is made smaller."""


def small_picture(space: Workspace, name: str, request: Request) -> Response:
    """One small picture. Raises NotFound for anything that is not a picture's name."""
    tiny = name.endswith("-t.jpg")
    path = _path(space, name.replace("-t.jpg", "-s.jpg") if tiny else name)
    kept = FOR_EVER if request.query_params.get("look") else ASK_AGAIN
    answer = FileResponse(path, media_type="image/jpeg", headers={"cache-control": kept},
                          stat_result=path.stat())  # fmt: skip
    headers = {"etag": answer.headers["etag"], "cache-control": kept}
    if request.headers.get("if-none-match") == headers["etag"]:
        return Response(status_code=304, headers=headers)
    if tiny:
        return Response(halved(path.read_bytes()), media_type="image/jpeg", headers=headers)
    return answer


def halved(jpeg: bytes) -> bytes:
    """A small picture at half its size, decoded at that size."""
    pixels = simplejpeg.decode_jpeg(jpeg, min_factor=2, strict=False)
    return bytes(simplejpeg.encode_jpeg(pixels, quality=TINY_QUALITY))


def whole_picture(day: Matchday, name: str, request: Request) -> Response:
    """A frame at full size as a browser can show it: the JPEG itself, else one made from it."""
    frame = day.frames.get(name.removesuffix(".jpg"))
    if frame is None or not name.endswith(".jpg"):
        raise NotFound("there is no such picture", thing=name)
    path = match_folder(day.space, day.match) / frame.best_file
    if not path.is_file():
        raise NotFound(
            "the frame's file is not where it was",
            thing=frame.best_file,
            next_step="Put it back, or take the card in again.",
        )
    data = path.read_bytes()
    kind = kind_of(data[:HEAD_BYTES])
    if kind is not PictureKind.JPEG:
        data = thumbnail(decode_half(data, kind).rgb, LARGEST_PX)
    kept = FOR_EVER if request.query_params.get("look") else ASK_AGAIN
    return Response(data, media_type="image/jpeg", headers={"cache-control": kept})


def _path(space: Workspace, name: str) -> Path:
    if NAME.fullmatch(name):
        path = previews(space) / name
        if path.is_file():
            return path
    raise NotFound("there is no such picture", thing=name)
