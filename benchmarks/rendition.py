"""What a rendition costs at 20 megapixels, against decoding it once and encoding it once.

The floor in the same run: a full decode (simplejpeg, strict as everywhere) and one encode of the
picture at the size the desk gets (libvips, the same quality). Rounds alternate; the ratio is the
median of the rounds'. One thread, as a sender in the background has.

Run: python -m benchmarks.rendition
"""

from __future__ import annotations

import os

os.environ["VIPS_CONCURRENCY"] = "1"

import statistics
import sys
from collections.abc import Callable
from time import process_time

import numpy as np
import pyvips
import simplejpeg

from setpiece.captions.fields import PictureFields
from setpiece.pictures.iptc import write_fields
from setpiece.pictures.kind import PictureKind
from setpiece.pictures.rendition import Edit, Recipe, render

WIDTH_PX, HEIGHT_PX = 5472, 3648
LONG_SIDE_PX, QUALITY, ROUNDS = 3500, 85, 7
TARGETS = {"plain": 2.0, "cropped": 2.0, "straightened": 2.0, "to a number of bytes": 3.0}


def scene() -> bytes:
    """20 megapixels with the detail of a photograph: broad shapes, edges and some noise."""
    dice = np.random.default_rng(20)
    small = dice.integers(0, 255, (57, 86, 3), dtype=np.uint8)
    shapes = np.kron(small, np.ones((64, 64, 1), dtype=np.uint8))[:HEIGHT_PX, :WIDTH_PX]
    grain = dice.normal(0, 6, (HEIGHT_PX, WIDTH_PX, 1))
    pixels = np.clip(shapes.astype(np.float32) * 0.6 + 40 + grain, 0, 255).astype(np.uint8)
    return bytes(simplejpeg.encode_jpeg(np.ascontiguousarray(pixels), quality=92))


def floor(data: bytes, final: pyvips.Image) -> None:
    """One full decode and one encode."""
    simplejpeg.decode_jpeg(data, "RGB", strict=True)
    final.jpegsave_buffer(Q=QUALITY)


def timed(run: Callable[[], object]) -> float:
    """Seconds of processor time it takes: one thread, so also the time on a machine at rest."""
    began = process_time()
    run()
    return process_time() - began


def main() -> bool:
    """Prints a line a kind; true when every target is met."""
    data = scene()
    whole = render(data, PictureKind.JPEG, Edit(), Recipe(LONG_SIDE_PX, QUALITY))
    final = pyvips.Image.new_from_buffer(whole, "").copy_memory()
    half = len(whole) // 2
    print(f"original {len(data) / 1e6:.1f} MB, rendition {len(whole) / 1e6:.1f} MB")
    kinds: dict[str, tuple[Edit, Recipe]] = {
        "plain": (Edit(), Recipe(LONG_SIDE_PX, QUALITY)),
        "cropped": (Edit((0.05, 0.05, 0.9, 0.9)), Recipe(LONG_SIDE_PX, QUALITY)),
        "straightened": (Edit(None, 1.5), Recipe(LONG_SIDE_PX, QUALITY)),
        "to a number of bytes": (Edit(), Recipe(LONG_SIDE_PX, QUALITY, half)),
    }
    good = True
    for name, (edit, recipe) in kinds.items():
        ratios, ours = [], []
        for _ in range(ROUNDS):
            least_s = timed(lambda: floor(data, final))
            ours.append(timed(lambda: make(data, edit, recipe)))  # noqa: B023
            ratios.append(ours[-1] / least_s)
        ratio, target = statistics.median(ratios), TARGETS[name]
        good &= ratio <= target
        print(
            f"{name:24} {statistics.median(ours) * 1000:6.0f} ms  ratio {ratio:4.2f}  "
            f"target {target:.0f}  {'met' if ratio <= target else 'MISSED'}"
        )
    return good


def make(data: bytes, edit: Edit, recipe: Recipe) -> bytes:
    """A rendition as it goes to a desk, its caption written in."""
    jpeg = render(data, PictureKind.JPEG, edit, recipe)
    return write_fields(jpeg, PictureFields(headline="A headline"), original=data)


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
