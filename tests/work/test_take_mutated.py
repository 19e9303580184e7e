"""Broken files by the hundred through the whole of taking in: a report each time, never a crash.

Every batch is taken in by a process of its own, so that one that falls over or hangs is seen.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import frame_maker as made
import numpy as np
import pytest

sys.path.append(str(Path(__file__).resolve().parent.parent / "pictures"))

from damage import damaged

from setpiece.match.fixture import Fixture
from setpiece.match.instants import Instant
from setpiece.store.copying import PART, content_of
from setpiece.store.files import files_of
from setpiece.store.frames import frames_of
from setpiece.store.matches import add_fixture, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.demo.exif import tags_of, thumbnail, with_exif
from setpiece.work.demo.exposures import exposures

BATCH = 25
MOST_S_A_FILE = 10.0
"""A file that takes so long hangs: the slowest takes a second on a loaded machine."""

STARTING_S = 60.0


def xmp(document: bytes, picture: bytes) -> bytes:
    """The JPEG with that document where a camera keeps its XMP (XMP part 3, 1.1.3)."""
    body = b"http://ns.adobe.com/xap/1.0/\0" + document
    return picture[:2] + b"\xff\xe1" + (len(body) + 2).to_bytes(2, "big") + body + picture[2:]


def deep_xml(picture: bytes, dice: random.Random) -> bytes:
    """XMP of thousands of elements, each inside the one before, closed or not."""
    depth = dice.randrange(1000, 9000)
    return xmp(b"<a>" * depth + b"</a>" * (depth if dice.random() < 0.5 else 0), picture)


def odd_xml(picture: bytes, dice: random.Random) -> bytes:
    """XMP that swells by its own entities, or is no text at all."""
    swelling = b"".join(
        b'<!ENTITY e%d "%s">' % (n + 1, b"&e%d;" % n * 10) for n in range(dice.randrange(2, 9))
    )
    document = b'<!DOCTYPE x [<!ENTITY e0 "lol">' + swelling + b"]><x>&e2;</x>"
    return xmp(dice.choice((document, dice.randbytes(5000), b"<" * 60_000)), picture)


def huge_segment(picture: bytes, dice: random.Random) -> bytes:
    """A segment that says it is longer than the whole file, or of no length."""
    length = dice.choice((0, 1, 2, 0xFFFF))
    return picture[:2] + b"\xff\xe1" + length.to_bytes(2, "big") + picture[2:]


def huge_picture(picture: bytes, dice: random.Random) -> bytes:
    """A frame header that claims up to 65,535 pixels a side."""
    at = picture.find(b"\xff\xc0")
    size = dice.choice((b"\xff\xff\xff\xff", b"\x40\x00\x40\x00", b"\0\0\0\0", b"\xff\xff\0\x01"))
    return picture if at < 0 else picture[: at + 5] + size + picture[at + 9 :]


def zero_run(picture: bytes, dice: random.Random) -> bytes:
    """A long run of zeros, as a card leaves where a block was not written."""
    at, length = dice.randrange(len(picture)), dice.randrange(512, 65_536)
    return picture[:at] + bytes(min(length, len(picture) - at)) + picture[at + length :]


def nothing(picture: bytes, dice: random.Random) -> bytes:
    """An empty file."""
    return b""


def noise(picture: bytes, dice: random.Random) -> bytes:
    """Random bytes, sometimes behind the beginning of a picture."""
    return picture[: dice.choice((0, 2, 12, 600))] + dice.randbytes(dice.randrange(1, 20_000))


def doubled(picture: bytes, dice: random.Random) -> bytes:
    """The second half once more behind it, or another picture behind it."""
    return picture + picture[dice.choice((0, len(picture) // 2)) :]


def in_general(picture: bytes, dice: random.Random) -> bytes:
    """Cut, flipped, overwritten, shifted or lied about, up to three times."""
    return damaged(picture, np.random.default_rng(dice.randrange(1 << 30)))


HARM: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    deep_xml, odd_xml, huge_segment, huge_picture, zero_run, nothing, noise, doubled,
    *[in_general] * 8,
)  # fmt: skip
NAMES = ("JPG", "JPG", "JPG", "jpeg", "HIF", "NEF", "CR3", "CR2", "ARW", "RAF", "WAV", "XMP", "TXT")


def demo_pictures() -> list[bytes]:
    """JPEGs with the tags and the thumbnail of the demo's bodies."""
    pixels = np.random.default_rng(5).integers(0, 255, (360, 540, 3), dtype=np.uint8)
    small = thumbnail(pixels)
    chosen = exposures()[::40]
    return [with_exif(made.jpeg(9, 540, 360), tags_of(e, 540, 360, 1), small) for e in chosen]


def mutated(sources: list[bytes], count: int) -> Iterator[tuple[str, bytes]]:
    """So many broken files, each with a name that may say what it is not."""
    dice = random.Random(20270306)
    for number in range(count):
        data = HARM[dice.randrange(len(HARM))](dice.choice(sources), dice)
        yield f"OSP_{number % 10_000:04}.{dice.choice(NAMES)}", data


def taken_in(workspace: Path, card: Path) -> dict[str, Any]:
    """The report of a run over the card. Fails when the run falls over or hangs."""
    files = sum(1 for p in card.rglob("*") if p.is_file())
    ran = subprocess.run(
        [sys.executable, "-c", "from setpiece.cli.main import run; run()", "take", card, "--json"],
        cwd=workspace,
        capture_output=True,
        timeout=STARTING_S + MOST_S_A_FILE * files,
    )
    assert ran.returncode in (0, 1), (card, ran.returncode, ran.stderr.decode()[-2000:])
    assert b"Traceback" not in ran.stderr
    report: dict[str, Any] = json.loads(ran.stdout)
    return report


@pytest.mark.parametrize(
    "count",
    [pytest.param(100, id="short"), pytest.param(1000, id="long", marks=pytest.mark.slow)],
)
def test_broken_files_end_in_a_report(
    tmp_path: Path, open_data: Path, fixture: Fixture, now: Instant, count: int
) -> None:
    """Each file is in the workspace byte for byte and looked at, or named as left on the card or
    as a trouble; the cards are untouched, and nothing unfinished is left."""
    real = [p.read_bytes() for p in sorted((open_data / "camera-files").iterdir())
            if p.name != "README.md" and p.stat().st_size < 4_000_000]  # fmt: skip
    sources = [*real, *demo_pictures() * 3]
    space = Workspace.create(tmp_path / "workspace")
    of = add_fixture(space, fixture, now)
    on_cards: Counter[str] = Counter()
    named = 0
    for number, (name, data) in enumerate(mutated(sources, count)):
        made.put(tmp_path / f"card {number // BATCH}", name, data)
        on_cards[content_of(tmp_path / f"card {number // BATCH}" / "DCIM" / "100OSTR" / name)] += 1
    for card in sorted(tmp_path.glob("card *")):
        report = taken_in(space.folder, card)
        paths = {str(p): content_of(p) for p in card.rglob("*") if p.is_file()}
        left = [*report["left"], *(t["path"] for t in report["troubles"])]
        assert set(left) <= set(paths)
        named += len(left)
        here = {f.content for f in files_of(space, of)}
        assert {c for p, c in paths.items() if p not in left} <= here
    folder = match_folder(space, of)
    for stored in files_of(space, of):
        assert content_of(folder / stored.path) == stored.content
        assert stored.content in on_cards
    assert list(space.folder.rglob("*" + PART)) == []
    frames = frames_of(space, of)
    assert frames
    assert all(f.look for f in frames)
    assert {f.frame_id for f in files_of(space, of)} == {f.id for f in frames}
    assert named < count / 4
    space.close()


def test_everything_odd_at_once_is_reported(
    tmp_path: Path, open_data: Path, fixture: Fixture, now: Instant
) -> None:
    """Every real camera file beside links, a pipe, an empty and an unreadable file, names in other
    encodings, a file under a folder's name and FAT's two-second times: all pictures come in, all
    else is named, and a second run has nothing to do."""
    card, space = tmp_path / "card", Workspace.create(tmp_path / "workspace")
    of = add_fixture(space, fixture, now)
    pictures = [p for p in (open_data / "camera-files").iterdir() if p.name != "README.md"]
    for path in pictures:
        made.put(card, path.name, path.read_bytes(), after_s=1.5)
    folder = card / "DCIM" / "100OSTR"
    (folder / "EMPTY.JPG").write_bytes(b"")
    (folder / "README.TXT").write_text("no picture")
    (folder / "100OSTR.JPG").mkdir()
    odd = {"EMPTY.JPG"}
    if sys.platform == "linux":
        (folder / "LINK.JPG").symlink_to(pictures[0])
        (folder / "LOOP").symlink_to(card)
        os.mkfifo(folder / "PIPE.JPG")
        odd |= {"LINK.JPG", "LOOP", "PIPE.JPG"}
        for name in (
            b"S\xe9lection.JPG",
            b"\x83J\x83\x81\x83\x89.JPG",
            b"a\nb.JPG",
            b"x" * 251 + b".JPG",
        ):
            Path(os.fsdecode(os.fsencode(folder) + b"/" + name)).write_bytes(made.frame(len(name)))
    report = taken_in(space.folder, card)
    assert {Path(t["path"]).name for t in report["troubles"]} == odd
    assert [Path(p).name for p in report["left"]] == ["README.TXT"]
    wanted = {content_of(p) for p in card.rglob("*") if p.is_file() and p.stat().st_size
              and not p.is_symlink() and p.name != "README.TXT"}  # fmt: skip
    assert {f.content for f in files_of(space, of)} == wanted
    for stored in files_of(space, of):
        assert content_of(match_folder(space, of) / stored.path) == stored.content
    again = taken_in(space.folder, card)
    assert (again["copied"], again["known"]) == (0, len(wanted))
    space.close()
