"""Taking in: listing, copying, looking, against named floors in the same run.

Run: python -m benchmarks.take_in [--quick]. Pictures of 20 megapixels and 8 MB are drawn here.

Floors: a bare copy reads a file, hashes it (xxh3-128), writes it and flushes it (fsync). A bare
decode is libjpeg-turbo's at 1/8 scale in grey, the least that a picture's decoding costs.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from time import perf_counter, process_time

import simplejpeg
import xxhash

from benchmarks.card_files import HEIGHT_PX, WIDTH_PX, Drawn
from setpiece.match.instants import Instant, instant
from setpiece.store import copying
from setpiece.store.copying import Part, Unproved
from setpiece.store.matches import Match, match_folder, match_without_fixture
from setpiece.store.workspace import Workspace
from setpiece.work.intake import carrying
from setpiece.work.intake.cards import read_cards
from setpiece.work.intake.carrying import Carried, Carrying
from setpiece.work.intake.first_listing import list_cards
from setpiece.work.intake.look import previews
from setpiece.work.intake.shelving import Shelving
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended

LISTING_TARGET_S = 5.0
"""CPU for the first listing of 3,000 frames."""

COPY_TARGET, PROVED_TARGET, ALL_TARGET, CORES_TARGET = 1.10, 1.6, 1.7, 0.65
MEMORY_TARGET_MB = 600
FLAT_TARGET = 1.2
"""Cost per frame of 10,000 beside that of 500 (our own reading of *flat*)."""

NOW = instant(datetime(2027, 3, 6, 16, 0, tzinfo=UTC))


@contextmanager
def new_match(folder: Path) -> Iterator[tuple[Workspace, Match]]:
    """An empty workspace with a match."""
    space = Workspace.create(folder)
    try:
        yield space, match_without_fixture(space, "2027-03-06", NOW)
    finally:
        space.close()


def say(what: str, value: float, target: float, unit: str, floor: str) -> None:
    """One figure beside its target."""
    verdict = "holds" if value <= target else "MISSED"
    print(f"{what:58} {value:8.2f} {unit:3} target {target:g} {unit:3} {verdict:7} {floor}")


def listing(drawn: Drawn, folder: Path, frames: int) -> None:
    """CPU of the first listing, for 3,000 frames."""
    card = drawn.hollow_card(folder / "listed", frames)
    with new_match(folder / "listing") as (space, _):
        previews(space).mkdir()
        began = process_time()
        found = list_cards(read_cards([card]), (), previews(space), Unattended(NOW), prove=False)
        spent_s = process_time() - began
        pictures = len(list(previews(space).iterdir()))
    assert len(found.files) == frames == pictures
    of_3000 = spent_s * 3000 / frames
    say("first listing, CPU for 3,000 frames", of_3000, LISTING_TARGET_S, "s", f"({frames} listed)")


def bare_copy(source: Path, target: Path) -> None:
    """The floor of copying."""
    digest = xxhash.xxh3_128()
    with source.open("rb", buffering=0) as read, target.open("wb", buffering=0) as written:
        while chunk := read.read(1 << 20):
            digest.update(chunk)
            written.write(chunk)
        os.fsync(written.fileno())


def bare_decode(jpeg: bytes) -> None:
    """The floor of looking."""
    simplejpeg.decode_jpeg(jpeg, "GRAY", min_width=WIDTH_PX // 8, min_height=HEIGHT_PX // 8)


def copies(drawn: Drawn, folder: Path, frames: int, rounds: int) -> None:
    """Wall time of copying, with and without reading back, beside bare copies in between."""
    card = drawn.card(folder / "copied", frames)
    files = sorted(card.rglob("*.JPG"))
    spent = {"bare": [], "without": [], "proved": []}  # type: dict[str, list[float]]
    for number in range(rounds):
        place = folder / f"bare {number}"
        place.mkdir()
        spent["bare"].append(
            timed(lambda p=place: [bare_copy(f, p / f.name) for f in files])  # type: ignore[misc]
        )
        shutil.rmtree(place)  # else the system's cache fills, and finding room in it is timed too
        for kind in ("without", "proved"):
            with new_match(folder / f"{kind} {number}") as (space, of):
                with reading_back(kind == "proved"):
                    spent[kind].append(timed(lambda s=space, o=of: carry(s, o, card)))  # type: ignore[misc]
            shutil.rmtree(space.folder)
    floor_s = min(spent["bare"])
    floor = f"(floor {floor_s / frames * 1e3:.1f} ms a frame)"
    say("copy, hash, metadata, note: wall over a bare copy",
        min(spent["without"]) / floor_s, COPY_TARGET, "x", floor)  # fmt: skip
    say("the same and read back from the disk",
        min(spent["proved"]) / floor_s, PROVED_TARGET, "x", floor)  # fmt: skip


def carry(space: Workspace, of: Match, card: Path) -> None:
    """What taking in does until every file is noted; frames and looks are left out."""
    found = list_cards(read_cards([card]), (), previews(space), Unattended(NOW), prove=False)
    folder = match_folder(space, of)
    shelf = Shelving(space, of, folder, NOW, (), prove=False)
    with Carrying(found.files, folder / "frames") as carrying:
        for outcome in carrying.outcomes():
            if isinstance(outcome, Carried):
                shelf.put(outcome)
            shelf.flush(NOW, all_of_it=outcome is None)
    shelf.flush(NOW)
    assert shelf.noted == len(found.files)


@contextmanager
def reading_back(wanted: bool) -> Iterator[None]:
    """Leaves the reading back of copies out, to see what it costs."""
    real = carrying.prove_part  # type: ignore[attr-defined, assignment]
    if not wanted:
        carrying.prove_part = flushed  # type: ignore[attr-defined, assignment]
    try:
        yield
    finally:
        carrying.prove_part = real  # type: ignore[attr-defined, assignment]


def flushed(unproved: Unproved, *, kept_bytes: int) -> Part:
    """A copy flushed to the disk, of which only the beginning is read again."""
    with unproved.stream as stream:
        copying._flush(stream.fileno())
    with unproved.path.open("rb") as stream:
        beginning = stream.read(kept_bytes)
    return Part(unproved.path, unproved.content, unproved.size, beginning)


def timed(work: Callable[[], object]) -> float:
    """Wall seconds."""
    if hasattr(os, "sync"):
        os.sync()
    began = perf_counter()
    work()
    return perf_counter() - began


def everything(drawn: Drawn, folder: Path, frames: int) -> None:
    """CPU of all that taking in does over copying and a bare decode; two cores beside one."""
    card = drawn.card(folder / "whole", frames)
    files = sorted(card.rglob("*.JPG"))
    place = folder / "bare whole"
    place.mkdir()
    floors, ours, one, two = [], [], [], []
    for number in range(2):
        began = process_time()
        for file in files:
            bare_copy(file, place / file.name)
            bare_decode(file.read_bytes())
        floors.append(process_time() - began)
        alone = in_a_process(card, folder / f"one {number}", cores=1)
        both = in_a_process(card, folder / f"two {number}", cores=2)
        ours += [alone["cpu_s"], both["cpu_s"]]
        one.append(alone["wall_s"])
        two.append(both["wall_s"])
    floor_s = min(floors)
    say("everything: CPU over bare copy and 1/8 grey decode", min(ours) / floor_s, ALL_TARGET, "x",
        f"(floor {floor_s / frames * 1e3:.0f} ms a frame)")  # fmt: skip
    say("everything: wall on two cores over one", min(two) / min(one), CORES_TARGET, "x",
        f"(one core {min(one) / frames * 1e3:.0f} ms a frame)")  # fmt: skip
    say("peak memory", both["peak_mb"], MEMORY_TARGET_MB, "MB", f"({frames} frames)")


def flat(folder: Path, few: int, many: int) -> None:
    """Cost per frame and peak memory of many small frames beside few."""
    drawn = Drawn(600, 400, 40_000)
    cost = {}
    for frames in (few, many):
        card = drawn.card(folder / f"small {frames}", frames)
        ran = in_a_process(card, folder / f"of {frames}", cores=2)
        cost[frames] = ran["cpu_s"] / frames * 1e3
        say(f"peak memory, {frames} small frames", ran["peak_mb"], MEMORY_TARGET_MB, "MB", "")
    say(f"CPU a frame, {many} small frames over {few}", cost[many] / cost[few], FLAT_TARGET, "x",
        f"(floor {cost[few]:.1f} ms a frame)")  # fmt: skip


def in_a_process(card: Path, space: Path, *, cores: int) -> dict[str, float]:
    """Takes a card in, in a process of its own on so many cores."""
    command = [sys.executable, "-m", "benchmarks.take_in", "--one", str(card), str(space)]
    command += ["--cores", str(cores)]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    answer: dict[str, float] = json.loads(ran.stdout)
    return answer


def one_run(card: Path, folder: Path, cores: int) -> None:
    """What `in_a_process` runs."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:cores])
    with new_match(folder) as (space, of):
        began, wall = process_time(), perf_counter()
        report = take_in(space, of, [card], Watch())
        spent = {"cpu_s": process_time() - began, "wall_s": perf_counter() - wall}
    assert report.copied == len(list(card.rglob("*.JPG")))
    print(json.dumps(spent | {"peak_mb": peak_mb()}))


class Watch(Unattended):
    """A caller for whom it is always the same time."""

    def __init__(self) -> None:
        super().__init__(Instant(NOW))


def peak_mb() -> float:
    """The most memory this process ever held; 0 where the system does not tell.

    Not `getrusage`: Linux counts there what the process was forked from as well.
    """
    try:
        status = Path("/proc/self/status").read_text("ascii")
    except OSError:
        return 0.0
    return int(status.partition("VmHWM:")[2].split()[0]) / 1e3


def main() -> None:
    """Prints every figure beside its target."""
    options = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    options.add_argument("--quick", action="store_true", help="a tenth of the frames")
    options.add_argument("--flat", nargs=2, type=int, help="only so few small frames, so many")
    options.add_argument("--one", nargs=2, type=Path, help=argparse.SUPPRESS)
    options.add_argument("--cores", type=int, default=2, help=argparse.SUPPRESS)
    said = options.parse_args()
    if said.one:
        one_run(*said.one, said.cores)
        return
    quick = said.quick
    with tempfile.TemporaryDirectory(prefix="take-in-") as name:
        folder = Path(name)
        if said.flat:
            flat(folder, *said.flat)
            return
        drawn = Drawn()
        print(f"pictures of {WIDTH_PX} x {HEIGHT_PX} px, {len(drawn.jpeg) / 1e6:.1f} MB")
        listing(drawn, folder, 300 if quick else 3000)
        copies(drawn, folder, 12 if quick else 40, 8)
        everything(drawn, folder, 24 if quick else 60)
        flat(folder, *((100, 500) if quick else (500, 10_000)))


if __name__ == "__main__":
    main()
