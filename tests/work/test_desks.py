"""Desks: rehearsed where their pictures go, held to their key, and asked for no needless secret."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from desk_match import folder_desk

from setpiece.errors import AskPhotographer
from setpiece.match.instants import Instant
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.passwords import variable
from setpiece.send.rehearsal import Outcome, Step, StepName
from setpiece.send.trouble import FirstContact
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.desk import desks
from setpiece.work.desk.desks import Desk, add_desk, desk_named, pin_desk, rehearse_desk, secret_for
from setpiece.work.job import Unattended

KEY = f"SHA256:{'k' * 43}"


def test_a_rehearsal_uses_the_part_of_a_folder_that_stays(
    space: Workspace, played: Match, tmp_path: Path, now: Instant
) -> None:
    """With a pattern the folder above it is tried; nothing is left there."""
    place = folder_desk(space, tmp_path, "City", now)
    known = desk_named(space, "City")
    address = replace(known.address, folder="in/{{ date }}/{{ home }}")
    add_desk(space, replace(known, address=address), Unattended(now))
    steps = rehearse_desk(space, "City", Unattended(now))
    assert {s.outcome for s in steps} <= {"good", "without"}
    assert [p.relative_to(place).as_posix() for p in place.rglob("*")] == ["in"]


def test_an_unknown_server_shows_what_may_be_pinned(
    space: Workspace, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The step that failed carries the fingerprint; pinned, the desk is held to it alone."""
    address = DeskAddress(Protocol.SFTP, host="in.moon.example", user="me", timeout_s=9.0)
    add_desk(space, Desk("Moon", address, "north"), Unattended(now))
    trouble = FirstContact("this server is not known yet", KEY, thing="in.moon.example")
    step = Step(StepName.CONNECT, Outcome.FAILED, "not known yet", trouble)
    monkeypatch.setattr(desks, "rehearse", lambda *_: (step,))
    monkeypatch.setenv(variable("Moon"), "word")
    (said,) = rehearse_desk(space, "Moon", Unattended(now))
    assert (said.outcome, said.fingerprint) == ("failed", KEY)
    pin_desk(space, "Moon", said.fingerprint, Unattended(now))
    assert desk_named(space, "Moon").address == replace(address, fingerprint=KEY)


def test_a_key_is_no_reason_to_ask_for_a_password(
    tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a key file nobody is asked; what is kept unlocks it. Without one somebody is."""
    bare = DeskAddress(Protocol.SFTP, host="in.moon.example", user="me")
    with pytest.raises(AskPhotographer):
        secret_for(Desk("Moon", bare, "north"), Unattended(now))
    keyed = Desk("Moon", replace(bare, key_file=tmp_path / "key"), "north")
    assert secret_for(keyed, Unattended(now)) == Secret()
    monkeypatch.setenv(variable("Moon"), "word")
    assert secret_for(keyed, Unattended(now)).key_passphrase == "word"
