"""The main job on the demo match, from the cards to the desk, held against what was planted."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import xxhash

from setpiece.captions.findings import Level
from setpiece.errors import WrongUse
from setpiece.match.sheet_exchange import write_sheet_json
from setpiece.pictures.iptc import read_fields
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.passwords import variable
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries, add_fixture
from setpiece.store.outbox import State, deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.before.sheets import import_sheet
from setpiece.work.caption import check_frames, retype, write_caption
from setpiece.work.demo import scenario
from setpiece.work.demo.afterwards import after_the_match
from setpiece.work.demo.cards import make_cards
from setpiece.work.demo.correction import FOLDER, as_first_logged
from setpiece.work.demo.cuttings import FOLDER as CUTTINGS
from setpiece.work.demo.desk_server import USER, DeskServer, desk_server
from setpiece.work.demo.earlier import work_earlier
from setpiece.work.demo.ground_time import AtTheGround
from setpiece.work.demo.ledger import STATEMENT
from setpiece.work.demo.lines import planted_errors
from setpiece.work.demo.outcome import Outcome, Row, counted, within
from setpiece.work.demo.planning import plan_the_demo
from setpiece.work.demo.planted import Planted, PlantedFrame
from setpiece.work.demo.working import DESK, Demo, Worked, work_the_match
from setpiece.work.desk.deliver import queue_set, send_waiting
from setpiece.work.desk.desks import Desk, add_desk
from setpiece.work.intake.look import look_at_new
from setpiece.work.intake.take import take_in
from setpiece.work.matchday import Matchday
from setpiece.work.settings import Settings, write_settings

PHOTOGRAPHER = "Ida Marlow"
STYLE = "north"

PARTS = ("cards", "cards of earlier matches", "workspace", "desk", FOLDER, "archive", CUTTINGS)
"""The folders that a run makes."""

CODES = {
    "a player who was not on the pitch at that minute": "not where the act needs her",
    "a score that the log does not give": "score not the log's",
    "a head coach called manager": "role title not the club's",
    "a name that differs from the sheet": "name not as on the sheet",
    "a field longer than its limit": "over-long field",
}
"""The check's code for each mistake that was planted."""


def run_demo(folder: Path, caller: AtTheGround) -> Outcome:
    """Draws the cards, makes a workspace beside them and does the main job in it.

    `folder` must be new or empty. Raises what the jobs raise.
    """
    if folder.exists() and any(folder.iterdir()):
        raise WrongUse(
            "the demo needs a new folder",
            thing=str(folder),
            next_step="Name another one, or remove this one.",
        )
    demo = Demo(folder, caller)
    with demo.step("draw the cards"):
        planted = make_cards(
            folder / "cards",
            workers=min(4, os.cpu_count() or 1),
            progress=lambda done, total: caller.progress(done, total, "Drawing the demo's cards"),
        )
    space = Workspace.create(folder / "workspace")
    try:
        write_settings(space, Settings(PHOTOGRAPHER, STYLE))
        with desk_server(folder / "desk") as server:
            os.environ[variable(DESK)] = server.password
            address = DeskAddress(Protocol.FTP, host="127.0.0.1", port=server.port, user=USER)
            add_desk(space, Desk(DESK, address, STYLE), caller)
            with demo.step("three earlier matches"):
                earlier = work_earlier(folder / "cards of earlier matches", space, DESK, caller)
            of = _prepare(demo, space)
            worked = work_the_match(demo, space, of, planted)
            _took(demo, space, of, planted, worked)
            _places(demo, space, of, planted, worked.names)
            demo.rows += worked.corrected
            _captions(demo, space, of, planted, worked)
            _deliver(demo, space, of, server, worked)
            del os.environ[variable(DESK)]
        after_the_match(demo, space, of, earlier, planted, worked)
    finally:
        space.close()
    return Outcome(tuple(demo.rows), demo.timings)


def _prepare(demo: Demo, space: Workspace) -> Match:
    with demo.step("fixture, sheet, log"):
        demo.caller.move_to(scenario.at(1, "-45:00"))
        of = add_fixture(space, scenario.fixture(), demo.caller.now())
        done = import_sheet(space, of, write_sheet_json(scenario.sheet()), ".json", "", demo.caller)
        plan_the_demo(space, of, demo.caller)
        entries = add_entries(space, of, as_first_logged(scenario.log_lines()))
    demo.rows += [
        counted("people on the sheet", len(scenario.sheet().people), done.people),
        counted("entries in the log", len(scenario.EVENTS), len(entries)),
    ]
    return of


def _took(demo: Demo, space: Workspace, of: Match, planted: Planted, worked: Worked) -> None:
    with demo.step("look at frames"):
        damaged = look_at_new(space, of, demo.caller)
    with demo.step("take in again"):
        again = take_in(space, of, planted.sources, demo.caller)
    demo.rows += [
        counted("files copied and proved", len(planted.files), worked.copied),
        counted("files copied by a second run", 0, again.copied),
        counted("frames taken in", len(planted.frames), worked.frames),
        counted("damaged", len(planted.damaged), damaged),
        counted("not taken", 0, worked.troubles + len(again.troubles)),
    ]
    clocks = {c.serial: c for c in worked.clocks}
    for body in planted.bodies:
        clock = clocks.get(body.serial)
        if clock is None or clock.fit is None:
            demo.rows.append(Row(f"clock of {body.model}", f"{body.offset_s}", "none", False))
            continue
        most = 0.15 if body.sub_second_digits else 0.6
        demo.rows.append(
            within(f"clock of {body.model}, fast by", body.offset_s, clock.fit.offset_s, most, "s")
        )


def _places(
    demo: Demo, space: Workspace, of: Match, planted: Planted, names: dict[str, str]
) -> None:
    with demo.step("place, passages, sharpest"):
        day = Matchday(space, of)
        whole = [f for f in planted.frames if not f.damaged]
        minutes = [f for f in whole if _agrees(day, f, names, "label")]
        scores = [f for f in planted.frames if _agrees(day, f, names, "score")]
        found = {frozenset(p.frame_ids) for p in day.passages}
        wanted = {
            frozenset(names[f.id] for f in planted.frames if f.passage == p)
            for p in planted.passages
        }
        sharpest = [f for f in whole if f.sharpest and day.ranks[names[f.id]].rank == 1]
    demo.rows += [
        counted("frames placed at their minute", len(whole), len(minutes)),
        counted("frames at their score", len(planted.frames), len(scores)),
        counted("passages", len(wanted), len(found & wanted)),
        counted("passages that are none", 0, len(found - wanted)),
        counted("sharpest frame found", sum(f.sharpest for f in whole), len(sharpest)),
    ]


def _agrees(day: Matchday, frame: PlantedFrame, names: dict[str, str], what: str) -> bool:
    """Whether the planted fact is among what the place holds possible, and first where sure."""
    place = day.places[names[frame.id]]
    shown = day.fold.pins(names[frame.id])
    made = day.fold.score_made_by(shown) if shown is not None else None
    if what == "score" and made is not None:
        return made == frame.score
    truth = getattr(frame, what)
    possible = [getattr(state, what) for state in (place.state, *place.states)]
    return bool(possible[0] == truth or (place.doubts and truth in possible))


def _captions(demo: Demo, space: Workspace, of: Match, planted: Planted, worked: Worked) -> None:
    """Writes the captions with planted mistakes, and holds what the check finds against them."""
    errors, names = planted_errors(planted), worked.names
    with demo.step("caption"):
        for error in errors:
            frame = names[error.frame]
            line = error.line or "r coach reacts"
            write_caption(space, of, frame, line, demo.caller)
            if error.description:
                retype(space, of, frame, demo.caller, description=error.description)
            elif error.field:
                retype(space, of, frame, demo.caller, **{error.field: error.value})
            decide(space, of, frame, Decision.USE)
    with demo.step("check"):
        checked = check_frames(Matchday(space, of))
    found = {
        (w.frame_id, f.code) for w in checked for f in w.findings if f.level is not Level.REMARK
    }
    wanted = {(names[e.frame], CODES[e.finding]) for e in errors}
    others = "; ".join(sorted(code for _, code in found - wanted))
    demo.rows += [
        counted("captions that say what they must", worked.captions, worked.right),
        counted("planted findings", len(wanted), len(wanted & found)),
        Row("findings that were not planted", "0", others or "0", not others),
    ]


def _deliver(demo: Demo, space: Workspace, of: Match, server: DeskServer, worked: Worked) -> None:
    """Queues the whole set: what has a mistake is kept back, the rest is at the desk already."""
    with demo.step("send again"):
        queued = queue_set(space, of, [DESK], demo.caller)
        again = send_waiting(space, of, demo.caller)
    sent_here = [d for d in deliveries(space, of) if d.desk == DESK]
    items = [d for d in sent_here if d.state is State.DELIVERED]
    arrived = {
        d.remote_name: (server.folder / d.remote_name).read_bytes()
        for d in items
        if (server.folder / d.remote_name).is_file()
    }
    whole = [d for d in items if xxhash.xxh3_128_hexdigest(arrived[d.remote_name]) == d.content]
    day = Matchday(space, of)
    right = [
        d
        for d in items
        if read_fields(arrived[d.remote_name]).description
        == day.captions[d.frame_id].caption.fields.description
    ]
    good = sum(1 for f in day.frames.values() if f.decision is Decision.USE) - len(CODES)
    demo.rows += [
        counted("pictures kept back by the check", len(CODES), len(queued.left_out)),
        counted("pictures delivered", good, worked.delivered),
        counted("files at the desk", good, len(arrived)),
        counted("files there that are whole", good, len(whole)),
        counted("files that hold their caption", good, len(right)),
        counted("sent by a second run", 0, again.delivered),
    ]


def remove_demo(folder: Path) -> None:
    """Removes an earlier demo: what a run makes, and nothing else."""
    (folder / STATEMENT).unlink(missing_ok=True)
    for name in PARTS:
        part = folder / name
        if part.is_dir():
            for path in part.rglob("*"):
                if path.is_file():
                    path.chmod(0o644)
            shutil.rmtree(part)
