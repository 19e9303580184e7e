"""Serves the small pictures: only from the previews folder, only by a frame's id."""

from __future__ import annotations

import re
from pathlib import Path

from starlette.requests import Request
from starlette.responses import FileResponse, Response

from setpiece.errors import NotFound
from setpiece.store.workspace import Workspace
from setpiece.work.look import previews

NAME = re.compile(r"(f[0-9a-f]{12})-([sm])\.jpg")
"""A small picture's name: a frame's id and a size."""

FOR_EVER = "private, max-age=31536000, immutable"
"""For an address that names the look: another look has another address."""

ASK_AGAIN = "private, no-cache"


def small_picture(space: Workspace, name: str, request: Request) -> Response:
    """One small picture. Raises NotFound for anything that is not a picture's name."""
    path = _path(space, name)
    kept = FOR_EVER if request.query_params.get("look") else ASK_AGAIN
    answer = FileResponse(path, media_type="image/jpeg", headers={"cache-control": kept},
                          stat_result=path.stat())  # fmt: skip
    if request.headers.get("if-none-match") == answer.headers.get("etag"):
        return Response(
            status_code=304,
            headers={"etag": answer.headers["etag"], "cache-control": kept},
        )
    return answer


def _path(space: Workspace, name: str) -> Path:
    if NAME.fullmatch(name):
        path = previews(space) / name
        if path.is_file():
            return path
    raise NotFound("there is no such picture", thing=name)
