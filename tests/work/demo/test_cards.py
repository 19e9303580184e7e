"""Cards as the cameras leave them, held against what was planted: a few takes are drawn."""

from __future__ import annotations

import hashlib
import json
import os
import stat
import subprocess
import wave
from pathlib import Path

import cv2
import pytest
import simplejpeg

from setpiece.errors import WrongUse
from setpiece.pictures.clock_card import read_code
from setpiece.work.demo.cards import draw_take, make_cards, takes
from setpiece.work.demo.exposures import exposures
from setpiece.work.demo.planted import Planted, PlantedFrame, planted

DRAWN = ("card-b", "yellow-29", "sisters-17", "play-41", "joy-74", "goal-17")


@pytest.fixture(scope="module")
def cards(tmp_path_factory: pytest.TempPathFactory) -> Planted:
    """Six passages drawn in this process."""
    return _draw(tmp_path_factory.mktemp("cards"), DRAWN)


def _draw(folder: Path, names: tuple[str, ...]) -> Planted:
    truth = planted(folder)
    for file in truth.files:
        folder.joinpath(*file.parent.parts).mkdir(parents=True, exist_ok=True)
    passage_of = {e.id: e.passage for e in exposures()}
    for group in takes():
        if passage_of[group[0]] in names:
            draw_take(folder, group)
    return truth


def drawn(cards: Planted, name: str) -> list[PlantedFrame]:
    """The planted frames of a passage."""
    return [f for f in cards.frames if f.passage == name]


def test_exiftool_reads_what_was_planted(cards, need_tool):
    """An independent reader finds each file's camera, time, zone, size, exposure and thumbnail."""
    frames = [f for name in DRAWN for f in drawn(cards, name)]
    asked = subprocess.run(
        [
            need_tool("exiftool"), "-json", "-n", "-Make", "-Model", "-SerialNumber", "-LensModel",
            "-DateTimeOriginal", "-SubSecTimeOriginal", "-OffsetTimeOriginal", "-Orientation",
            "-ImageWidth", "-ImageHeight", "-ExifImageWidth", "-ThumbnailLength", "-FNumber",
            "-ExposureTime", "-ISO", "-FocalLength", "-ThumbnailImage", "-b",
            *(str(cards.path(f)) for f in frames),
        ],
        capture_output=True, check=True, timeout=60,
    )  # fmt: skip
    told = {Path(row["SourceFile"]): row for row in json.loads(asked.stdout)}
    bodies = {body.letter: body for body in cards.bodies}
    by_id = {e.id: e for e in exposures()}
    for frame in frames:
        row, body = told[cards.path(frame)], bodies[frame.camera]
        stamp, digits, zone = body.stamp(frame.true)
        assert (row["Make"], row["Model"]) == (body.make, body.model)
        assert (row["SerialNumber"], row["LensModel"]) == (_told(body.serial), body.lens)
        assert row["DateTimeOriginal"] == stamp
        assert str(row.get("SubSecTimeOriginal", "")).zfill(len(digits)) == digits
        assert row.get("OffsetTimeOriginal", "") == zone
        assert row["Orientation"] == frame.orientation
        assert (row["ImageWidth"], row["ImageHeight"]) == (frame.width_px, frame.height_px)
        assert row["ExifImageWidth"] == frame.width_px
        assert row["ISO"] == by_id[frame.id].iso
        assert row["ThumbnailLength"] > 1000


def _told(serial: str) -> str | int:
    """ExifTool writes a text of digits as a number."""
    return int(serial) if serial.isdigit() else serial


def test_the_same_take_gives_the_same_bytes(cards, tmp_path):
    """Drawing again gives every file again, byte for byte."""
    again = _draw(tmp_path, ("yellow-29",))
    for one, other in zip(drawn(cards, "yellow-29"), drawn(again, "yellow-29"), strict=True):
        assert _hash(cards.path(one)) == _hash(again.path(other))


def _hash(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("name", ["yellow-29", "joy-74", "goal-17", "sisters-17"])
def test_the_sharpest_frame_has_the_strongest_edges(cards, name):
    """The Laplacian over the sharpest tenth of tiles is largest where no blur was planted."""
    figures = {f.id: _edges(cards.path(f)) for f in drawn(cards, name)}
    assert max(figures, key=figures.__getitem__) == cards.best(name).id


def _edges(path: Path) -> float:
    grey = simplejpeg.decode_jpeg(path.read_bytes(), colorspace="GRAY")[:, :, 0]
    half = cv2.resize(grey, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    energy = cv2.resize(
        cv2.Laplacian(half, cv2.CV_32F) ** 2, (24, 16), interpolation=cv2.INTER_AREA
    )
    strongest = sorted(energy.ravel(), reverse=True)[:38]
    return float(sum(strongest))


def test_the_codes_on_the_photographed_phone_read(cards):
    """Each frame of the clock card gives the newest instant that it shows."""
    for frame in drawn(cards, "card-b"):
        picture = simplejpeg.decode_jpeg(cards.path(frame).read_bytes(), colorspace="RGB")
        assert read_code(picture)[0] == frame.card_newest


def test_one_file_is_cut_short(cards):
    """The strict decoder refuses the truncated file; its neighbours decode."""
    for frame in drawn(cards, "play-41"):
        data = cards.path(frame).read_bytes()
        if frame.damaged:
            with pytest.raises(ValueError, match=r"[Pp]remature"):
                simplejpeg.decode_jpeg(data, strict=True)
        else:
            assert simplejpeg.decode_jpeg(data, strict=True).shape[:2] == (1440, 2160)


def test_an_upright_frame_is_stored_lying_with_its_orientation(cards):
    """Upright frames have the sensor's width and a tag that turns them."""
    upright = [f for f in drawn(cards, "sisters-17") if f.camera == "A"]
    assert {f.orientation for f in upright} == {8}
    for frame in upright:
        height, width, _, _ = simplejpeg.decode_jpeg_header(cards.path(frame).read_bytes())
        assert (width, height) == (frame.width_px, frame.height_px)


def test_protected_frames_carry_the_read_only_attribute(cards):
    """The protected frame cannot be written by its owner's rights, its neighbours can."""
    for frame in drawn(cards, "joy-74"):
        writable = bool(cards.path(frame).stat().st_mode & stat.S_IWRITE)
        assert writable is not frame.protected


def test_a_voice_memo_lies_beside_its_frame(cards):
    """It has the frame's name and is real sound: 8 kHz, 16 bits, one channel."""
    frame = cards.best("joy-74")
    with wave.open(str(cards.path(frame).with_suffix(".WAV")), "rb") as memo:
        assert (memo.getframerate(), memo.getsampwidth(), memo.getnchannels()) == (8000, 2, 1)
        assert memo.getnframes() == 12_800


def test_the_copy_sent_over_the_air_is_small(cards):
    """It has its frame's name in another folder and a quarter of its pixels."""
    frame = next(f for f in cards.frames if f.over_the_air)
    small = cards.root.joinpath(*frame.over_the_air.parts)
    assert small.name == frame.file.name
    height, width, _, _ = simplejpeg.decode_jpeg_header(small.read_bytes())
    assert (width, height) == (1080, 720)


def test_files_bear_the_cameras_own_time(cards):
    """A file's time is the camera's reading in the venue's zone, to two seconds."""
    for frame in drawn(cards, "yellow-29"):
        offset_s = os.stat(cards.path(frame)).st_mtime - frame.true.timestamp()  # noqa: PTH116
        assert 38 <= offset_s <= 41


def test_a_folder_in_use_is_refused(tmp_path):
    """Cards are never drawn over something else."""
    (tmp_path / "mine.txt").write_text("keep", encoding="utf-8")
    with pytest.raises(WrongUse, match="not empty"):
        make_cards(tmp_path, workers=1)
