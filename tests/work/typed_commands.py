"""Commands as they are typed, for the tests of what comes after the match."""

from __future__ import annotations

import io
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from setpiece.cli.main import app
from setpiece.cli.terminal import guarded


@dataclass(frozen=True)
class Ran:
    """What a command printed and how it ended."""

    status: int
    out: str
    err: str


def run(folder: Path, *words: str) -> Ran:
    """Runs `setpiece` with these words in a workspace; nobody is at the prompt."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.delenv("SETPIECE_WORKSPACE", raising=False)
        patch.setattr(sys, "argv", ["setpiece", *words])
        patch.setattr(sys, "stdin", io.StringIO())
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        status = guarded(app)
    return Ran(status, out.getvalue(), err.getvalue())
