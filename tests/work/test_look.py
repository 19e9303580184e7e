"""A look at the pixels of new frames."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import cv2
import frame_maker as made
import numpy as np
import pytest
import simplejpeg

from setpiece.errors import NoSpace, Stopped
from setpiece.match.instants import Instant, instant
from setpiece.pictures.clock_card import draw_card
from setpiece.pictures.look import Look
from setpiece.store.files import files_of
from setpiece.store.forms import from_json, to_json
from setpiece.store.frames import frames_of, save_look
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.intake import look as looks
from setpiece.work.intake.look import look_at, look_at_new, previews, workers
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A folder for small pictures."""
    (tmp_path / "small").mkdir()
    return tmp_path / "small"


def written(path: Path, data: bytes) -> Path:
    """A file of these bytes."""
    path.write_bytes(data)
    return path


def scene(width: int = 1200, height: int = 800, blur_px: float = 0.0) -> np.ndarray:
    """A picture with detail, as sharp or as soft as asked for."""
    draw = np.random.default_rng(5)
    rough = draw.integers(0, 255, (height // 8, width // 8, 3), dtype=np.uint8)
    picture = cv2.resize(rough, (width, height), interpolation=cv2.INTER_NEAREST)
    return cv2.GaussianBlur(picture, (0, 0), blur_px) if blur_px else picture


def jpeg_of(picture: np.ndarray) -> bytes:
    """The picture as a JPEG."""
    return bytes(simplejpeg.encode_jpeg(np.ascontiguousarray(picture), quality=92))


def test_a_look_gives_size_focus_likeness_and_small_pictures(tmp_path: Path, small: Path) -> None:
    """Of a whole picture: its full size upright, a focus figure, its look as a hash, a thumbnail
    and a preview of the same shape."""
    tags = {"Exif.Image.Orientation": "6"}
    path = written(tmp_path / "a.jpg", made.with_tags(jpeg_of(scene()), tags, True))
    found = look_at(path, small, "f1")
    assert (found.picture, found.damaged, found.why) == (True, False, "")
    assert (found.width_px, found.height_px) == (800, 1200)
    assert found.focus is not None
    assert found.focus.value > 0
    assert len(found.alike) == 16
    for name in ("f1-s.jpg", "f1-m.jpg"):
        height, width = simplejpeg.decode_jpeg((small / name).read_bytes()).shape[:2]
        assert height / width == pytest.approx(1.5, abs=0.02)
    assert len(list(small.iterdir())) == 2


def test_a_softer_picture_has_a_smaller_figure(tmp_path: Path, small: Path) -> None:
    """Of one scene, blurred by two pixels, the figure is smaller."""
    sharp = look_at(written(tmp_path / "a.jpg", jpeg_of(scene())), small, "f1").focus
    soft = look_at(written(tmp_path / "b.jpg", jpeg_of(scene(blur_px=2))), small, "f2").focus
    assert sharp is not None
    assert soft is not None
    assert soft.value < sharp.value / 2


@pytest.mark.parametrize(
    ("data", "damaged", "why"),
    [
        (b"\x13\x37" * 500, True, "not a picture that can be read"),
        (b"RIFF\0\0\0\0WAVEfmt ", False, "a memo or a sidecar without its picture"),
        (b"<x:xmpmeta xmlns:x='adobe:ns:meta/'/>", False, "a memo or a sidecar without"),
        (b"\xff\xd8\xff\xe0", True, "no picture is inside"),
    ],
)
def test_what_holds_no_picture_is_said(
    tmp_path: Path, small: Path, data: bytes, damaged: bool, why: str
) -> None:
    """Random bytes and an empty JPEG count as damaged, a lone memo or sidecar does not; none
    leaves a small picture."""
    found = look_at(written(tmp_path / "a", data), small, "f1")
    assert (found.picture, found.damaged) == (False, damaged)
    assert found.why.startswith(why)
    assert list(small.iterdir()) == []


def test_a_file_that_went_away_is_said(tmp_path: Path, small: Path) -> None:
    """A look at a file that is gone says so instead of failing."""
    found = look_at(tmp_path / "gone.jpg", small, "f1")
    assert (found.picture, found.damaged) == (False, True)
    assert "went away" in found.why


def test_a_picture_of_one_pixel_is_looked_at(tmp_path: Path, small: Path) -> None:
    """The smallest picture there is has no focus figure and does no harm."""
    found = look_at(written(tmp_path / "a.jpg", made.jpeg(1, 1, 1)), small, "f1")
    assert (found.picture, found.width_px, found.focus) == (True, 1, None)


def test_the_card_is_seen_at_a_glance(tmp_path: Path, small: Path, now: Instant) -> None:
    """Codes of a clock card that fills the frame are read while it is looked at."""
    before = instant(now - timedelta(seconds=0.1))
    picture = draw_card(now, before, 1600, 1200)
    found = look_at(written(tmp_path / "a.jpg", jpeg_of(picture)), small, "f1")
    assert found.codes == (now, before)
    assert not found.searched


def test_a_full_disk_is_told(tmp_path: Path, small: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Small pictures that cannot be written end in the full disk's own words."""

    def full(path: Path, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    path = written(tmp_path / "a.jpg", made.jpeg(1))
    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(NoSpace, match="the disk is full"):
        look_at(path, small, "f1")


def test_only_what_was_not_looked_at_is_looked_at(
    space: Workspace, match: Match, tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Taking in looks at every frame; afterwards only a frame whose look is missing costs one."""
    for number in (1, 2, 3):
        made.put_frame(tmp_path / "card", number, after_s=number)
    take_in(space, match, [tmp_path / "card"], Unattended(now))
    frames = frames_of(space, match)
    assert all(f.look for f in frames)
    asked = []
    real = looks.look_at

    def count(path: Path, small: Path, frame_id: str) -> Look:
        asked.append(frame_id)
        return real(path, small, frame_id)

    monkeypatch.setattr(looks, "look_at", count)
    assert look_at_new(space, match, Unattended(now)) == 0
    assert asked == []
    with space.writing() as connection:
        connection.exec_driver_sql("UPDATE frame SET look = NULL WHERE id = ?", (frames[1].id,))
    look_at_new(space, match, Unattended(now))
    assert asked == [frames[1].id]


def test_a_damaged_best_file_gives_way_to_a_whole_one(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Of a large picture that is cut and a smaller whole one of the same exposure the whole one
    is shown, its look kept, and the frame is not damaged."""
    large = made.frame(1, after_s=1, size=(240, 180))
    made.put(tmp_path / "card", "OSP_0001.JPG", large[:-9000])
    made.put(tmp_path / "air", "OSP_0001.JPG", made.frame(1, after_s=1))
    report = take_in(space, match, [tmp_path / "card", tmp_path / "air"], Unattended(now))
    assert (report.frames, report.damaged) == (1, ())
    (frame,) = frames_of(space, match)
    assert frame.look is not None
    look = from_json(Look, frame.look)
    assert (look.damaged, look.width_px) == (False, 120)
    assert sorted(f.facts.damaged for f in files_of(space, match)) == [False, True]


def test_a_stop_keeps_the_looks_that_were_taken(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Stopped half way, the looks taken so far stay and the next run takes the rest."""
    for number in range(1, 41):
        made.put_frame(tmp_path / "card", number, after_s=number)
    take_in(space, match, [tmp_path / "card"], Unattended(now))
    frames = frames_of(space, match)
    with space.writing() as connection:
        connection.exec_driver_sql("UPDATE frame SET look = NULL")

    class Once(Unattended):
        """Stops the job the second time it asks."""

        asked = 0

        def stopped(self) -> bool:
            self.asked += 1
            return self.asked > 1

    with pytest.raises(Stopped):
        look_at_new(space, match, Once(now))
    kept = [f for f in frames_of(space, match) if f.look]
    assert 0 < len(kept) < len(frames)
    look_at_new(space, match, Unattended(now))
    assert all(f.look for f in frames_of(space, match))


def test_a_look_stays_what_it_was_when_written_and_read(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A look with every part survives the workspace."""
    made.put_frame(tmp_path / "card", 1)
    take_in(space, match, [tmp_path / "card"], Unattended(now))
    (frame,) = frames_of(space, match)
    look = replace(from_json(Look, frame.look or ""), codes=(now,), searched=True, why="words")
    save_look(space, match, {frame.id: to_json(look)})
    assert from_json(Look, frames_of(space, match)[0].look or "") == look


def test_a_few_frames_are_looked_at_side_by_side() -> None:
    """As many as there are cores to use, at most four, since each takes memory."""
    assert 1 <= workers() <= looks.MOST_AT_ONCE


def test_small_pictures_can_be_deleted(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Without its folder of small pictures a run makes it again."""
    made.put_frame(tmp_path / "card", 1)
    take_in(space, match, [tmp_path / "card"], Unattended(now))
    for path in previews(space).iterdir():
        path.unlink()
    previews(space).rmdir()
    made.put_frame(tmp_path / "card", 2, after_s=2)
    take_in(space, match, [tmp_path / "card"], Unattended(now))
    assert len(list(previews(space).glob("*-m.jpg"))) == 1


def test_what_a_decoder_trips_over_is_a_damaged_frame(
    tmp_path: Path, small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error of a library that nobody foresaw is said of the frame, and nothing is raised."""

    def trips(*_: object) -> None:
        raise ValueError("a slip")

    path = written(tmp_path / "odd.jpg", b"\xff\xd8\xff\xe0" + bytes(64))
    monkeypatch.setattr(looks, "decode_half", trips)
    found = look_at(path, small, "f")
    assert (found.picture, found.damaged) == (False, True)
    assert found.why == "the look at it failed (ValueError)"
