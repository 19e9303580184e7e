"""A ground as plain tables (from a TOML or JSON file), read strictly: an unknown word is an error.

    name = "..."            [pitch] length_m, width_m       [[stands]] [[boards]] [[dugouts]]
    bearing_deg = ...       time_zone, latitude_deg ...     [[zones]] [[seats]]

The keys are the fields of the classes in `setpiece.plan.ground`; `flank` says which side.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields
from typing import Any, TypeVar

from setpiece.errors import WrongUse
from setpiece.plan.camera import Seat
from setpiece.plan.ground import Boards, Dugout, Flank, Ground, Stand, Zone
from setpiece.plan.pitch import End, Pitch

_ROWS = {"stands": Stand, "boards": Boards, "dugouts": Dugout, "zones": Zone, "seats": Seat}
_WORDS = {"flank": Flank, "home_end": End}

_Kind = TypeVar("_Kind")


def ground_from(table: Mapping[str, Any]) -> Ground:
    """The ground a file describes. Raises WrongUse that names the key that is wrong."""
    values: dict[str, Any] = {}
    for key, value in table.items():
        if key == "pitch":
            values[key] = _one(Pitch, value, "pitch")
        elif key in _ROWS:
            if not isinstance(value, list):
                raise WrongUse(f"write it as [[{key}]]", thing=key)
            values[key] = tuple(
                _one(_ROWS[key], row, f"{key} {place}") for place, row in enumerate(value, 1)
            )
        else:
            values[key] = value
    return _one(Ground, values, "ground")


def _one(kind: type[_Kind], table: Any, thing: str) -> _Kind:
    if not isinstance(table, Mapping):
        raise WrongUse("this must be a table of names and values", thing=thing)
    known: dict[str, Field[Any]] = {f.name: f for f in fields(kind)}  # type: ignore[arg-type]
    for key in table:
        if key not in known:
            close = difflib.get_close_matches(key, known, n=1)
            hint = f"Did you mean {close[0]}?" if close else f"Known: {', '.join(known)}."
            raise WrongUse(f"no such key: {key}", thing=thing, next_step=hint)
    for name, wanted in known.items():
        needed = wanted.default is MISSING and wanted.default_factory is MISSING
        if needed and name not in table:
            raise WrongUse(f"{name} is missing", thing=thing, next_step="Add it to the file.")
    values = {key: _value(str(known[key].type), key, value, thing) for key, value in table.items()}
    return kind(**values)


def _value(declared: str, key: str, value: Any, thing: str) -> Any:
    """The value as its field wants it: numbers as float, words as their enumeration."""
    if key in _WORDS:
        words = _WORDS[key]
        try:
            return words(value)
        except ValueError as error:
            choices = ", ".join(words)
            raise WrongUse(f"{key} is one of {choices}", thing=f"{thing}: {value}") from error
    if declared.startswith("float"):
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise WrongUse(f"{key} is a number", thing=f"{thing}: {value}")
        if not math.isfinite(value):
            raise WrongUse(f"{key} is a number", thing=f"{thing}: {value}")
        return float(value)
    if declared == "str" and not isinstance(value, str):
        raise WrongUse(f"{key} is a text", thing=f"{thing}: {value}")
    return value
