"""`setpiece archive` as it is typed: from the first root to the workspace made again."""

from __future__ import annotations

import json
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
from after_the_match import fit_clock, play, shoot
from typed_commands import run

from setpiece.match.instants import Instant
from setpiece.store.workspace import Workspace


def test_a_match_goes_to_two_drives_and_comes_back(
    space: Workspace, now: Instant, tmp_path: Path
) -> None:
    """Roots, archive, state, a flipped bit found and repaired, and the database made again."""
    of = play(space, now)
    shoot(space, of, 1, "30:00")
    fit_clock(space, of, now)
    home, a, b = space.folder, tmp_path / "a", tmp_path / "b"
    for folder in (a, b):
        folder.mkdir()
    assert run(home, "archive", "match").status == 2
    assert "kept elsewhere" in run(home, "archive", "root", str(b), "--elsewhere").out
    done = run(home, "archive", "match", str(a), str(b))
    assert (done.status, done.err) == (0, "")
    assert "1 copied now" in done.out
    state = run(home, "archive", "state")
    assert (state.status, "lacking: a copy on another drive" in state.out) == (1, True)
    picture = a / of.folder / "data/frames/A-100SPA/SPA_0001.JPG"
    picture.write_bytes(picture.read_bytes()[:-1] + b"?")
    found = run(home, "archive", "verify")
    assert found.status == 1
    assert "SPA_0001.JPG differs from its hash" in found.err
    mended = run(home, "archive", "verify", "--repair", "--json")
    repaired = [path for item in json.loads(mended.out) for path in item["repaired"]]
    assert (mended.status, len(repaired)) == (0, 1)
    assert run(home, "archive", "verify", str(tmp_path)).status == 2
    space.close()
    new = tmp_path / "new"
    made = run(tmp_path, "archive", "rebuild", str(a), "--files", "--workspace", str(new))
    assert (made.status, "1 matches" in made.out) == (0, True)
    assert (new / of.folder / "frames/A-100SPA/SPA_0001.JPG").is_file()
    assert run(new, "fixture", "show").status == 0
    assert "Next" not in run(new, "archive", "state").out
    assert run(new, "archive", "forget", str(b)).status == 0
    assert run(new, "archive", "forget", str(b)).status == 2
