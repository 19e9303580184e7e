"""Makes the drawings of docs/planning.md with the commands that the page shows.

python docs/plan/draw.py
"""

from __future__ import annotations

import sys
from pathlib import Path

from setpiece.cli.plan import app

HERE = Path(__file__).parent
GROUND = ("--ground", str(HERE.parents[1] / "src/setpiece/work/demo/ground.toml"))
LENSES = ("--lens", "400/2.8", "--lens", "70-200/2.8", "--lens", "24-70/4")
DAY = ("--date", "2027-03-06", "--kick-off", "15:30")

# File name, and the words that are typed after `setpiece plan`.
DRAWINGS: dict[str, tuple[str, ...]] = {
    "seat.svg": ("seat", *GROUND, *LENSES),
    "seats.svg": ("seat", *GROUND, *LENSES, "--compare"),
    "penalty.svg": ("penalty", *GROUND, "--focal", "200", "--shutter", "1/1600"),
    "penalty-far.svg": (
        *("penalty", *GROUND, "--focal", "400", "--orientation", "portrait", "--end", "far"),
        *("--shutter", "1/1600"),
    ),
    "free-kick.svg": (
        *("penalty", *GROUND, "--focal", "135", "--kind", "free-kick", "--from", "6,22"),
        *("--speed", "26", "--shutter", "1/1600"),
    ),
    "header.svg": (
        *("penalty", *GROUND, "--focal", "70", "--kind", "header", "--speed", "12"),
        *("--shutter", "1/1600"),
    ),
    "lens.svg": ("lens", "--lens", "400/2.8"),
    "light.svg": ("light", *GROUND, *DAY),
    "exposure.svg": ("exposure", *GROUND, *LENSES),
}


def main(folder: Path = HERE) -> None:
    """Writes every drawing into a folder."""
    for name, words in DRAWINGS.items():
        app([*words, "--json", "--svg", str(folder / name)], standalone_mode=False)


if __name__ == "__main__":
    sys.stdout = sys.stderr  # the figures are not wanted here
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
