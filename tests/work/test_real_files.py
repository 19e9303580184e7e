"""Every real camera file, from the card to a desk, with ExifTool as the independent reader."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from setpiece.match.instants import Instant, Interval, instant
from setpiece.match.people import SidePeople, TeamSheet
from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.copying import content_of
from setpiece.store.frames import type_time
from setpiece.store.matches import add_fixture, add_sheet
from setpiece.store.workspace import Workspace
from setpiece.work.caption import write_caption
from setpiece.work.demo import scenario
from setpiece.work.desk.deliver import send_waiting
from setpiece.work.desk.desks import Desk, add_desk
from setpiece.work.desk.queueing import queue_set
from setpiece.work.intake.look import look_at_new
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday
from setpiece.work.settings import Settings, write_settings

CUT_OUT = {
    "CanonRaw.cr2", "CanonRaw.cr3", "DNG.dng", "FujiFilm.raf", "Nikon.nef", "Panasonic.rw2",
}  # fmt: skip
"""Raw files whose picture data was cut out (shared data, README)."""

CUT_SHORT = {"User_Comment_Encoding.jpg"}
"""A picture whose end is missing in the shared data: half a picture is not sent."""

FILES = 23
LINE = "general view"


@pytest.mark.published
def test_every_real_file_is_kept_captioned_and_delivered_or_said_why(
    space: Workspace, open_data: Path, need_tool: Callable[[str], str], tmp_path: Path, now: Instant
) -> None:
    """Originals stay as they were; each picture is delivered with its caption as ExifTool reads
    it; a file without a picture inside is named with the reason."""
    exiftool = need_tool("exiftool")
    source = open_data / "camera-files"
    caller = Unattended(now)
    write_settings(space, Settings("Ida Marlow", "north"))
    of = add_fixture(space, replace(scenario.fixture(), city="Lethenbruck"), now)
    add_sheet(space, of, TeamSheet(SidePeople("SK Lethenbruck", "Lethenbruck"),
                                   SidePeople("TSV Marnstein", "Marnstein")), now)  # fmt: skip
    report = take_in(space, of, [source], caller)
    look_at_new(space, of, caller)
    assert (report.copied, report.frames, len(report.troubles)) == (FILES, FILES, 0)
    _same_bytes(space.folder / of.folder / "frames", source)

    desk = tmp_path / "desk"
    desk.mkdir()
    add_desk(space, Desk("City", DeskAddress(Protocol.FOLDER, path=desk), "north"), caller)
    day = Matchday(space, of)
    at_the_match = instant(day.fixture.kick_off + timedelta(hours=-1))
    for frame in day.frames:  # frames of other years: when they were made is typed
        type_time(space, of, frame, Interval.around(at_the_match, 30))
        write_caption(space, of, frame, LINE, caller)
    names = {f.frame_id: f.name for f in day.files}
    queued = queue_set(space, of, ["City"], caller, frames=list(day.frames))
    left = {names[day.frame(n.frame).id]: " ".join(n.why) for n in queued.left_out}
    assert set(left) == CUT_OUT | CUT_SHORT
    assert all("without its picture" in left[name] for name in CUT_OUT), left
    assert all("only part of its picture" in left[name] for name in CUT_SHORT), left
    sent = send_waiting(space, of, caller)
    assert sent.delivered == FILES - len(CUT_OUT | CUT_SHORT)

    captions = {c.caption.fields.description for c in Matchday(space, of).captions.values()}
    for told in _read_back(exiftool, desk):
        assert told["IPTC:CodedCharacterSet"] == "UTF8"
        assert told["IPTC:Caption-Abstract"] in captions
        assert told["XMP:Description"] == told["IPTC:Caption-Abstract"]
        assert told["XMP:Headline"] == told["IPTC:Headline"]
        assert told["IPTC:By-line"] == "Ida Marlow"
        assert "EXIF:SerialNumber" not in told
        assert not [key for key in told if key.startswith("EXIF:GPS")]


def _same_bytes(kept: Path, source: Path) -> None:
    there = {content_of(p) for p in kept.rglob("*") if p.is_file() and "manifests" not in p.parts}
    assert {content_of(p) for p in source.iterdir() if p.name != "README.md"} <= there


def _read_back(exiftool: str, desk: Path) -> list[dict[str, str]]:
    ran = subprocess.run(
        [exiftool, "-j", "-G", "-charset", "iptc=UTF8", str(desk)],
        capture_output=True,
        check=True,
        timeout=60,
    )
    told: list[dict[str, str]] = json.loads(ran.stdout)
    assert len(told) == FILES - len(CUT_OUT | CUT_SHORT)
    return told
