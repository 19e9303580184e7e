"""The trial of cuttings: every attack on every picture, neighbours alone, and strangers.

`python tests/published/cutting_trial.py [PART [MOST]]` tries everything, or one part of it with so
many pictures, and writes `cutting_results.json`, which docs/accuracy.md prints. Pictures fall into
two halves by their names: thresholds were chosen on the first, and the second is reported.
"""

from __future__ import annotations

import json
import sys
import tempfile
import zlib
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import cv2
import numpy as np
from cutting_attacks import ATTACKS, Attack, web
from cutting_pictures import Pixels, Shot, bursts, photographs, something_moved, strangers

from setpiece.books.cuttings import Verdict
from setpiece.match.instants import instant
from setpiece.pictures.opening import opened_picture
from setpiece.store.picture_index import open_index
from setpiece.store.picture_points import PointStore
from setpiece.work.cuttings.index import FOLDER_OF_PICTURES, INDEX, index_folder
from setpiece.work.cuttings.recognising import Recogniser, Sighting
from setpiece.work.job import Unattended

RESULTS = Path(__file__).with_name("cutting_results.json")
NOBODY = Unattended(instant(datetime(2027, 3, 6, 14, 0, tzinfo=UTC)))
STRANGERS = 3000
FEATURELESS = frozenset({"Storm", "sunset_by_Aitzol_Berasategi"})
"""Photographs with almost nothing to recognise: counted apart, as no match looks like them."""

CLAIMS = (Verdict.THIS_FRAME, Verdict.SAME_MOMENT)
NEIGHBOURED = ("web size", "tint", "crop to half")


def half_of(name: str) -> int:
    """The half a picture falls into: 0 to choose by, 1 to report."""
    return zlib.crc32(name.encode()) % 2


@contextmanager
def archive_of(pictures: Mapping[str, Pixels]) -> Iterator[Recogniser]:
    """A recogniser over a folder of these pictures."""
    with tempfile.TemporaryDirectory(prefix="setpiece-cuttings-") as made:
        folder = Path(made)
        for name, rgb in pictures.items():
            bgr = cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR)
            cv2.imwrite(str(folder / f"{name}.jpg"), bgr, [cv2.IMWRITE_JPEG_QUALITY, 93])
        index_folder(folder, NOBODY)
        place = folder / FOLDER_OF_PICTURES
        store = PointStore(place)
        try:
            yield Recogniser(
                open_index(place / INDEX),
                store,
                lambda kept: opened_picture((folder / kept.place).read_bytes()),
            )
        finally:
            store.close()


def best_of(found: tuple[Sighting, ...]) -> tuple[Verdict, str]:
    """The verdict on a cutting and the picture it names."""
    return (found[0].verdict, Path(found[0].name).stem) if found else (Verdict.NOT_MINE, "")


def recalled(
    recogniser: Recogniser, pictures: Iterable[tuple[str, str, Pixels]], attacks: Iterable[str]
) -> dict[str, Counter[str]]:
    """By attack: how many were tried, found (picture or burst), claimed wrongly, named exactly.

    Each picture is its name, its burst (or its name again) and its pixels.
    """
    told: dict[str, Counter[str]] = defaultdict(Counter)
    for name, burst, rgb in pictures:
        for attack in attacks:
            chance = np.random.default_rng(zlib.crc32(f"{name} {attack}".encode()))
            verdict, named = best_of(recogniser.look(ATTACKS[attack][0](rgb, chance)))
            right = named == name or named.rsplit("-", 1)[0] == burst
            count = told[attack]
            count["tried"] += 1
            count["found"] += right and verdict in CLAIMS
            count["exact"] += named == name
            count["this frame"] += verdict is Verdict.THIS_FRAME
            count["wrong"] += not right and verdict in CLAIMS
            count["wrong frame"] += named != name and verdict is Verdict.THIS_FRAME
    return dict(told)


def neighbours(made: Iterable[list[Shot]], attacks: Iterable[str]) -> Counter[str]:
    """Cuttings of frames whose burst has one other frame in the archive, the middle one.

    Counts cases and *this frame* where something moved between the two, and where nothing did.
    """
    shots = list(made)
    archived = {burst[len(burst) // 2].burst: burst[len(burst) // 2] for burst in shots}
    count: Counter[str] = Counter()
    with archive_of({f"{s.burst}-{s.number}": s.rgb for s in archived.values()}) as recogniser:
        for burst in shots:
            for shot in burst:
                kept = archived[shot.burst]
                if shot is kept:
                    continue
                kind = "moved" if something_moved(shot, kept) else "still"
                for attack in attacks:
                    seed = zlib.crc32(f"{shot.burst}-{shot.number} {attack}".encode())
                    cutting = ATTACKS[attack][0](shot.rgb, np.random.default_rng(seed))
                    verdict, _ = best_of(recogniser.look(cutting))
                    half = half_of(shot.burst)
                    count[f"{kind} {half}"] += 1
                    count[f"{kind} {half} {verdict.value}"] += 1
    return count


def claimed(
    recogniser: Recogniser, unrelated: Iterable[tuple[str, Pixels]], attack: Attack = web
) -> Counter[str]:
    """Verdicts on pictures that are not of the archive, as they appear on a page of the web."""
    count: Counter[str] = Counter()
    for name, rgb in unrelated:
        cutting = attack(rgb, np.random.default_rng(zlib.crc32(name.encode())))
        verdict, named = best_of(recogniser.look(cutting))
        half = half_of(name)
        count[f"{half}"] += 1
        count[f"{half} {verdict.value}"] += 1
        if verdict in CLAIMS:
            print("claimed:", name, verdict.value, named, flush=True)
    return count


def tried_strangers(most: int) -> dict[str, int]:
    """Strangers against the photographs, and against a burst for every fifty strangers."""
    photos = photographs()
    shots = {f"{s.burst}-{s.number}": s.rgb for burst in bursts(most // 50) for s in burst}
    with archive_of(shots | photos) as recogniser:
        return dict(claimed(recogniser, strangers(most, photos)))


def tried_attacks(most: int) -> dict[str, dict[str, dict[str, int]]]:
    """Every attack on the first frame of so many bursts and on as many photographs, by halves."""
    photos = {n: rgb for n, rgb in photographs().items() if n not in FEATURELESS}
    drawn = bursts(most)
    shots = {f"{s.burst}-{s.number}": s.rgb for burst in drawn for s in burst}
    pictures = [(f"{b[0].burst}-0", b[0].burst, b[0].rgb) for b in drawn]
    pictures += [(n, n, rgb) for n, rgb in list(photos.items())[:: -(-len(photos) // most)]]
    with archive_of(shots | photos) as recogniser:
        return {
            str(half): {
                attack: dict(count)
                for attack, count in recalled(
                    recogniser, [p for p in pictures if half_of(p[1]) == half], ATTACKS
                ).items()
            }
            for half in (0, 1)
        }


def tried_neighbours(most: int) -> dict[str, int]:
    """So many bursts, each with its middle frame alone in the archive."""
    return dict(neighbours(bursts(most), NEIGHBOURED))


PARTS = {
    "strangers": (tried_strangers, STRANGERS),
    "attacks": (tried_attacks, 80),
    "neighbours": (tried_neighbours, 80),
}
"""What is tried, and how many of it in the long form."""


def run(part: str, most: int | None = None) -> None:
    """Tries one part and writes what it gave beside the others'."""
    trial, whole = PARTS[part]
    told = {"most": most or whole, "told": trial(most or whole)}
    known = json.loads(RESULTS.read_text("utf-8")) if RESULTS.exists() else {}
    written = json.dumps(known | {part: told}, indent=1, sort_keys=True) + "\n"
    RESULTS.write_text(written, encoding="utf-8")
    print(part, told, flush=True)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        run(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else None)
    else:
        for name in PARTS:
            run(name)
