"""One day from the empty workspace to its verdicts."""

from __future__ import annotations

import shutil
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchmarks.matchday.cameras import Cards, Drawings
from benchmarks.matchday.debrief_truth import debrief_truths
from benchmarks.matchday.desks import STYLES, BadLink, Desks, two_desks
from benchmarks.matchday.hand import Hand, NeverCame
from benchmarks.matchday.laptop import Disk, Laptop, small_disk
from benchmarks.matchday.operator import Operator
from benchmarks.matchday.phone import Phone
from benchmarks.matchday.script import Clock, Day, Form
from benchmarks.matchday.targets import delivery_lines, memory, wait_lines
from benchmarks.matchday.verdict import Outcome, Verdict, file_at_desk, read_desk, truths
from setpiece.match.instants import Instant
from setpiece.store.delivery import TO_GO, State
from setpiece.store.delivery import Kind as Sent
from setpiece.store.matches import Match, add_fixture, add_sheet
from setpiece.store.outbox import deliveries
from setpiece.store.workspace import Workspace
from setpiece.work.debrief.page import write_debrief
from setpiece.work.demo import scenario
from setpiece.work.matchday import Matchday
from setpiece.work.settings import Settings, write_settings

MOST_GB = 20.0
LAST_BYTES_S = 180.0
"""Of ours: so long what is in the outbox may take once the link is good."""


class NoRoom(Exception):
    """The day does not fit on this disk."""


def needed_gb(form: Form, frame_bytes: int) -> float:
    """Cards, workspace with previews and the set, in gigabytes."""
    previews = 450_000 if form.size_px[0] > 2000 else 60_000
    frames = 3 * form.frames_each
    return (frames * (2 * frame_bytes + previews) + 2 * form.captions * 2_000_000) / 1e9


def run(form: Form, scratch: Path, browser: Any) -> list[Verdict]:
    """Plays the day in that folder and gives its verdicts; prints the figures as it goes."""
    drawings = Drawings(form)
    frame_bytes = len(drawings.jpeg(0))
    wanted, free = needed_gb(form, frame_bytes), shutil.disk_usage(scratch).free / 1e9
    width, height = form.size_px
    print(
        f"{form.name}: 3 cards, {form.frames_each} frames each, {width * height / 1e6:.1f} "
        f"megapixels, {frame_bytes / 1e6:.2f} MB; up to {wanted:.1f} GB of {free:.0f} GB free"
    )
    if wanted > MOST_GB or wanted * 1.2 > free:
        raise NoRoom(f"the day needs {wanted:.1f} GB, {free:.1f} GB are free")
    day = Day(form)
    clock = Clock(day.begins, form.speed)
    with ExitStack() as stack:
        image = scratch / "disk.img"
        disk = stack.enter_context(small_disk(scratch / "laptop", image, form.disk_mb))
        if disk.why_not:
            print(f"not tried: a full disk ({disk.why_not})")
        desks = stack.enter_context(two_desks(scratch / "desks", clock))
        space = Workspace.create(disk.place / "workspace")
        stack.callback(space.close)
        of, secrets = _prepared(space, day, clock, desks)
        laptop = Laptop(space.folder, clock, secrets, scratch / "server.log")
        stack.callback(laptop.stop)
        return list(_played(_World(day, clock, drawings, desks, laptop, disk, scratch), space, of,
                            browser))  # fmt: skip


def _prepared(
    space: Workspace, day: Day, clock: Clock, desks: Desks
) -> tuple[Match, dict[str, str]]:
    """The fixture, its sheet, the photographer and the desks; gives the desks' passwords."""
    of = add_fixture(space, day.fixture, clock.now())
    add_sheet(space, of, scenario.sheet(), clock.now())
    write_settings(space, Settings("Ida Fenwright"))
    return of, desks.add_to(space, clock)


@dataclass(frozen=True)
class _World:
    """All that stands around the product on the day."""

    day: Day
    clock: Clock
    drawings: Drawings
    desks: Desks
    laptop: Laptop
    disk: Disk
    scratch: Path


def _played(world: _World, space: Workspace, of: Match, browser: Any) -> Iterator[Verdict]:
    """The day itself; then what came of it."""
    clock, began = world.clock, time.monotonic()
    world.laptop.start()
    cards = Cards(world.day, world.drawings, clock, world.scratch / "cards")
    link = BadLink(world.desks, clock)
    phone = Phone(world.day, clock, world.laptop.port, of.folder)
    phone.pair()

    def at_desks(frames: Iterable[str]) -> bool:
        had = Counter(d.frame_id for d in deliveries(space, of) if d.state is State.DELIVERED)
        return all(had[f] >= len(STYLES) for f in frames)

    operator = Operator(world.day, clock, world.laptop, world.disk, str(cards.folder),
                        Hand(browser, world.disk.told), of.folder, at_desks)  # fmt: skip
    for thread in (cards, link, phone):
        thread.start()
    _work(operator, link, phone, cards)
    came = _received(world, space, of)
    world.laptop.stop()
    print(f"played in {time.monotonic() - began:.0f} s at {clock.speed:g} times speed; cards "
          f"written up to {cards.behind_s:.0f} s late, the operator up to "
          f"{operator.notes.late_s:.0f} s behind the script (of the day)")  # fmt: skip
    _tell(operator, phone, link)
    for line in wait_lines(operator.hand.waits):
        print(line)
    outcome = Outcome(
        world.day, operator.notes, Matchday(space, of),
        {name: read_desk(world.desks.files(name)) for name in world.desks.servers},
        cards.written, came,
    )  # fmt: skip
    for line in delivery_lines(outcome):
        print(line)
    yield from truths(outcome)
    yield from debrief_truths(outcome, write_debrief(space, of).debrief)
    yield Verdict("no error of the page's script", "; ".join(operator.hand.trouble) or "none",
                  not operator.hand.trouble)  # fmt: skip
    yield from memory(world.laptop.lives)


def _work(operator: Operator, link: BadLink, phone: Phone, cards: Cards) -> None:
    """The match, and the night after it."""
    try:
        operator.work()
    except NeverCame:
        _tell(operator, phone, link)
        _raise_first(phone.trouble, cards.trouble)
        raise
    finally:
        link.good()
    phone.join(LAST_BYTES_S)
    operator.night()
    cards.night()
    operator.after_midnight()
    cards.join(LAST_BYTES_S)
    _raise_first(phone.trouble, cards.trouble)


def _raise_first(*troubles: BaseException | None) -> None:
    for trouble in troubles:
        if trouble is not None:
            raise trouble


def _received(world: _World, space: Workspace, of: Match) -> dict[str, dict[str, Instant]]:
    """Waits until nothing is to go any more; when the last byte of each picture came."""
    until = time.monotonic() + LAST_BYTES_S
    while any(d.state in TO_GO for d in deliveries(space, of)) and time.monotonic() < until:
        time.sleep(0.5)
    came: dict[str, dict[str, Instant]] = {name: {} for name in world.desks.servers}
    for item in deliveries(space, of):
        if item.state is not State.DELIVERED or item.kind is not Sent.PICTURE:
            continue
        path = world.desks.files(item.desk).get(file_at_desk(item))
        if path is not None:
            came[item.desk][item.frame_id] = world.clock.at(path.stat().st_mtime)
    return came


def _tell(operator: Operator, phone: Phone, link: BadLink) -> None:
    """What was met, for whoever reads the figures."""
    rates = Counter("none" if r is None else f"{r:g}" for r in link.turns)
    print(f"link: {len(link.turns)} turns, Mbit/s (none: every connection reset): "
          + ", ".join(f"{n} x {r}" for r, n in rates.most_common()))  # fmt: skip
    heard = phone.heard
    print(
        f"phone: {heard.unreachable} tries out of reach, {heard.sent_twice} keys sent twice, "
        f"{len(heard.wrong)} refused {'; '.join(heard.wrong[:3])}".rstrip()
    )
    for said in [*operator.notes.troubles, *Counter(operator.notes.refusals)]:
        print(f"the operator was told: {said}")
