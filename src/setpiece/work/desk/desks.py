"""Desks: add one, list them, say how it is served, rehearse a delivery to one."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from enum import StrEnum

from setpiece.captions.naming import fixed_folder
from setpiece.captions.patterns import check_pattern
from setpiece.captions.style import NAME_VALUES
from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.passwords import find_password
from setpiece.send.rehearsal import rehearse
from setpiece.store.forms import from_json, to_json
from setpiece.store.outbox import StoredDesk, desks, find_desk, save_desk
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller, Question

_TIME_OF_DAY = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


class UnderReview(StrEnum):
    """What happens to a picture of a goal that is under review. The values are typed."""

    HELD = "held"
    WITHOUT_SCORE = "without-score"


@dataclass(frozen=True, slots=True)
class DeskSettings:
    """How a desk is served. Its quota and spacing stand in its house style.

    Nothing goes before `embargo_until`. A `paused` desk gets nothing until it is resumed. Below
    `smaller_below_kbit_s` as measured (0 for never) renditions have `smaller_long_side_px`.
    `editions` are the times of day, at the ground, at which the desk closes a page: `17:30`.
    """

    embargo_until: Instant | None = None
    under_review: UnderReview = UnderReview.HELD
    paused: bool = False
    smaller_below_kbit_s: int = 0
    smaller_long_side_px: int = 2000
    editions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.smaller_below_kbit_s <= 1_000_000:
            raise WrongUse("a rate is 0 to 1,000,000 kbit/s", thing=str(self.smaller_below_kbit_s))
        if not 200 <= self.smaller_long_side_px <= 20_000:
            raise WrongUse("a long side is 200 to 20,000 px", thing=str(self.smaller_long_side_px))
        for time in self.editions:
            if not _TIME_OF_DAY.fullmatch(time):
                raise WrongUse("this is no time of day", thing=time, next_step="Write 17:30.")


@dataclass(frozen=True, slots=True)
class Desk:
    """A desk: its name, how to reach it, its house style, how it is served."""

    name: str
    address: DeskAddress
    style: str
    settings: DeskSettings = field(default_factory=DeskSettings)


def add_desk(space: Workspace, desk: Desk, caller: Caller) -> None:
    """A new desk, or a known one with new settings. Raises WrongUse for a bad folder pattern."""
    check_pattern(desk.address.folder, NAME_VALUES, f"desk {desk.name}, folder")
    save_desk(
        space,
        StoredDesk(desk.name, to_json(desk.address), desk.style, to_json(desk.settings)),
        caller.now(),
    )


def change_settings(space: Workspace, name: str, caller: Caller, **changed: object) -> Desk:
    """The desk served otherwise from now on. Raises NotFound, WrongUse."""
    desk = desk_named(space, name)
    settings = replace(desk.settings, **changed)  # type: ignore[arg-type]
    made = replace(desk, settings=settings)
    add_desk(space, made, caller)
    return made


def desk_named(space: Workspace, name: str) -> Desk:
    """The desk of that name. Raises NotFound."""
    return _desk(find_desk(space, name))


def known_desks(space: Workspace) -> tuple[Desk, ...]:
    """The desks there are, by name."""
    return tuple(_desk(d) for d in desks(space))


def all_desks(space: Workspace) -> tuple[Desk, ...]:
    """Every desk by name. Raises NotFound when there is none."""
    known = known_desks(space)
    if not known:
        raise NotFound(
            "there is no desk yet",
            thing=str(space.folder.resolve()),
            next_step="Add one with `setpiece desk add`.",
        )
    return known


def secret_for(desk: Desk, caller: Caller) -> Secret:
    """The desk's password from keyring, environment or the photographer; a folder needs none.

    Where a key proves who we are, what is kept for the desk unlocks it, and nobody is asked.
    """
    if desk.address.protocol is Protocol.FOLDER:
        return Secret()
    if desk.address.key_file is not None:
        try:
            kept = find_password(desk.name)
        except NotFound:
            return Secret()
        return Secret(password=kept, key_passphrase=kept)
    return Secret(find_password(desk.name, lambda text: caller.ask(Question(text, secret=True))))


@dataclass(frozen=True, slots=True)
class StepSaid:
    """One step of a rehearsal in words: `outcome` is good, without, failed or not tried.

    `fingerprint` is what an unknown server showed, to be compared and pinned.
    """

    name: str
    outcome: str
    sentence: str
    fingerprint: str = ""


def rehearse_desk(space: Workspace, name: str, caller: Caller) -> tuple[StepSaid, ...]:
    """Walks through a delivery with a small file and says what the desk allows."""
    desk = desk_named(space, name)
    address = replace(desk.address, folder=fixed_folder(desk.address.folder))
    steps = rehearse(address, secret_for(desk, caller))
    return tuple(
        StepSaid(s.name.value, s.outcome.value, s.sentence, getattr(s.trouble, "fingerprint", ""))
        for s in steps
    )


def pin_desk(space: Workspace, name: str, fingerprint: str, caller: Caller) -> Desk:
    """The desk held to that key or certificate from now on, once you know that it is theirs."""
    desk = desk_named(space, name)
    pinned = replace(desk, address=replace(desk.address, fingerprint=fingerprint))
    add_desk(space, pinned, caller)
    return pinned


def _desk(stored: StoredDesk) -> Desk:
    return Desk(
        stored.name,
        from_json(DeskAddress, stored.address),
        stored.style,
        from_json(DeskSettings, stored.settings),
    )
