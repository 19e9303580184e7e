"""Every error Setpiece raises on purpose, by what the caller should do.

    SetpieceError
    ├── TryAgain            the same call may work later; nothing was lost
    │   ├── LinkLost        the connection went away before the last byte
    │   ├── OutcomeUnknown  the link was lost after the last byte: ask the server, never assume
    │   └── Busy            another process holds it
    ├── AskPhotographer     only a person can decide or correct this
    │   ├── WrongUse        a command, a value or a file that cannot be understood
    │   ├── NotFound        a fixture, frame, desk or file that is not there
    │   ├── Choices         several fit; `choices` lists them, nothing is guessed
    │   └── Refused         a server or a rule said no for good; its words are kept
    ├── GiveUp              this cannot be done here
    │   ├── NoSpace         the disk is full
    │   ├── ReadOnly        the place cannot be written
    │   └── BadFile         a file that is not what it says or cannot be read
    └── Stopped             the photographer stopped a job; the next run goes on

A message says what happened, to which thing, and what to do next.
"""

from __future__ import annotations

from collections.abc import Sequence


class SetpieceError(Exception):
    """What happened, to which thing, and what to do next.

    `what` is a plain sentence without the final stop; `thing` names what it happened to;
    `next_step` says what to do. `str()` joins them for the photographer.
    """

    def __init__(self, what: str, *, thing: str = "", next_step: str = "") -> None:
        self.what = what
        self.thing = thing
        self.next_step = next_step
        super().__init__(what, thing, next_step)

    def __str__(self) -> str:
        head = f"{self.thing}: {self.what}" if self.thing else self.what
        return f"{head}. {self.next_step}" if self.next_step else f"{head}."


class TryAgain(SetpieceError):
    """The same call may work later; nothing was lost."""


class LinkLost(TryAgain):
    """The connection went away before the last byte was sent."""


class OutcomeUnknown(TryAgain):
    """The link was lost after the last byte: whether it arrived must be asked."""


class Busy(TryAgain):
    """Another process holds what is needed."""


class AskPhotographer(SetpieceError):
    """Only a person can decide or correct this."""


class WrongUse(AskPhotographer):
    """A command, a value or a file that cannot be understood."""


class NotFound(AskPhotographer):
    """A fixture, frame, desk or file that is not there."""


class Choices(AskPhotographer):
    """Several fit; `choices` lists them in plain words, nothing is guessed."""

    def __init__(
        self, what: str, choices: Sequence[str], *, thing: str = "", next_step: str = ""
    ) -> None:
        self.choices = tuple(choices)
        super().__init__(what, thing=thing, next_step=next_step)

    def __str__(self) -> str:
        listed = "; ".join(self.choices)
        return f"{super().__str__()} Choices: {listed}." if listed else super().__str__()


class Refused(AskPhotographer):
    """A server or a rule said no for good; `words` are the server's own."""

    def __init__(self, what: str, *, words: str = "", thing: str = "", next_step: str = "") -> None:
        self.words = words
        super().__init__(what, thing=thing, next_step=next_step)

    def __str__(self) -> str:
        return f"{super().__str__()} It said: {self.words}" if self.words else super().__str__()


class GiveUp(SetpieceError):
    """This cannot be done here."""


class NoSpace(GiveUp):
    """The disk is full."""


class ReadOnly(GiveUp):
    """The place cannot be written."""


class BadFile(GiveUp):
    """A file that is not what it says, or cannot be read."""


class Stopped(SetpieceError):
    """The photographer stopped a job; what was finished is kept, the next run goes on."""
