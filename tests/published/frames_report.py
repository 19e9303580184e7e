"""The rows that the room of frames adds to the accuracy report.

Beside the published figures stand those that the project asks of itself, counted on planted
truth: clock cards drawn as a camera sees them, simulated days, the demo match, and real
photographs blurred by known amounts where the open data is at hand.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from test_clock_fit_against_derived_values import CHECKS as DERIVED
from test_clock_fit_against_drift_tables import CHECKS as DRIFT
from test_clock_fit_against_nist_norris import CHECKS as NORRIS
from test_clock_fit_against_telephone_data import CHECKS as TELEPHONE

TESTS = Path(__file__).resolve().parent.parent
OWN = "the project's own demand"
MORE = "at least that; more is better"

Row = tuple[str, str, str, float, float, float, str]


def report_rows() -> list[Row]:
    """Each check as (quantity, source, section, published, ours, tolerance, why)."""
    published = [
        (c.quantity, c.source, c.section, c.published, c.value(), c.tolerance, c.why)
        for c in (*NORRIS, *TELEPHONE, *DRIFT, *DERIVED)
    ]
    sys.path[:0] = [str(TESTS / "frames"), str(TESTS / "pictures")]
    return [*published, *_clocks(), *_passages(), *_sharpest()]


def _clocks() -> Iterator[Row]:
    from test_camera_clock import simulated_day
    from test_clock_card import seen

    random = np.random.default_rng(20270306)
    days = [simulated_day(random) for _ in range(500)]
    held = sum(within for within, _, _ in days) / len(days)
    frames = sum(right for _, _, right in days) / len(days)
    said = "simulated days, planted offsets"
    yield ("offset held on 500 days, share", OWN, said, 0.95, held, 0.05, MORE)
    yield ("frames' instants held on 500 days, share", OWN, said, 0.95, frames, 0.05, MORE)
    right, wrong = seen(100, 2)
    said = "100 drawn views: to 35 degrees, blur to 8 px, noise, JPEG, glare, changing codes"
    yield ("code of the clock card read right, share", OWN, said, 0.99, right, 0.01, MORE)
    yield ("code of the clock card read wrong", OWN, said, 0, len(wrong), 0, "never")


def _passages() -> Iterator[Row]:
    from test_passages_against_the_demo import agreement

    said = "pairs of frames of the demo match, 67 planted passages (our own drawing)"
    for name, options in (
        ("", {}),
        (", a pause of 4 s", {"gap_s": 4.0}),
        (", a pause of 12 s", {"gap_s": 12.0}),
        (", no clock fitted", {"fitted": False}),
    ):
        precision, recall = agreement(**options)
        yield (f"passages, precision{name}", OWN, said, 1, precision, 1, "reported")
        yield (f"passages, recall{name}", OWN, said, 1, recall, 1, "reported")


def _sharpest() -> Iterator[Row]:
    from blurred_photographs import PHOTOGRAPHS, ranked_right

    data = Path(os.environ.get("SETPIECE_OPEN_DATA", TESTS.parent.parent / "shared" / "data"))
    folder = data / "camera-files"
    if not folder.is_dir():
        return
    said = f"{len(PHOTOGRAPHS)} real photographs, four bursts each, crop, gain, grain, JPEG of each"
    for step_px, least, why in ((0.8, 0.95, MORE), (0.4, 0.9, "reported")):
        first, pairs = ranked_right(lambda n: (folder / n).read_bytes(), step_px, 4, 7)
        for name, share in (("sharpest first", first), ("neighbours ranked right", pairs)):
            yield (f"{name}, {step_px} px apart, share", OWN, said, least, share, 1 - least, why)
