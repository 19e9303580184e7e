"""What the check says of a caption: errors, doubts and remarks."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Level(StrEnum):
    """An error blocks sending; a doubt is answered by choosing; a remark is only said."""

    ERROR = "error"
    DOUBT = "doubt"
    REMARK = "remark"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the check found.

    `code` is the kind in words a program may keep; `thing` what it was found in; `choices`
    the answers that end a doubt. An error that `can_overrule` may be sent with a typed reason.
    """

    level: Level
    code: str
    message: str
    thing: str = ""
    choices: tuple[str, ...] = ()
    can_overrule: bool = True


def error(
    code: str, message: str, thing: str = "", *, choices: tuple[str, ...] = (),
    can_overrule: bool = True,
) -> Finding:  # fmt: skip
    """An error: it blocks sending."""
    return Finding(Level.ERROR, code, message, thing, choices, can_overrule)


def doubt(code: str, message: str, thing: str = "", *, choices: tuple[str, ...] = ()) -> Finding:
    """A doubt: it is answered by choosing."""
    return Finding(Level.DOUBT, code, message, thing, choices)


def remark(code: str, message: str, thing: str = "") -> Finding:
    """A remark: said, nothing more."""
    return Finding(Level.REMARK, code, message, thing)
