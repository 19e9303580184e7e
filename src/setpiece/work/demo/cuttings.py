"""The demo's cuttings: pictures of the set as others published them, and five of strangers.

What is done to them is what happens on the way to a page: made small, cropped, printed in grey,
a line of text laid over, screened, photographed by telephone from a page.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import simplejpeg
from numpy.typing import NDArray

from setpiece.books.cuttings import Publication, State, Verdict
from setpiece.store.workspace import Workspace
from setpiece.work.cuttings.index import index_matches
from setpiece.work.cuttings.kept import Cutting, confirm, cuttings
from setpiece.work.cuttings.lookup import find_cuttings
from setpiece.work.demo.outcome import Row, counted
from setpiece.work.demo.planted import Planted, PlantedFrame
from setpiece.work.job import Caller

FOLDER = "cuttings"
STRANGERS = 5
OUTLET, DAY = "Talbote", "2027-03-06"

Pixels = NDArray[np.uint8]


def _small(picture: Pixels) -> Pixels:
    return _scaled(picture, 900)


def _cropped(picture: Pixels) -> Pixels:
    high, wide = picture.shape[:2]
    part = picture[int(high * 0.12) : int(high * 0.94), int(wide * 0.2) : int(wide * 0.9)]
    return _scaled(part, 1000)


def _grey(picture: Pixels) -> Pixels:
    grey = cv2.cvtColor(_scaled(picture, 1100), cv2.COLOR_RGB2GRAY)
    return _bytes(cv2.cvtColor(cv2.convertScaleAbs(grey, alpha=1.15, beta=-8), cv2.COLOR_GRAY2RGB))


def _lettered(picture: Pixels) -> Pixels:
    shown = _scaled(picture, 1100)
    high, wide = shown.shape[:2]
    cv2.rectangle(shown, (0, int(high * 0.84)), (wide, high), (20, 24, 60), -1)
    cv2.putText(shown, "LATE WINNER IN THE CUP", (int(wide * 0.04), int(high * 0.94)),
                cv2.FONT_HERSHEY_DUPLEX, 1.5, (245, 240, 225), 2, cv2.LINE_AA)  # fmt: skip
    return shown


def _screened(picture: Pixels) -> Pixels:
    """Printed in dots at 45 degrees and scanned again."""
    grey = cv2.cvtColor(_scaled(picture, 1400), cv2.COLOR_RGB2GRAY).astype(np.float32)
    y, x = np.indices(grey.shape, dtype=np.float32)
    cell = 5.0
    wave = np.sin((x + y) * np.pi / cell) * np.sin((x - y) * np.pi / cell)
    dots = np.where(grey > 127.5 + 100 * wave, 240, 40).astype(np.uint8)
    soft = cv2.GaussianBlur(dots, (0, 0), 1.6)
    return _bytes(cv2.cvtColor(soft, cv2.COLOR_GRAY2RGB))


def _by_telephone(picture: Pixels) -> Pixels:
    """On a page between lines of text, seen from the side, a little soft and noisy."""
    shown = _scaled(picture, 900)
    high, wide = shown.shape[:2]
    page = np.full((high + 560, wide + 200, 3), (236, 232, 220), dtype=np.uint8)
    for row in range(24):
        y = 40 + row * 14 if row < 8 else high + 210 + (row - 8) * 14
        page[y : y + 5, 100 : 100 + wide - (row * 37) % 90] = (60, 58, 55)
    page[180 : 180 + high, 100 : 100 + wide] = shown
    h, w = page.shape[:2]
    corners = np.array([[0, 0], [w, 0], [w, h], [0, h]], dtype=np.float32)
    seen = np.array([[80, 40], [w - 20, 110], [w - 90, h - 30], [10, h - 90]], dtype=np.float32)
    turned = cv2.warpPerspective(page, cv2.getPerspectiveTransform(corners, seen), (w, h),
                                 borderValue=(92, 84, 76))  # fmt: skip
    grain = np.random.default_rng(7).normal(0, 5, turned.shape)
    return _bytes(np.clip(cv2.GaussianBlur(turned, (0, 0), 0.9) + grain, 0, 255))


WAYS: tuple[tuple[str, str, Callable[[Pixels], Pixels], int], ...] = (
    ("joy-17", "small on the web", _small, 62),
    ("tackle-29", "cropped", _cropped, 80),
    ("penalty-68", "printed in grey", _grey, 55),
    ("joy-74", "text laid over", _lettered, 75),
    ("three-74", "screened for print", _screened, 85),
    ("full-time", "page by telephone", _by_telephone, 80),
)
"""Of which passage, under which name, what was done, and the JPEG's quality."""


def _scaled(picture: Pixels, long_side_px: int) -> Pixels:
    scale = long_side_px / max(picture.shape[:2])
    size = (round(picture.shape[1] * scale), round(picture.shape[0] * scale))
    return _bytes(cv2.resize(picture, size, interpolation=cv2.INTER_AREA))


def _bytes(picture: object) -> Pixels:
    return np.ascontiguousarray(np.asarray(picture, dtype=np.uint8))


def lay_cuttings(folder: Path, planted: Planted) -> dict[str, PlantedFrame]:
    """Writes the cuttings and the strangers' pictures; gives the frame behind each cutting."""
    folder.mkdir(parents=True, exist_ok=True)
    behind = {}
    for passage, name, way, quality in WAYS:
        frame = planted.best(passage)
        picture = simplejpeg.decode_jpeg(planted.path(frame).read_bytes(), colorspace="RGB")
        turns = {6: 3, 8: 1}.get(frame.orientation, 0)
        data = _jpeg(way(_bytes(np.rot90(picture, turns))), quality)
        (folder / f"{name}.jpg").write_bytes(data)
        behind[f"{name}.jpg"] = frame
    for number in range(STRANGERS):
        (folder / f"stranger {number + 1}.jpg").write_bytes(_jpeg(_stranger(number), 82))
    return behind


def _jpeg(picture: Pixels, quality: int) -> bytes:
    return bytes(simplejpeg.encode_jpeg(_bytes(picture), quality=quality, colorspace="RGB"))


def _stranger(number: int) -> Pixels:
    """A landscape that nobody at the match shot: sky, hills, houses, grain."""
    rng = np.random.default_rng([20270306, number])
    high, wide = 700, 1050
    sky = np.linspace(235 - 20 * number, 170, high)[:, None, None]
    picture = np.broadcast_to(sky * np.array([0.86, 0.93, 1.0]), (high, wide, 3)).copy()
    canvas = picture.astype(np.uint8)
    for hill in range(4):
        line = 300 + 80 * hill + np.cumsum(rng.normal(0, 2.4, wide))
        points = np.column_stack([np.arange(wide), line]).astype(np.int32)
        outline = np.vstack([points, [[wide, high], [0, high]]])
        green = (70 - 10 * hill, 120 - 14 * hill, 66)
        cv2.fillPoly(canvas, [outline.astype(np.int32)], green, cv2.LINE_AA)
    for _ in range(26):
        x, y = int(rng.integers(20, wide - 60)), int(rng.integers(330, high - 60))
        w, h = int(rng.integers(14, 46)), int(rng.integers(14, 40))
        wall = tuple(int(v) for v in rng.integers(120, 240, 3))
        cv2.rectangle(canvas, (x, y), (x + w, y + h), wall, -1)
        roof = np.array([[x - 3, y], [x + w // 2, y - h // 2], [x + w + 3, y]], dtype=np.int32)
        cv2.fillPoly(canvas, [roof], (120, 60, 48), cv2.LINE_AA)
    grain = rng.normal(0, 4, canvas.shape)
    return _bytes(np.clip(canvas + grain, 0, 255))


def recognise(
    folder: Path, space: Workspace, planted: Planted, names: dict[str, str], caller: Caller
) -> tuple[Row, ...]:
    """Looks every cutting up, confirms one, and holds the verdicts against what was planted."""
    behind = lay_cuttings(folder / FOLDER, planted)
    index_matches(space, caller)
    find_cuttings(space, [folder / FOLDER], caller, typed=Publication().typed_over(day=DAY))
    found = {c.name: c for c in cuttings(space)}
    passages = {names[f.id]: f.passage for f in planted.frames}
    right = [n for n, f in behind.items() if _right(found[n], names[f.id], passages)]
    strangers = [c for n, c in found.items() if n not in behind]
    claimed = [c for c in strangers if c.verdict is not Verdict.NOT_MINE]
    sure = [c for c in found.values() if c.verdict is Verdict.THIS_FRAME]
    if sure:
        confirm(space, sure[0].number, caller, desk="North", outlet=OUTLET, day=DAY,
                placement="page 31")  # fmt: skip
    confirmed = cuttings(space, State.CONFIRMED)
    return (
        counted("cuttings recognised", len(behind), len(right)),
        counted("pictures of strangers", STRANGERS, len(strangers)),
        counted("pictures of strangers taken for ours", 0, len(claimed)),
        counted("cuttings confirmed into the ledger", 1, len(confirmed)),
    )


def _right(found: Cutting, frame: str, passages: dict[str, str]) -> bool:
    """Whether it names the frame itself; where it says compare, one of the same passage will do."""
    if not found.found:
        return False
    name = found.found[0].sighting.name
    if found.verdict is Verdict.THIS_FRAME:
        return name == frame
    return passages.get(name) == passages[frame]
