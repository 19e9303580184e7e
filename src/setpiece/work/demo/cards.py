"""The three cards as the cameras leave them, written into a folder.

The same bytes in every run on one machine with the same versions of numpy, OpenCV, Pillow,
libjpeg-turbo and exiv2; another version or processor may round a pixel otherwise.
"""

from __future__ import annotations

import os
import stat
import wave
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import replace
from itertools import groupby
from multiprocessing import get_context
from pathlib import Path

import cv2
import numpy as np
import simplejpeg
from numpy.typing import NDArray

from setpiece.errors import WrongUse
from setpiece.work.demo.bodies import local
from setpiece.work.demo.exif import tags_of, thumbnail, with_exif
from setpiece.work.demo.exposures import SEED, Exposure, exposures, passage, take_of
from setpiece.work.demo.phone import lay_phone
from setpiece.work.demo.planted import AIR_LONG_SIDE_PX, Planted, PlantedFrame, planted
from setpiece.work.demo.scene import Set, develop, soften
from setpiece.work.demo.staging import scene_of

QUALITY = 88
_KEPT_OF_TRUNCATED = 0.58
_TURNS = {1: 0, 6: 1, 8: -1}
"""Quarter turns anticlockwise from the upright picture to the stored one (EXIF orientation)."""

Progress = Callable[[int, int], None]


def make_cards(
    folder: Path, *, workers: int = 2, progress: Progress = lambda done, total: None
) -> Planted:
    """Draw every frame onto three cards below `folder`; `progress` hears frames done and total.

    Raises WrongUse when the folder is not empty. With one worker all is drawn in this process.
    """
    if folder.exists() and any(folder.iterdir()):
        raise WrongUse(
            "the folder for the demo's cards is not empty",
            thing=str(folder),
            next_step="Name a new folder, or empty this one.",
        )
    folder.mkdir(parents=True, exist_ok=True)
    truth = planted(folder)
    for frame in truth.frames:
        for file in (frame.file, frame.over_the_air):
            if file is not None:
                folder.joinpath(*file.parent.parts).mkdir(parents=True, exist_ok=True)
    groups = takes()
    total, done = len(truth.frames), 0
    for count in _drawn(folder, groups, workers):
        done += count
        progress(done, total)
    return truth


def takes() -> tuple[tuple[str, ...], ...]:
    """The exposures that share a backdrop, by their names in the plan, costly ones first."""
    ordered = sorted(exposures(), key=lambda e: (e.passage, e.take, e.number_in_take))
    groups = [
        tuple(e.id for e in of) for _, of in groupby(ordered, key=lambda e: (e.passage, e.take))
    ]
    return tuple(sorted(groups, key=_cost, reverse=True))


def _cost(group: tuple[str, ...]) -> float:
    take = take_of(next(e for e in exposures() if e.id == group[0]))
    return len(group) * (1 + len(take.parts) / 6) + (8 if take.everything_sharp else 1)


def _drawn(folder: Path, groups: tuple[tuple[str, ...], ...], workers: int) -> Iterator[int]:
    """Draw the groups, here or in processes of their own; gives the frames of each when done."""
    if workers <= 1:
        for group in groups:
            yield draw_take(folder, group)
        return
    # Spawned, not forked: the same on every system, and safe beside threads.
    pool = ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=_alone)
    try:
        for job in as_completed([pool.submit(draw_take, folder, group) for group in groups]):
            yield job.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _alone() -> None:
    cv2.setNumThreads(1)


def draw_take(folder: Path, group: tuple[str, ...]) -> int:
    """Draw and write the exposures of one take; gives how many."""
    by_id = {e.id: e for e in exposures()}
    truth = planted(folder)
    drawing: Set | None = None
    for ident in group:
        exposure = by_id[ident]
        if drawing is None:
            drawing = Set(scene_of(take_of(exposure), passage(exposure.passage).start))
        upright = draw_exposure(drawing, exposure)
        _write(folder, truth.frame(ident), exposure, upright)
    return len(group)


def draw_exposure(drawing: Set, exposure: Exposure) -> NDArray[np.uint8]:
    """One frame as it is seen, upright."""
    if exposure.card_newest is None:
        return drawing.frame(exposure.moment)
    rng = np.random.default_rng([SEED, exposure.number_in_take, ord(exposure.camera)])
    view, margin = drawing.scene.view, drawing.margin_px
    around = drawing.backdrop[margin : margin + view.height_px, margin : margin + view.width_px]
    picture = np.asarray(cv2.GaussianBlur(around, (0, 0), view.width_px / 160), dtype=np.uint8)
    lay_phone(picture, exposure.card_newest, rng)
    soften(picture, exposure.moment)
    return develop(picture, drawing.scene.light, exposure.moment)


def _write(
    folder: Path, frame: PlantedFrame, exposure: Exposure, upright: NDArray[np.uint8]
) -> None:
    stored = np.ascontiguousarray(np.rot90(upright, _TURNS[frame.orientation]))
    data = _file(exposure, stored, frame.orientation)
    if frame.damaged:
        data = data[: int(len(data) * _KEPT_OF_TRUNCATED)]
    path = folder.joinpath(*frame.file.parts)
    _put(path, data, frame)
    if frame.memo is not None:
        memo = folder.joinpath(*frame.memo.parts)
        _memo(memo, frame.file_number)
        _date(memo, frame)
    if frame.over_the_air is not None:
        scale = AIR_LONG_SIDE_PX / max(stored.shape[:2])
        size = (round(stored.shape[1] * scale), round(stored.shape[0] * scale))
        small = cv2.resize(stored, size, interpolation=cv2.INTER_AREA)
        air = folder.joinpath(*frame.over_the_air.parts)
        _put(
            air,
            _file(exposure, np.asarray(small, dtype=np.uint8), frame.orientation),
            replace(frame, protected=False),
        )


def _file(exposure: Exposure, stored: NDArray[np.uint8], orientation: int) -> bytes:
    height, width = stored.shape[:2]
    jpeg = simplejpeg.encode_jpeg(stored, quality=QUALITY, colorspace="RGB", colorsubsampling="422")
    return with_exif(jpeg, tags_of(exposure, width, height, orientation), thumbnail(stored))


def _put(path: Path, data: bytes, frame: PlantedFrame) -> None:
    path.write_bytes(data)
    _date(path, frame)
    if frame.protected:
        path.chmod(stat.S_IREAD | stat.S_IRGRP | stat.S_IROTH)


def _date(path: Path, frame: PlantedFrame) -> None:
    """Give the file the camera's own time, to FAT's two seconds.

    A card's file time has no zone; here it is read as the venue's.
    """
    fast_s = (frame.reading.reading - local(frame.true)).total_seconds()
    seconds = int(frame.true.timestamp() + fast_s) // 2 * 2
    os.utime(path, (seconds, seconds))


def _memo(path: Path, number: int) -> None:
    """A spoken note of 1.6 s: a murmur of a voice's pitch, 8 kHz, 16 bits, one channel."""
    rate = 8000
    t = np.arange(int(1.6 * rate)) / rate
    rng = np.random.default_rng([SEED, number])
    pitch = 190 + 24 * np.sin(2 * np.pi * 2.1 * t)
    voice = np.sin(2 * np.pi * np.cumsum(pitch) / rate) + 0.4 * np.sin(
        4 * np.pi * np.cumsum(pitch) / rate
    )
    syllables = np.clip(np.sin(2 * np.pi * 3.7 * t), 0, 1) ** 0.5
    sound = 5200 * voice * syllables + rng.normal(0, 120, t.size)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(sound.astype("<i2").tobytes())
