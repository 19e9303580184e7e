"""The rows that the room of captions adds to the accuracy report."""

from __future__ import annotations

import os
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent / "captions" / "helpers"))
sys.path.append(str(Path(__file__).parent.parent / "captions" / "oracle"))

import golden
import test_captions_against_the_oracle as oracle

from setpiece.work.style_files import load_acts

ROOT = Path(__file__).resolve().parent.parent.parent
ORACLE = "an oracle that shares no code with the package, over 12 matches"
OPEN = "openfootball, World Cups 2018 and 2002 (CC0), the demo and an invented cup tie"
OWN = "the project's own demand"
NONE = "a wrong fact in print is never tolerated"
SHARE = "more would teach the photographer to overlook findings"


def report_rows() -> list[tuple[str, str, str, float, float, float, str]]:
    """Each figure as (quantity, source, section, published, ours, tolerance, why).

    `published` is what is demanded; a share of false alarms may be as high as its tolerance.
    """
    data = Path(os.environ.get("SETPIECE_OPEN_DATA", ROOT.parent / "shared" / "data"))
    rows: list[tuple[str, str, str, float, float, float, str]] = []
    acts = load_acts()
    rows.append(("acts in English", OWN, "at least 70", 70, len(acts.acts), 1000, "more is better"))
    german = sum(1 for a in acts.acts if a in acts.languages["de"].wordings)
    rows.append(("acts in German", OWN, "at least 30", 30, german, 1000, "more is better"))
    count = len(golden.GOLDEN)
    rows.append(("golden lines, each with a wrong twin", OWN, "at least 60", 60, count, 1000,
                 "more is better"))  # fmt: skip
    if not data.is_dir():
        return rows
    made, typed, planted = oracle.composed(data), oracle.typed(data), oracle.planted(data)
    found = sum(planted.found.values()) / sum(planted.planted.values())
    rows += [
        (f"wrong facts in {made.captions} captions", ORACLE, OPEN, 0, len(made.wrong), 0, NONE),
        ("valid lines refused", ORACLE, OPEN, 0, len(made.refused), 0, NONE),
        (f"planted errors found, share of {sum(planted.planted.values())} of "
         f"{len(planted.planted)} kinds", OWN, OPEN, 1.0, found, 0, NONE),
        ("false errors, share of clean captions", OWN, OPEN, 0,
         len(made.false_errors) / made.captions, 0.005, SHARE),
        ("doubts, share of clean captions", OWN, OPEN, 0, made.doubted / made.captions, 0.05,
         SHARE),
        ("false errors, share of true texts typed by hand", OWN, OPEN, 0,
         len(typed.false_errors) / typed.captions, 0.005, SHARE),
        ("doubts, share of true texts typed by hand", OWN, OPEN, 0,
         typed.doubted / typed.captions, 0.05, SHARE),
    ]  # fmt: skip
    return rows
