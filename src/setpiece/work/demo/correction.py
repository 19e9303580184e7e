"""The demo's worked correction: the own goal of 45+2' is first logged to the wrong player.

A picture that tells of it goes to two desks; then the log is put right, and both desks get the
picture again with the right name and what was wrong.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from setpiece.errors import NotFound
from setpiece.match.entries import Entry, EntryId, How, Kind, current
from setpiece.match.people import Person, Side
from setpiece.pictures.iptc import read_fields
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.passwords import variable
from setpiece.store.matches import Match, add_entries, log_of
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.demo.desk_server import USER, desk_server
from setpiece.work.demo.ground_time import AtTheGround
from setpiece.work.demo.outcome import Row, counted
from setpiece.work.demo.planted import Planted, PlantedFrame
from setpiece.work.demo.scenario import sheet
from setpiece.work.demo.squads import person_id
from setpiece.work.desk.correct import send_corrections, wrong_now
from setpiece.work.desk.deliver import queue_set, send_waiting
from setpiece.work.desk.desks import Desk, add_desk
from setpiece.work.job import Caller
from setpiece.work.matchday import Matchday

FOLDER = "other desks"
"""Where the files of the two desks land, below the demo's folder."""

CITY, BLATT = "City", "Blatt"
UNTIL_SEEN_S = 412.0
"""How long it takes until somebody notices."""

_STYLES = {CITY: "gazette", BLATT: "nordblatt"}
_RIGHT, _WRONG = 5, 4
_LINE = "9w left celebrates with 11w right after own goal"
_PASSAGE = "joy-45"


def as_first_logged(entries: Sequence[Entry]) -> list[Entry]:
    """The log as it was first typed: the own goal to the wrong player."""
    return [replace(e, person=_player(_WRONG).id) if e.how is How.OWN_GOAL else e for e in entries]


def correct_the_scorer(
    folder: Path, space: Workspace, of: Match, planted: Planted, names: dict[str, str],
    caller: AtTheGround,
) -> tuple[Row, ...]:  # fmt: skip
    """Sends a picture with the wrong name, corrects the log, and sends the correction."""
    frame = names[_frame(planted).id]
    write_caption(space, of, frame, _LINE, caller)
    with desk_server(folder / FOLDER / CITY) as server:
        os.environ[variable(CITY)] = server.password
        own = folder / FOLDER / BLATT
        own.mkdir(parents=True)
        addresses = {
            CITY: DeskAddress(Protocol.FTP, host="127.0.0.1", port=server.port, user=USER),
            BLATT: DeskAddress(Protocol.FOLDER, path=own.resolve()),
        }
        for name, address in addresses.items():
            add_desk(space, Desk(name, address, _STYLES[name]), caller)
        queue_set(space, of, [CITY, BLATT], caller, frames=[frame])
        sent = send_waiting(space, of, caller)
        caller.move_on(UNTIL_SEEN_S)
        _put_right(space, of, caller)
        wrong = wrong_now(Matchday(space, of))
        send_corrections(space, of, caller)
        corrected = send_waiting(space, of, caller)
        still = wrong_now(Matchday(space, of))
        del os.environ[variable(CITY)]
    places = {CITY: server.folder, BLATT: own}
    newest = {d.desk: d for d in deliveries(space, of) if d.receipt and d.desk in places}
    files = [read_fields((places[n] / d.remote_name).read_bytes()) for n, d in newest.items()]
    right, mistaken = _player(_RIGHT).name, _player(_WRONG).name
    good = [f for f in files if right in f.description and mistaken not in f.description]
    said = [
        f for f in files
        if f.edit_status == "CORRECTION" and right in f.instructions and mistaken in f.instructions
    ]  # fmt: skip
    return (
        counted("wrong scorer of 45+2': pictures sent", 2, sent.delivered),
        counted("found wrong at desks when the log was corrected", 2, len(wrong.at_desks)),
        counted("corrections delivered", 2, corrected.delivered),
        counted("desks whose newest file names the right player", 2, len(good)),
        counted("desks told what was wrong", 2, len(said)),
        counted("still wrong at desks", 0, len(still.at_desks)),
    )


def _put_right(space: Workspace, of: Match, caller: Caller) -> None:
    """The photographer corrects the entry."""
    log = log_of(space, of)
    goal = next(e for e in current(log) if e.kind is Kind.GOAL and e.how is How.OWN_GOAL)
    number = EntryId(len(log) + 1)
    right = _player(_RIGHT).id
    add_entries(
        space, of,
        [replace(goal, id=number, typed=caller.now(), person=right, supersedes=goal.id)],
    )  # fmt: skip


def _frame(planted: Planted) -> PlantedFrame:
    """The second sharpest of the celebration; the sharpest goes out with the set."""
    of = sorted(
        (f for f in planted.frames if f.passage == _PASSAGE and f.camera == "A" and not f.damaged),
        key=lambda f: f.soft_px,
    )
    return of[1]


def _player(number: int) -> Person:
    found = sheet().person(person_id(Side.HOME, number))
    if found is None:
        raise NotFound("the demo's sheet lacks a player", thing=str(number))
    return found
