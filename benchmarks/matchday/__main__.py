"""A whole match day, simulated, with one line a verdict; see docs/reliability.md.

Run: python -m benchmarks.matchday [--quick | --short] [--in FOLDER]. Exit status 1 when a truth
fails; a missed target is only told. A full disk needs root on Linux, and is left out elsewhere.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
import tempfile
from pathlib import Path

from benchmarks.matchday.hand import NeverCame
from benchmarks.matchday.operator import browser
from benchmarks.matchday.run import NoRoom, run
from benchmarks.matchday.script import FULL, QUICK, SHORT


def main() -> int:
    """Plays the day and prints its verdicts."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--quick", action="store_true", help="halves of 8 minutes, 70 frames each")
    options.add_argument("--short", action="store_true", help="halves of 2 minutes, small frames")
    options.add_argument("--in", dest="place", type=Path, help="a folder with room for the day")
    given = options.parse_args()
    form = SHORT if given.short else QUICK if given.quick else FULL
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {load:.1f} at the start")
    with tempfile.TemporaryDirectory(dir=given.place) as name, browser() as started:
        try:
            verdicts = run(form, Path(name), started)
        except (NeverCame, NoRoom) as error:
            print(f"FALSE   the day could not be played to its end: {error}")
            return 1
    for verdict in verdicts:
        print(verdict.line)
    return int(any(v.truth and not v.holds for v in verdicts))


if __name__ == "__main__":
    sys.exit(main())
