"""`setpiece find` as it is typed."""

from __future__ import annotations

import json
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
from after_the_match import fit_clock, play, say, shoot
from typed_commands import run

from setpiece.match.instants import Instant
from setpiece.store.workspace import Workspace


def test_pictures_are_found_saved_and_exported(
    space: Workspace, now: Instant, tmp_path: Path
) -> None:
    """Words and filters, a slip that is said, a saved search, JSON and CSV."""
    of = play(space, now)
    frame = shoot(space, of, 1, "31:00", upright=True)
    fit_clock(space, of, now)
    text = "Signe Ørbeck celebrates by the corner flag."
    say(space, of, frame, now, headline="Lead", description=text, people=["Signe Ørbeck"])
    home = space.folder
    found = run(home, "find", "orbeck", "celebrates", "--upright", "--minute", "70-80")
    assert found.status == 0
    assert text in found.out
    assert "1 pictures, 1 shown." in found.out
    slip = run(home, "find", "celebartes", "--save", "joy")
    assert "nothing has celebartes: looked for celebrates" in slip.err
    assert "joy: celebartes" in run(home, "find", "--searches").out
    again = json.loads(run(home, "find", "--saved", "joy", "--json").out)
    assert [h["frame_id"] for h in again["hits"]] == [frame]
    file = tmp_path / "out.csv"
    assert run(home, "find", "--unused", "--csv", str(file)).status == 0
    assert "Signe Ørbeck" in file.read_text("utf-8")
    assert run(home, "find", "--drop", "joy").status == 0
    assert "0 pictures" in run(home, "find", "kangaroo", "--anew").out
    for wrong in (["--saved", "joy"], ["--since", "June"], ["--minute", "x"], ["--camera", "Z"]):
        assert run(home, "find", *wrong).status == 2, wrong
