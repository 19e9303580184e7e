"""The demo after the match: the kicks told, the ledger, the debrief, the archive."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from setpiece.match.entries import Entry, How, Kind
from setpiece.match.instants import instant
from setpiece.store.archive import Root
from setpiece.store.bag import PAYLOAD
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.archive.keep import archive_match, bag_folder, set_root
from setpiece.work.archive.verify import verify
from setpiece.work.debrief.kicks import KickTold, mark, tell_kick
from setpiece.work.debrief.page import write_debrief
from setpiece.work.demo.cuttings import recognise
from setpiece.work.demo.exposures import Exposure, exposures, take_of
from setpiece.work.demo.ledger import keep_books
from setpiece.work.demo.outcome import Row, counted
from setpiece.work.demo.planted import Planted
from setpiece.work.demo.scenario import ENDS
from setpiece.work.demo.working import Demo, Worked
from setpiece.work.matchday import Matchday

LATER_S = 3 * 3600.0
"""How long after full time the photographer sits down to it."""

ROOTS = ("archive/at home", "archive/elsewhere")
FLIPPED = 3
SOLD = "joy-45"
FREE_KICK = KickTold("near", (-2.0, 21.0), "West End, right", 27.0)
PENALTY = KickTold("far", None, "West End, left", 28.0)


def after_the_match(
    demo: Demo, space: Workspace, of: Match, earlier: tuple[Match, ...], planted: Planted,
    worked: Worked,
) -> None:  # fmt: skip
    """Does it all and adds its rows to the demo's."""
    demo.caller.wait_until(instant(ENDS[2] + timedelta(seconds=LATER_S)))
    with demo.step("ledger, statement, invoice"):
        sold = next(
            worked.names[f.id] for f in planted.frames
            if f.passage == SOLD and f.sharpest and f.camera == "A"
        )  # fmt: skip
        demo.rows += keep_books(demo.folder, space, of, earlier, sold, demo.caller)
    with demo.step("cuttings"):
        demo.rows += recognise(demo.folder, space, planted, worked.names, demo.caller)
    with demo.step("debrief"):
        demo.rows += _debrief(space, of, planted, worked)
    with demo.step("archive, and its scrub"):
        demo.rows += _archive(demo, space, (*earlier, of))


def _debrief(space: Workspace, of: Match, planted: Planted, worked: Worked) -> tuple[Row, ...]:
    """Marks the frames that hold ball and kicker, as drawn, and writes the page."""
    held = [e.id for e in exposures() if _holds_both(e)]
    day = Matchday(space, of)
    for entry in day.fold.entries:
        if _is_free_kick(entry):
            tell_kick(space, of, entry.id, FREE_KICK)
        elif entry.kind is Kind.PENALTY_SAVED:
            tell_kick(space, of, entry.id, PENALTY)
    mark(space, of, [worked.names[i] for i in held])
    written = write_debrief(space, of)
    facts = written.debrief.facts
    kick = next(k for k in facts.kicks if k.kind == "free kick")
    wrong = [c.now for c in facts.corrections]
    return (
        counted("frames that hold ball and kicker of the free kick", len(held), kick.got or 0),
        counted("findings of the debrief", 3, len(written.debrief.findings)),
        counted("corrections that it tells of", 1, len(wrong)),
        counted("earlier matches beside it", 3, len(facts.earlier)),
    )


def _is_free_kick(entry: Entry) -> bool:
    return entry.kind is Kind.GOAL and entry.how is How.FREE_KICK


def _holds_both(exposure: Exposure) -> bool:
    """Whether the drawing of the free kick holds the ball in flight, and so the kicker too."""
    if exposure.passage != "free-kick" or exposure.camera != "A":
        return False
    ball, after_s = take_of(exposure).ball, exposure.moment.after_s
    return ball is not None and ball.moved_s(after_s) > 0 and abs(ball.across_at(after_s)) < 0.5


def _archive(demo: Demo, space: Workspace, matches: tuple[Match, ...]) -> tuple[Row, ...]:
    """Archives every match in two roots, harms some files of one, and lets the scrub mend them."""
    roots = []
    for name in ROOTS:
        place = demo.folder / name
        place.mkdir(parents=True)
        roots.append(set_root(space, place, demo.caller.now(), elsewhere="elsewhere" in name))
    done = [a for m in matches for a in archive_match(space, m, roots, demo.caller)]
    whole = {(a.root, a.match) for a in done if not a.why and not a.troubles}
    harmed = _flip(roots[0], matches[0])
    scrubbed = verify(space, roots, demo.caller, repair=True)
    again = verify(space, roots, demo.caller, only=matches[0])
    return (
        counted("matches archived, in two places each", 2 * len(matches),
                sum(1 for _, name in whole if name in {m.folder for m in matches})),
        counted("archived files harmed by one bit, and found", harmed,
                sum(len(s.harmed) for s in scrubbed)),
        counted("mended from the other place", harmed, sum(len(s.repaired) for s in scrubbed)),
        counted("harmed after that", 0, sum(len(s.harmed) for s in again)),
    )  # fmt: skip


def _flip(root: Root, of: Match) -> int:
    """Turns one bit in the middle of some of a match's files."""
    payload = bag_folder(root, of.folder) / PAYLOAD
    files = sorted(p for p in payload.rglob("*.JPG") if p.is_file())[:FLIPPED]
    for path in files:
        _flip_in(path)
    return len(files)


def _flip_in(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 0x10
    path.chmod(0o644)
    path.write_bytes(data)
