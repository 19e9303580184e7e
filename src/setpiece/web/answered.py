"""What a form is answered."""

from __future__ import annotations

from collections.abc import Callable

from fastapi.responses import JSONResponse, Response

from setpiece.errors import SetpieceError
from setpiece.web.spoken import Spoken

NO_STORE = {"cache-control": "no-store"}
"""For an answer that is true only now."""

_SPOKEN = Spoken()


def answered(act: Callable[[], str]) -> Response:
    """What was done, as words or the address to go to; or what is wrong with the form."""
    try:
        done = act()
    except SetpieceError as error:
        return JSONResponse({"wrong": _SPOKEN.told(str(error))}, 422, headers=NO_STORE)
    return JSONResponse({"go" if done.startswith("/") else "said": done}, headers=NO_STORE)
