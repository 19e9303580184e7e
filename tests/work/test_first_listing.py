"""The first listing: what the beginning of each file says."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import frame_maker as made
import pytest
import simplejpeg

from setpiece.match.instants import CameraTime, Instant
from setpiece.store.files import StoredFile
from setpiece.work.intake.cards import CardFile, read_cards
from setpiece.work.intake.first_listing import (
    HEAD,
    Listing,
    facts_of,
    first_camera_time,
    list_cards,
    read_head,
)
from setpiece.work.job import Unattended


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """An empty card."""
    (tmp_path / "card").mkdir()
    return tmp_path / "card"


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A folder for small pictures."""
    (tmp_path / "small").mkdir()
    return tmp_path / "small"


def listed(
    card: Path, small: Path, now: Instant, known: tuple[StoredFile, ...] = (), prove: bool = False
) -> Listing:
    """The listing of a card."""
    return list_cards(read_cards([card]), known, small, Unattended(now), prove=prove)


def test_time_body_and_small_picture_come_from_the_beginning(
    card: Path, small: Path, now: Instant
) -> None:
    """A file of which only the beginning can be read is listed with its time, body and small
    picture."""
    path = made.put_frame(card, 231, after_s=12.5)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) - 3000])
    (item,) = listed(card, small, now).files
    assert item.facts.camera_time == CameraTime(datetime(2027, 3, 6, 15, 0, 12, 500_000), 0.01, 60)
    assert (item.facts.serial, item.facts.file_number) == (made.SERIAL, 231)
    (picture,) = small.iterdir()
    assert picture.name == f"{item.waiting.frame_id}-s.jpg"
    assert picture.read_bytes() == made.thumbnail()


def test_small_pictures_stand_upright(card: Path, small: Path, now: Instant) -> None:
    """The small picture of a frame held upright is turned as the frame is."""
    made.put_frame(card, 1, tags={"Exif.Image.Orientation": "6"})
    listed(card, small, now)
    (picture,) = small.iterdir()
    assert simplejpeg.decode_jpeg(picture.read_bytes()).shape[:2] == (160, 120)


def test_a_better_small_picture_is_left_alone(card: Path, small: Path, now: Instant) -> None:
    """Where a small picture is there already, listing does not touch it."""
    made.put_frame(card, 1)
    (item,) = listed(card, small, now).files
    kept = small / f"{item.waiting.frame_id}-s.jpg"
    kept.write_bytes(b"better")
    listed(card, small, now)
    assert kept.read_bytes() == b"better"


def test_a_small_picture_that_cannot_be_written_leaves_nothing(
    card: Path, small: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a full disk the listing goes on without small pictures, and none is there by half."""
    made.put_frame(card, 1)

    def full(path: Path, data: bytes) -> int:
        with path.open("xb") as stream:
            stream.write(data[:100])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    assert len(listed(card, small, now).files) == 1
    assert list(small.iterdir()) == []


def test_what_is_no_picture_is_left_unless_its_name_says_so(
    card: Path, small: Path, now: Instant
) -> None:
    """A text stays on the card; random bytes named as a picture, and a picture under a text's
    name, are taken in."""
    made.put(card, "INDEX.TXT", b"not a picture")
    made.put(card, "OSP_0001.JPG", b"\x13\x37 nothing a camera wrote")
    made.put(card, "SAVED.TXT", made.frame(2))
    found = listed(card, small, now)
    assert [f.path.name for f in found.left] == ["INDEX.TXT"]
    assert {x.file.path.name: x.facts.kind for x in found.files} == {
        "OSP_0001.JPG": "unknown",
        "SAVED.TXT": "JPEG",
    }


def test_memo_and_sidecar_come_right_behind_their_picture(
    card: Path, small: Path, now: Instant
) -> None:
    """A memo and a sidecar follow the picture they lie beside, and are as urgent."""
    made.put_frame(card, 1, after_s=1)
    made.put_frame(card, 2, after_s=2)
    made.put(card, "OSP_0001.WAV", b"RIFF\0\0\0\0WAVEfmt ", after_s=500)
    made.put(card, "OSP_0001.XMP", b"<x:xmpmeta xmlns:x='adobe:ns:meta/'/>", after_s=501)
    made.put(card, "OSP_0009.WAV", b"RIFF\0\0\0\0WAVEfmt ")
    found = [x.file.path.name for x in listed(card, small, now).files]
    at = found.index("OSP_0001.JPG")
    assert set(found[at + 1 : at + 3]) == {"OSP_0001.WAV", "OSP_0001.XMP"}
    assert found[-1] == "OSP_0009.WAV"


def test_what_seems_known_is_not_read(
    card: Path, small: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file of the same folder, name, size and time as one taken in is not opened; with `prove`,
    or with another time, it is."""
    path = made.put_frame(card, 1)
    (item,) = listed(card, small, now).files
    stored = StoredFile(
        content="c" * 32,
        path="frames/A/x.JPG",
        name=path.name,
        source=str(path),
        kind="JPEG",
        size=item.file.size,
        protected=False,
        facts=item.facts,
        metadata="{}",
        modified_s=item.file.modified_s,
    )

    def refuse(path: Path) -> bytes:
        raise AssertionError(f"{path} was opened")

    with monkeypatch.context() as patched:
        patched.setattr("setpiece.work.intake.first_listing.read_head", refuse)
        (again,) = listed(card, small, now, (stored,)).files
    assert again.known == stored
    (proved,) = listed(card, small, now, (stored,), prove=True).files
    assert proved.known is None
    later = replace(stored, modified_s=(stored.modified_s or 0) + 2)
    (dated,) = listed(card, small, now, (later,)).files
    assert dated.known is None


def test_a_file_that_cannot_be_read_is_a_trouble(
    card: Path, small: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file the system refuses to open is named, and the others are listed."""
    bad, good = made.put_frame(card, 1), made.put_frame(card, 2)
    real = Path.open

    def sometimes(path: Path, *said: object, **more: object) -> object:
        if path == bad:
            raise PermissionError(13, "Permission denied")
        return real(path, *said, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", sometimes)
    found = listed(card, small, now)
    assert [x.file.path for x in found.files] == [good]
    assert [(t.path, t.what) for t in found.troubles] == [
        (str(bad), "it cannot be read (Permission denied)")
    ]


def test_the_newest_time_of_a_card(card: Path) -> None:
    """The day of a card is that of its newest file that states a time."""
    made.put_frame(card, 1, after_s=-90_000)
    made.put_frame(card, 2)
    made.put(card, "OSP_0003.JPG", made.jpeg(3), after_s=60)
    found = first_camera_time(read_cards([card]))
    assert found is not None
    assert found.reading.date() == made.FIRST.date()


def test_the_beginning_tells_what_the_whole_file_tells(open_data: Path) -> None:
    """For the photographs of every camera at hand the first 128 kB give the same time, body and
    number as the whole file."""
    photographs = sorted((open_data / "camera-files").glob("*.jpg"))
    assert photographs
    for path in photographs:
        facts = path.stat()
        file = CardFile(path, path.parent, facts.st_size, facts.st_mtime, False)
        whole, _ = facts_of(file, "c", path.read_bytes())
        head, _ = facts_of(file, "c", read_head(path))
        for said in ("camera_time", "serial", "model", "file_number", "kind"):
            assert getattr(head, said) == getattr(whole, said), (path.name, said)
        assert HEAD < facts.st_size


def test_the_size_of_a_raw_file_is_that_of_its_picture(open_data: Path) -> None:
    """A raw file's width and height are those of the largest picture inside, which is shown."""
    path = open_data / "camera-files" / "Canon-R6-pruned.CR3"
    file = CardFile(path, path.parent, path.stat().st_size, 0.0, False)
    facts, metadata = facts_of(file, "c", path.read_bytes())
    assert facts.kind == "CR3"
    assert (facts.width_px, facts.height_px) != (metadata.width_px, metadata.height_px)
    assert facts.width_px < metadata.width_px
