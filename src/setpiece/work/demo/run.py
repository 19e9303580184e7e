"""The main job on the demo match, from the cards to the desk, held against what was planted."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from time import perf_counter

import xxhash

from setpiece.captions.findings import Level
from setpiece.errors import WrongUse
from setpiece.match.entries import Entry, EntryId, current
from setpiece.match.sheet_exchange import write_sheet_json
from setpiece.pictures.iptc import read_fields
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.send.passwords import variable
from setpiece.store.frames import Decision, decide
from setpiece.store.matches import Match, add_entries, add_fixture
from setpiece.store.outbox import State, deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.caption import check_frames, retype, write_caption
from setpiece.work.clocks import fit_clocks
from setpiece.work.deliver import queue_set, send_waiting
from setpiece.work.demo import scenario
from setpiece.work.demo.cards import make_cards
from setpiece.work.demo.correction import FOLDER, as_first_logged, correct_the_scorer
from setpiece.work.demo.desk_server import USER, desk_server
from setpiece.work.demo.lines import DemoLine, demo_lines, planted_errors
from setpiece.work.demo.outcome import Outcome, Row, Timing, counted, within
from setpiece.work.demo.planted import Planted, PlantedFrame
from setpiece.work.desks import Desk, add_desk
from setpiece.work.job import Caller
from setpiece.work.look import look_at_new
from setpiece.work.matchday import Matchday
from setpiece.work.settings import Settings, write_settings
from setpiece.work.sheets import import_sheet
from setpiece.work.take import take_in

PHOTOGRAPHER = "Ida Marlow"
DESK = "North"
STYLE = "north"

CODES = {
    "a player who was not on the pitch at that minute": "not where the act needs her",
    "a score that the log does not give": "score not the log's",
    "a head coach called manager": "role title not the club's",
    "a name that differs from the sheet": "name not as on the sheet",
    "a field longer than its limit": "over-long field",
}
"""The check's code for each mistake that was planted."""


class Demo:
    """One run: the workspace it makes, what is planted on its cards, what it has found so far."""

    def __init__(self, folder: Path, caller: Caller) -> None:
        self.folder = folder
        self.caller = caller
        self.rows: list[Row] = []
        self.timings: list[Timing] = []

    @contextmanager
    def step(self, name: str) -> Iterator[None]:
        """Times one step."""
        began = perf_counter()
        yield
        self.timings.append(Timing(name, perf_counter() - began))


def run_demo(folder: Path, caller: Caller) -> Outcome:
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
        of = _prepare(demo, space)
        _take(demo, space, of, planted)
        _clocks(demo, space, of, planted)
        names = _pin(demo, space, of, planted)
        _places(demo, space, of, planted, names)
        with demo.step("correct a wrong scorer"):
            demo.rows += correct_the_scorer(folder, space, of, planted, names, caller)
        _captions(demo, space, of, planted, names)
        _deliver(demo, space, of)
    finally:
        space.close()
    return Outcome(tuple(demo.rows), tuple(demo.timings))


def _prepare(demo: Demo, space: Workspace) -> Match:
    with demo.step("fixture, sheet, log"):
        now = demo.caller.now()
        write_settings(space, Settings(PHOTOGRAPHER, STYLE))
        of = add_fixture(space, scenario.fixture(), now)
        done = import_sheet(space, of, write_sheet_json(scenario.sheet()), ".json", "", demo.caller)
        entries = add_entries(space, of, as_first_logged(scenario.log_lines()))
    demo.rows += [
        counted("people on the sheet", len(scenario.sheet().people), done.people),
        counted("entries in the log", len(scenario.EVENTS), len(entries)),
    ]
    return of


def _take(demo: Demo, space: Workspace, of: Match, planted: Planted) -> None:
    with demo.step("take in"):
        report = take_in(space, of, planted.sources, demo.caller)
    with demo.step("look at frames"):
        damaged = look_at_new(space, of, demo.caller)
    with demo.step("take in again"):
        again = take_in(space, of, planted.sources, demo.caller)
    demo.rows += [
        counted("files copied and proved", len(planted.files), report.copied),
        counted("files copied by a second run", 0, again.copied),
        counted("frames taken in", len(planted.frames), report.frames),
        counted("damaged", len(planted.damaged), damaged),
        counted("not taken", 0, len(report.troubles)),
    ]


def _clocks(demo: Demo, space: Workspace, of: Match, planted: Planted) -> None:
    with demo.step("fit clocks"):
        clocks = {c.serial: c for c in fit_clocks(space, of, demo.caller)}
    for body in planted.bodies:
        clock = clocks.get(body.serial)
        if clock is None or clock.fit is None:
            demo.rows.append(Row(f"clock of {body.model}", f"{body.offset_s}", "none", False))
            continue
        most = 0.15 if body.sub_second_digits else 0.6
        demo.rows.append(
            within(f"clock of {body.model}, fast by", body.offset_s, clock.fit.offset_s, most, "s")
        )


def _pin(demo: Demo, space: Workspace, of: Match, planted: Planted) -> dict[str, str]:
    """Pins entries to the frames that show them, as one key does; gives frame ids by plan."""
    with demo.step("pin entries to frames"):
        day = Matchday(space, of)
        by_source = {f.source: f.frame_id for f in day.files if f.frame_id}
        names = {f.id: by_source[str(planted.path(f))] for f in planted.frames}
        standing = {e.id: e for e in current(day.log)}
        log = list(day.log)
        for pin in planted.pins:
            entry = standing[_newest(pin.entry, log)]
            frame = names[pin.frame]
            log += add_entries(
                space,
                of,
                [
                    replace(
                        entry,
                        id=EntryId(len(log) + 1),
                        typed=demo.caller.now(),
                        happened=day.times[frame],
                        supersedes=entry.id,
                        frame=frame,
                    )
                ],
            )
    return names


def _newest(entry: EntryId, log: Sequence[Entry]) -> EntryId:
    """The entry that stands in place of this one now."""
    for later in log:
        if later.supersedes == entry:
            return _newest(later.id, log)
    return entry


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


def _captions(
    demo: Demo, space: Workspace, of: Match, planted: Planted, names: dict[str, str]
) -> None:
    lines, errors = demo_lines(planted), planted_errors(planted)
    with demo.step("caption"):
        good = [_caption(demo, space, of, line, names) for line in lines]
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
        counted("captions that say what they must", len(lines), sum(good)),
        counted("planted findings", len(wanted), len(wanted & found)),
        Row("findings that were not planted", "0", others or "0", not others),
    ]


def _caption(
    demo: Demo, space: Workspace, of: Match, line: DemoLine, names: dict[str, str]
) -> bool:
    """Writes one caption, takes its frame into the set, and says whether its facts are right."""
    written = write_caption(space, of, names[line.frame], line.line, demo.caller)
    decide(space, of, written.frame_id, Decision.USE)
    facts, fields = written.caption.facts, written.caption.fields
    people = {fact.person for fact in facts.people}
    return (
        set(line.people) <= people
        and facts.score in (None, line.score)
        and all(words in fields.description for words in line.says)
    )


def _deliver(demo: Demo, space: Workspace, of: Match) -> None:
    with desk_server(demo.folder / "desk") as server:
        os.environ[variable(DESK)] = server.password
        address = DeskAddress(Protocol.FTP, host="127.0.0.1", port=server.port, user=USER)
        add_desk(space, Desk(DESK, address, STYLE), demo.caller)
        with demo.step("make renditions"):
            queued = queue_set(space, of, [DESK], demo.caller)
        with demo.step("send"):
            sent = send_waiting(space, of, demo.caller)
        with demo.step("send again"):
            queue_set(space, of, [DESK], demo.caller)
            again = send_waiting(space, of, demo.caller)
        sent_here = [d for d in deliveries(space, of) if d.desk == DESK]
        items = [d for d in sent_here if d.state is State.DELIVERED]
        arrived = {p.name: p.read_bytes() for p in server.folder.iterdir()}
        del os.environ[variable(DESK)]
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
        counted("pictures delivered", good, sent.delivered),
        counted("files at the desk", good, len(arrived)),
        counted("files there that are whole", good, len(whole)),
        counted("files that hold their caption", good, len(right)),
        counted("sent by a second run", 0, again.delivered),
    ]


def remove_demo(folder: Path) -> None:
    """Removes an earlier demo: the four folders that a run makes, and nothing else."""
    for name in ("cards", "workspace", "desk", FOLDER):
        part = folder / name
        if part.is_dir():
            for path in part.rglob("*"):
                if path.is_file():
                    path.chmod(0o644)
            shutil.rmtree(part)
