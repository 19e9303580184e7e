"""What a request says, read strictly: text that can be written down, numbers that are numbers.

A page sends nothing else. Other programs may: JSON allows half a surrogate pair in a text, which
can be neither kept nor shown, and Python's reader takes NaN and 1e999 for numbers.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

from fastapi import Request
from fastapi.routing import APIRoute
from starlette.exceptions import HTTPException
from starlette.responses import Response

MOST_DIGITS = 15
"""No number that a person types is longer."""


class StrictRoute(APIRoute):
    """An address whose requests are read strictly."""

    def get_route_handler(self) -> Callable[[Request], Any]:
        """Hands the request on as one that reads its body strictly."""
        handle = super().get_route_handler()

        async def strictly(request: Request) -> Response:
            try:
                answer: Response = await handle(_Strict(request.scope, request.receive))
            except OverflowError as error:  # the database counts to 2 to the 63rd
                raise HTTPException(422, "a number is larger than anything here") from error
            return answer

        return strictly


class _Strict(Request):
    async def json(self) -> Any:
        return read_json(await self.body())


def read_json(body: bytes) -> Any:
    """The value of a JSON text. Raises ValueError also for what could not be written again."""
    value = json.loads(body, parse_float=_finite, parse_constant=_finite)
    json.dumps(value, ensure_ascii=False).encode()
    return value


def whole_number(text: str) -> int | None:
    """The number that decimal digits say; None for anything else and for more than 15 digits."""
    return int(text) if text.isdecimal() and len(text) <= MOST_DIGITS else None


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError(f"no number: {text[:20]}")
    return number
