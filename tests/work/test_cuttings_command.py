"""`setpiece cuttings` as it is typed."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
import simplejpeg

sys.path += [str(Path(__file__).parent), str(Path(__file__).parent.parent)]
from after_the_match import fit_clock, play, shoot
from typed_commands import run

from busy_pictures import busy
from setpiece.match.instants import Instant
from setpiece.store.matches import match_folder
from setpiece.store.workspace import Workspace


def jpeg(rgb: np.ndarray) -> bytes:
    return simplejpeg.encode_jpeg(np.ascontiguousarray(rgb), quality=90)


def test_a_cutting_is_found_shown_and_confirmed(
    space: Workspace, now: Instant, tmp_path: Path
) -> None:
    """Index, find, list, show, confirm and reject say what they did, in words and in JSON."""
    of = play(space, now)
    shoot(space, of, 1, "10:00")
    frame = match_folder(space, of) / "frames" / "A-100SPA" / "SPA_0001.JPG"
    frame.write_bytes(jpeg(busy(1, 900, 600)))
    fit_clock(space, of, now)
    home = space.folder
    assert "1 pictures can be found; 1 are new" in run(home, "cuttings", "index").out
    for name, number in (("mine.jpg", 1), ("theirs.jpg", 50)):
        (tmp_path / name).write_bytes(jpeg(busy(number, 900, 600)[::2, ::2]))
    mine, theirs = str(tmp_path / "mine.jpg"), str(tmp_path / "theirs.jpg")
    found = run(home, "cuttings", "find", mine, theirs, "--outlet", "Gazette")
    assert found.status == 0
    assert f"A-0001 in {of.folder}" in found.out
    assert "theirs.jpg: NOT MINE" in found.out
    assert "published: Gazette (typed)" in found.out
    assert "1 cutting to confirm" in run(home, "cuttings", "list").out
    told = json.loads(run(home, "cuttings", "list", "--all", "--json").out)
    assert [c["name"] for c in told] == ["mine.jpg", "theirs.jpg"]
    to = tmp_path / "compare.jpg"
    assert run(home, "cuttings", "show", "1", "--to", str(to)).status == 0
    assert simplejpeg.decode_jpeg(to.read_bytes()).ndim == 3
    asked = run(home, "cuttings", "confirm", "1")
    assert asked.status == 2
    assert "On which day?" in asked.err
    said = run(home, "cuttings", "confirm", "1", "--date", "2027-03-07")
    assert "Cutting 1 is confirmed: entry 1, 2027-03-07." in said.out
    assert "rejected" in run(home, "cuttings", "reject", "2", "--reason", "not mine").out
    assert "open again" in run(home, "cuttings", "reject", "2", "--undo").out
    assert run(home, "cuttings", "confirm", "7").status == 2


def test_a_folder_is_searched_as_json(tmp_path: Path) -> None:
    """With --archive a folder is searched, without a workspace, and files that fail are named."""
    (tmp_path / "archive").mkdir()
    for number in (1, 2):
        (tmp_path / "archive" / f"{number}.jpg").write_bytes(jpeg(busy(number, 900, 600)))
    cutting = tmp_path / "cutting.jpg"
    cutting.write_bytes(jpeg(busy(2, 900, 600)[50:550, 100:800]))
    (tmp_path / "no.jpg").write_bytes(b"nothing")
    archive = ("--archive", str(tmp_path / "archive"), "--json")
    made = json.loads(run(tmp_path, "cuttings", "index", *archive).out)
    assert (made["pictures"], made["troubles"]) == (2, [])
    ran = run(tmp_path, "cuttings", "find", str(cutting), str(tmp_path / "no.jpg"), *archive)
    assert ran.status == 1
    told = json.loads(ran.out)
    assert told["cuttings"][0]["found"][0]["sighting"]["name"] == "2.jpg"
    assert told["troubles"][0]["path"] == "no.jpg"
    assert told["limits"]["claim"] == 12
