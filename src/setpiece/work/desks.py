"""Desks: add one, list them, rehearse a delivery to one."""

from __future__ import annotations

from dataclasses import dataclass

from setpiece.errors import NotFound
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.passwords import find_password
from setpiece.send.rehearsal import rehearse
from setpiece.store.forms import from_json, to_json
from setpiece.store.outbox import StoredDesk, desks, find_desk, save_desk
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller, Question


@dataclass(frozen=True, slots=True)
class Desk:
    """A desk: its name, how to reach it, its house style."""

    name: str
    address: DeskAddress
    style: str


def add_desk(space: Workspace, desk: Desk, caller: Caller) -> None:
    """A new desk, or a known one with new settings."""
    save_desk(space, StoredDesk(desk.name, to_json(desk.address), desk.style), caller.now())


def desk_named(space: Workspace, name: str) -> Desk:
    """The desk of that name. Raises NotFound."""
    return _desk(find_desk(space, name))


def all_desks(space: Workspace) -> tuple[Desk, ...]:
    """Every desk by name. Raises NotFound when there is none."""
    known = tuple(_desk(d) for d in desks(space))
    if not known:
        raise NotFound(
            "there is no desk yet",
            thing=str(space.folder),
            next_step="Add one with `setpiece desk add`.",
        )
    return known


def secret_for(desk: Desk, caller: Caller) -> Secret:
    """The desk's password from keyring, environment or the photographer; a folder needs none."""
    if desk.address.protocol is Protocol.FOLDER:
        return Secret()
    return Secret(find_password(desk.name, lambda text: caller.ask(Question(text, secret=True))))


@dataclass(frozen=True, slots=True)
class StepSaid:
    """One step of a rehearsal in words: `outcome` is good, without, failed or not tried."""

    name: str
    outcome: str
    sentence: str


def rehearse_desk(space: Workspace, name: str, caller: Caller) -> tuple[StepSaid, ...]:
    """Walks through a delivery with a small file and says what the desk allows."""
    desk = desk_named(space, name)
    steps = rehearse(desk.address, secret_for(desk, caller))
    return tuple(StepSaid(s.name.value, s.outcome.value, s.sentence) for s in steps)


def _desk(stored: StoredDesk) -> Desk:
    return Desk(stored.name, from_json(DeskAddress, stored.address), stored.style)
