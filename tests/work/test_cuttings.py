"""Cuttings from the file to the ledger."""

from __future__ import annotations

import io
import shutil
import sys
from pathlib import Path

import numpy as np
import pytest
import simplejpeg
from fpdf import FPDF
from PIL import Image

sys.path += [str(Path(__file__).parent), str(Path(__file__).parent.parent)]
from after_the_match import fit_clock, play, shoot

from busy_pictures import busy, moved_part
from setpiece.books.cuttings import Publication, State, Verdict
from setpiece.books.entries import Use
from setpiece.errors import AskPhotographer, NotFound, Stopped, WrongUse
from setpiece.match.instants import Instant
from setpiece.store.books import entries_of
from setpiece.store.matches import Match, match_folder
from setpiece.store.workspace import Workspace
from setpiece.work.cuttings import kept as job
from setpiece.work.cuttings.index import (
    FOLDER,
    FOLDER_OF_PICTURES,
    INDEX,
    index_folder,
    index_matches,
    pictures_below,
)
from setpiece.work.cuttings.lookup import find_cuttings, find_in_folder, find_pasted
from setpiece.work.cuttings.recognising import Sighting
from setpiece.work.job import Unattended

FRAMES = 3


def jpeg(rgb: np.ndarray, quality: int = 88) -> bytes:
    return simplejpeg.encode_jpeg(np.ascontiguousarray(rgb), quality=quality)


@pytest.fixture
def caller(now: Instant) -> Unattended:
    """Nobody is at the prompt."""
    return Unattended(now)


@pytest.fixture
def match(space: Workspace, now: Instant) -> Match:
    """A match with three frames that look like something."""
    of = play(space, now)
    for number in range(1, FRAMES + 1):
        shoot(space, of, number, f"{number}0:00")
        path = match_folder(space, of) / "frames" / "A-100SPA" / f"SPA_{number:04d}.JPG"
        path.write_bytes(jpeg(busy(number, 900, 600), 92))
    fit_clock(space, of, now)
    return of


@pytest.fixture
def cutting(tmp_path: Path) -> Path:
    """The second frame as a web page shows it."""
    path = tmp_path / "seen" / "page.jpg"
    path.parent.mkdir()
    path.write_bytes(jpeg(busy(2, 900, 600)[::2, ::2], 75))
    return path


def test_a_cutting_finds_its_frame_and_waits(
    space: Workspace, match: Match, cutting: Path, caller: Unattended
) -> None:
    """The frame, why, and where on the cutting it lies are kept; the ledger has nothing yet."""
    (one,) = find_cuttings(space, [cutting], caller).cuttings
    assert one.verdict in (Verdict.THIS_FRAME, Verdict.SAME_MOMENT)
    found = one.found[0]
    assert (found.match, found.frame) == (match.folder, "A-0002")
    assert found.sighting.score >= 12
    assert found.sighting.crop == pytest.approx((0, 0, 1, 1), abs=0.01)
    assert job.cuttings(space, State.OPEN) == (one,)
    assert (space.folder / one.path).read_bytes() == cutting.read_bytes()
    assert entries_of(space) == ()
    again = find_cuttings(space, [cutting], caller).cuttings[0]
    assert again.number == one.number


def test_a_yes_goes_to_the_ledger_once(
    space: Workspace, match: Match, cutting: Path, caller: Unattended
) -> None:
    """A confirmed cutting is one use of its frame, tied to it; a second yes is refused."""
    find_cuttings(space, [cutting], caller, typed=Publication("Gazette"))
    with pytest.raises(AskPhotographer, match="which day"):
        job.confirm(space, 1, caller)
    noted = job.confirm(space, 1, caller, day="2027-03-07", placement="page 7", desk="City")
    use = noted.entry.content
    assert isinstance(use, Use)
    assert (use.outlet, use.placement, use.source) == ("Gazette", "page 7", "cutting 1")
    assert noted.entry.desk == "City"
    kept = job.cutting(space, 1)
    assert (kept.state, kept.entry) == (State.CONFIRMED, noted.entry.number)
    with pytest.raises(WrongUse, match="confirmed already"):
        job.confirm(space, 1, caller)
    with pytest.raises(WrongUse, match="reverse that entry"):
        job.reject(space, 1, "", caller)
    assert len(entries_of(space)) == 1


def test_a_use_noted_before_a_crash_is_taken_up(
    space: Workspace,
    match: Match,
    cutting: Path,
    caller: Unattended,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A run that was cut off between ledger and cutting leaves one use after it is repeated."""
    find_cuttings(space, [cutting], caller)

    def cut_off(*_: object, **__: object) -> None:
        raise Stopped("the laptop died")

    with monkeypatch.context() as patch:
        patch.setattr("setpiece.store.cuttings.decide_cutting", cut_off)
        with pytest.raises(Stopped):
            job.confirm(space, 1, caller, outlet="Gazette", day="2027-03-07")
    noted = job.confirm(space, 1, caller, outlet="Gazette", day="2027-03-07")
    assert [e.number for e in entries_of(space)] == [noted.entry.number]


def test_another_frame_can_be_meant(
    space: Workspace, match: Match, cutting: Path, caller: Unattended
) -> None:
    """After comparing, a person names another frame of the match, and that is in the ledger."""
    find_cuttings(space, [cutting], caller)
    noted = job.confirm(
        space, 1, caller, frame="A-0003", outlet="Gazette", day="2027-03-07", title="Late"
    )
    assert isinstance(noted.entry.content, Use)
    assert noted.entry.content.frame == "f000000000003"


def test_a_no_is_kept_and_can_be_taken_back(
    space: Workspace, match: Match, cutting: Path, caller: Unattended
) -> None:
    """A rejected cutting keeps its reason, leaves the list, and can be opened again."""
    find_cuttings(space, [cutting], caller)
    assert job.reject(space, 1, "a colleague's", caller).reason == "a colleague's"
    assert job.cuttings(space, State.OPEN) == ()
    assert job.reopen(space, 1, caller).state is State.OPEN


def test_publication_is_typed_and_checked(
    space: Workspace, match: Match, cutting: Path, caller: Unattended
) -> None:
    """Who published it is kept as typed; a day that is none is refused."""
    find_cuttings(space, [cutting], caller)
    told = job.publish(space, 1, outlet="Gazette", day="2027-03-07").publication
    assert told == Publication("Gazette", "2027-03-07", told_by="typed")
    with pytest.raises(WrongUse, match="no date"):
        job.publish(space, 1, day="yesterday")


def test_a_stranger_is_not_mine(space: Workspace, match: Match, caller: Unattended) -> None:
    """Somebody else's picture is said so, and a yes to it is refused with what to do."""
    (one,) = find_pasted(space, jpeg(busy(99)), "pasted.jpg", caller).cuttings
    assert one.verdict is Verdict.NOT_MINE
    with pytest.raises(WrongUse, match="ledger use"):
        job.confirm(space, one.number, caller, outlet="Gazette", day="2027-03-07")
    assert simplejpeg.decode_jpeg(job.drawn(space, one.number)).ndim == 3


def test_a_neighbour_is_not_claimed(space: Workspace, match: Match, caller: Unattended) -> None:
    """A frame in which something moved is the same moment, to be compared."""
    pasted = jpeg(moved_part(busy(2, 900, 600), 30), 90)
    (one,) = find_pasted(space, pasted, "pasted.jpg", caller).cuttings
    assert one.verdict is Verdict.SAME_MOMENT
    assert "changed" in " ".join(one.found[0].sighting.why)


def test_two_pictures_on_a_page_of_a_pdf(
    space: Workspace, match: Match, caller: Unattended, tmp_path: Path
) -> None:
    """Both pictures of a page are found, with the page, the title and the outlet it tells."""
    pdf = FPDF(unit="mm", format="A4")
    pdf.set_title("Sports")
    pdf.set_author("Alpine Gazette")
    pdf.add_page()
    pdf.add_page()
    for number, y in ((1, 20), (3, 150)):
        picture = io.BytesIO(jpeg(busy(number, 900, 600)))
        pdf.image(Image.open(picture), x=20, y=y, w=150)
    path = tmp_path / "paper.pdf"
    path.write_bytes(bytes(pdf.output()))
    first, second = find_cuttings(space, [path], caller).cuttings
    assert (first.part, first.number, first.verdict) == (1, 0, Verdict.NOT_MINE)
    assert second.part == 2
    assert {p.frame for p in second.found} == {"A-0001", "A-0003"}
    told = second.publication
    assert (told.outlet, told.title, told.placement) == ("Alpine Gazette", "Sports", "page 2")
    assert simplejpeg.decode_jpeg(job.drawn(space, second.number, 1)).shape[1] > 760


def test_files_that_are_none_are_told_and_the_rest_goes_on(
    space: Workspace, match: Match, cutting: Path, caller: Unattended
) -> None:
    """A broken file in a folder is named; the others are looked up. No file at all is said."""
    (cutting.parent / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\nnothing")
    found = find_cuttings(space, [cutting.parent], caller)
    assert [c.name for c in found.cuttings] == ["page.jpg"]
    assert [t.path for t in found.troubles] == ["broken.png"]
    with pytest.raises(NotFound, match="no such file"):
        find_cuttings(space, [cutting.parent / "nothing.jpg"], caller)
    (cutting.parent / "empty").mkdir()
    with pytest.raises(NotFound, match="no picture or PDF"):
        find_cuttings(space, [cutting.parent / "empty"], caller)


def test_only_what_is_new_is_looked_at(
    space: Workspace, match: Match, caller: Unattended, now: Instant
) -> None:
    """The second run looks at nothing, a new frame is added, and the index can be made again."""
    first = index_matches(space, caller)
    assert (first.pictures, first.looked_at) == (FRAMES, FRAMES)
    assert index_matches(space, caller).looked_at == 0
    shoot(space, match, 9, "40:00")
    path = match_folder(space, match) / "frames" / "A-100SPA" / "SPA_0009.JPG"
    path.write_bytes(jpeg(busy(9, 900, 600)))
    added = index_matches(space, caller)
    assert (added.pictures, added.looked_at) == (FRAMES + 1, 1)
    (one,) = find_pasted(space, jpeg(busy(1, 900, 600)), "p.jpg", caller).cuttings
    assert one.found[0].frame == "A-0001"
    shutil.rmtree(space.folder / FOLDER)
    again = index_matches(space, caller)
    assert again.looked_at == FRAMES + 1
    (space.folder / FOLDER / INDEX).write_bytes(b"broken")
    assert index_matches(space, caller, anew=True).pictures == FRAMES + 1


def test_a_folder_of_pictures_is_searched_without_a_workspace(
    tmp_path: Path, cutting: Path, caller: Unattended
) -> None:
    """A folder is indexed in itself, changed and gone pictures are followed, nothing is kept."""
    folder = tmp_path / "archive"
    (folder / "old").mkdir(parents=True)
    for number in (1, 2):
        (folder / "old" / f"{number}.jpg").write_bytes(jpeg(busy(number, 900, 600)))
    (folder / "broken.jpg").write_bytes(b"nothing")
    (one,) = find_in_folder(folder, [cutting], caller).cuttings
    assert (one.number, one.found[0].sighting.name) == (0, "old/2.jpg")
    made = index_folder(folder, caller)
    assert (made.pictures, made.looked_at) == (2, 0)
    assert [t.path for t in made.troubles] == ["broken.jpg"]
    (folder / "old" / "2.jpg").unlink()
    gone = index_folder(folder, caller)
    assert (gone.pictures, gone.gone) == (1, 1)
    assert find_in_folder(folder, [cutting], caller).cuttings[0].found == ()
    assert not (tmp_path / "archive" / FOLDER_OF_PICTURES / "seen").exists()
    with pytest.raises(NotFound, match="no such folder"):
        index_folder(tmp_path / "nowhere", caller)


def test_what_counts_as_a_picture_of_an_archive(tmp_path: Path) -> None:
    """A raw file beside its JPEG, hidden files and what was made for desks do not count."""
    bag = tmp_path / "2027-03-06-a-b"
    frames = ("1.JPG", "1.NEF", "2.NEF", ".hidden.jpg", "1.xmp")
    for path in (*(f"data/frames/A/{name}" for name in frames), "data/set/City/1.jpg"):
        (bag / path).parent.mkdir(parents=True, exist_ok=True)
        (bag / path).write_bytes(b"x")
    (bag / "bagit.txt").write_text("BagIt-Version: 1.0\n")
    (tmp_path / "loose.png").write_bytes(b"x")
    names = [p.relative_to(tmp_path).as_posix() for p in pictures_below(tmp_path)]
    assert names == [
        "2027-03-06-a-b/data/frames/A/1.JPG", "2027-03-06-a-b/data/frames/A/2.NEF", "loose.png",
    ]  # fmt: skip


def test_a_run_can_be_stopped_and_goes_on(
    space: Workspace, match: Match, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was looked at before a stop is kept; the next run looks at the rest."""
    monkeypatch.setattr("setpiece.work.cuttings.index._KEPT_TOGETHER", 1)

    class Halting(Unattended):
        asked = 0

        def stopped(self) -> bool:
            self.asked += 1
            return self.asked > 1

    with pytest.raises(Stopped):
        index_matches(space, Halting(now))
    assert index_matches(space, Unattended(now)).looked_at == FRAMES - 1


def test_everything_seen_is_told_in_words(
    space: Workspace, match: Match, cutting: Path, caller: Unattended
) -> None:
    """Every sighting has its reasons; a frame that is gone from the disk can still be found."""
    index_matches(space, caller)
    (match_folder(space, match) / "frames" / "A-100SPA" / "SPA_0002.JPG").unlink()
    (one,) = find_cuttings(space, [cutting], caller).cuttings
    seen: Sighting = one.found[0].sighting
    assert one.verdict is Verdict.SAME_MOMENT
    assert "too little of it can be compared with the frame" in seen.why
    assert simplejpeg.decode_jpeg(job.drawn(space, one.number)).ndim == 3
