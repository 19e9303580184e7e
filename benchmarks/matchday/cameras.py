"""Three cameras that fill their cards: pictures drawn once, of which no two frames are equal.

A picture is stored in strips of its own (JPEG restart intervals). Every frame takes each strip
from one of four drawings of the same quality by the dice, which costs no encoding.
"""

from __future__ import annotations

import re
import threading
from datetime import timedelta
from pathlib import Path

import cv2
import numpy as np
import xxhash

from benchmarks.card_files import draw
from benchmarks.matchday.script import CAMERAS, Clock, Day, Exposure, Form
from setpiece.match.instants import Instant, instant
from setpiece.pictures.clock_card import draw_card
from setpiece.work.demo.exif import thumbnail, with_exif

DRAWINGS = 4
SHIFT_PX = 640
"""How far the drawings are shifted against each other."""

_RESTART = re.compile(rb"\xff[\xd0-\xd7]")
_MCU_PX = 16  # across, where colour has half the columns


class Drawings:
    """The picture in four drawings, cut into strips."""

    def __init__(self, form: Form) -> None:
        self.form = form
        self.picture = draw(*form.size_px)
        self.small = thumbnail(self.picture)
        cut = [self._cut(np.roll(self.picture, SHIFT_PX * i, axis=1)) for i in range(DRAWINGS)]
        self._head = cut[0][0]
        self._strips = [strips for _, strips in cut]
        assert all(head == self._head for head, _ in cut)

    def jpeg(self, number: int) -> bytes:
        """The picture of that number: as good as any other, and equal to none."""
        dice = np.random.default_rng(number).integers(0, DRAWINGS, len(self._strips[0]))
        body = bytearray(self._head)
        for at, which in enumerate(dice):
            if at:
                body += bytes((0xFF, 0xD0 + (at - 1) % 8))
            body += self._strips[which][at]
        return bytes(body) + b"\xff\xd9"

    def with_card(self, shown: Instant) -> bytes:
        """The picture with the clock card held into it."""
        picture = self.picture.copy()
        height, width = picture.shape[:2]
        card = draw_card(shown, instant(shown - timedelta(seconds=0.1)), width // 2, height // 2)
        top, left = height // 4, width // 4
        picture[top : top + card.shape[0], left : left + card.shape[1]] = card
        return self._encoded(picture)

    def _cut(self, picture: np.ndarray) -> tuple[bytes, list[bytes]]:
        data = self._encoded(picture)
        scan = data.index(b"\xff\xda")
        begin = scan + 2 + int.from_bytes(data[scan + 2 : scan + 4], "big")
        return data[:begin], _RESTART.split(data[begin:-2])

    def _encoded(self, picture: np.ndarray) -> bytes:
        _, data = cv2.imencode(".jpg", picture[:, :, ::-1], [
            cv2.IMWRITE_JPEG_QUALITY, self.form.quality,
            cv2.IMWRITE_JPEG_SAMPLING_FACTOR, cv2.IMWRITE_JPEG_SAMPLING_FACTOR_422,
            cv2.IMWRITE_JPEG_RST_INTERVAL, -(-picture.shape[1] // _MCU_PX),
        ])  # fmt: skip
        return data.tobytes()


def frame_file(drawings: Drawings, exposure: Exposure) -> bytes:
    """The file as the camera writes it."""
    camera = exposure.camera
    stamp, digits, zone = camera.stamp(exposure.true)
    tags = {
        "Exif.Image.Make": camera.make,
        "Exif.Image.Model": camera.model,
        "Exif.Photo.DateTimeOriginal": stamp,
        "Exif.Photo.BodySerialNumber": camera.serial,
        "Exif.Photo.ExposureTime": "1/1600",
        "Exif.Photo.FNumber": "28/10",
        "Exif.Photo.ISOSpeedRatings": "3200",
        "Exif.Photo.FocalLength": f"{camera.focal_length_mm}/1",
        "Exif.Image.Orientation": "1",
    }
    if digits:
        tags["Exif.Photo.SubSecTimeOriginal"] = digits
    if zone:
        tags["Exif.Photo.OffsetTimeOriginal"] = zone
    if exposure.shows_card is not None:
        jpeg = drawings.with_card(exposure.shows_card)
    else:
        jpeg = drawings.jpeg(CAMERAS.index(camera) * 10_000 + exposure.number)
    return with_exif(jpeg, tags, drawings.small)


class Cards(threading.Thread):
    """Writes every frame to its camera's card when it is made; keeps what it wrote by hash."""

    def __init__(self, day: Day, drawings: Drawings, clock: Clock, folder: Path) -> None:
        super().__init__(name="cameras", daemon=True)
        self._day, self._drawings, self._clock, self.folder = day, drawings, clock, folder
        self.written: dict[str, str] = {}
        self.behind_s = 0.0
        self.bytes = 0
        self.trouble: BaseException | None = None
        self._night = threading.Event()
        for camera in CAMERAS:
            self._place(camera.letter).mkdir(parents=True)

    def _place(self, letter: str) -> Path:
        return self.folder / f"card-{letter}" / "DCIM" / "100SETPC"

    def run(self) -> None:
        """The thread."""
        try:
            for exposure in self._day.exposures:
                if exposure.passage == -2:
                    self._night.wait()
                self._make(exposure)
        except BaseException as error:
            self.trouble = error

    def night(self) -> None:
        """The night has come: the last frames are made at their times."""
        self._night.set()

    def _make(self, exposure: Exposure) -> None:
        data = frame_file(self._drawings, exposure)
        self._clock.wait(exposure.true)
        (self._place(exposure.camera.letter) / exposure.name).write_bytes(data)
        late_s = (self._clock.now() - exposure.true).total_seconds()
        self.behind_s = max(self.behind_s, late_s)
        self.written[exposure.name] = xxhash.xxh3_128_hexdigest(data)
        self.bytes += len(data)
