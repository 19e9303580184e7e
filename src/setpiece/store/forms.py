"""Facts as JSON and back: the frozen dataclasses of the pure rooms, validated on the way in."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from setpiece.errors import BadFile

T = TypeVar("T")


_MADE: dict[Any, TypeAdapter[Any]] = {}


def adapter(kind: Any) -> TypeAdapter[Any]:
    """The one that reads and writes `kind`; made once, since making it is slow."""
    if kind not in _MADE:
        _MADE[kind] = TypeAdapter(kind)
    return _MADE[kind]


def to_json(value: object) -> str:
    """The JSON text of a dataclass value."""
    return adapter(type(value)).dump_json(value).decode()


def from_json(kind: type[T], text: str) -> T:
    """The value of that kind in a JSON text. Raises BadFile when it does not fit."""
    try:
        value: T = adapter(kind).validate_json(text)
    except ValidationError as error:
        raise BadFile(
            f"this is no {kind.__name__}: {error.errors()[0]['msg']}",
            thing=text[:60],
            next_step="The workspace may come from a newer Setpiece.",
        ) from error
    return value
