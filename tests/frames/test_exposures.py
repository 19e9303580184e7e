"""Which files are of one exposure."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from setpiece.frames.exposures import exposures
from setpiece.frames.file_facts import FileFacts
from setpiece.match.instants import CameraTime

READING = datetime.fromisoformat("2027-03-06T15:03:12.340")
FULL = FileFacts(
    content="full",
    name="ABCD0231.JPG",
    folder="card 1/100",
    kind="JPEG",
    size=8_000_000,
    serial="S1",
    camera_time=CameraTime(READING, 0.01),
    file_number=231,
    width_px=5472,
    height_px=3648,
    model="Model",
)
WHOLE_SECOND = CameraTime(READING.replace(microsecond=0))
RAW = replace(FULL, content="raw", name="ABCD0231.NEF", kind="NEF", width_px=5460)
SECOND_SLOT = replace(FULL, content="slot 2", folder="card 2/100", size=4_000_000)
SMALL = replace(FULL, content="small", folder="air", width_px=1620, height_px=1080)
CROP = replace(FULL, content="crop", name="ABCD0240.JPG", file_number=240, width_px=3000)
CUT_SHORT = replace(FULL, content="cut", size=90_000, damaged=True)
NEXT = replace(
    FULL,
    content="next",
    name="ABCD0232.JPG",
    file_number=232,
    camera_time=CameraTime(READING + timedelta(milliseconds=90), 0.01),
)


def plain(kind: str, name: str, content: str, folder: str = "card 1/100", size: int = 9):
    return FileFacts(content=content, name=name, folder=folder, kind=kind, size=size)


MEMO = plain("WAV", "ABCD0231.WAV", "memo")
SIDECAR = plain("XMP", "ABCD0231.xmp", "sidecar")
EMPTY = plain("unknown", "ABCD0231.JPG", "nothing", size=0)


def grouped(*files: FileFacts) -> list[set[str]]:
    return sorted(({f.content for f in e.files} for e in exposures(files)), key=sorted)


def doubts(*files: FileFacts) -> list[str]:
    return [d for e in exposures(files) for d in e.doubts]


@pytest.mark.parametrize(
    "other",
    [
        RAW,
        SECOND_SLOT,
        SMALL,
        CROP,
        CUT_SHORT,
        MEMO,
        SIDECAR,
        EMPTY,
        plain("XMP", "ABCD0231.JPG.xmp", "sidecar 2"),
        plain("NEF", "ABCD0231.NEF", "raw that says nothing"),
        replace(SMALL, file_number=None, name="fromair.jpg"),
        replace(SMALL, serial=""),
        replace(SMALL, camera_time=WHOLE_SECOND),
        replace(SMALL, serial="", camera_time=WHOLE_SECOND),
        replace(FULL, folder="card again/100"),
        replace(FULL, content="rated in the camera"),
        replace(RAW, serial="", model="", camera_time=WHOLE_SECOND),
        replace(CUT_SHORT, serial="", model="", camera_time=None, file_number=None, width_px=0),
    ],
    ids=lambda f: f"{f.content} {f.kind} {f.name}",
)
def test_files_of_one_exposure_are_together(other: FileFacts) -> None:
    """Each kind of file that one exposure leaves is put to its picture."""
    assert len(exposures([FULL, other])) == 1


@pytest.mark.parametrize(
    "other",
    [
        NEXT,
        replace(FULL, content="other body", serial="S2"),
        replace(FULL, content="other make", model="Other"),
        replace(FULL, content="rolled over", camera_time=CameraTime(READING + timedelta(days=1))),
        replace(FULL, content="same second", file_number=232, camera_time=WHOLE_SECOND),
        replace(CROP, content="no subseconds", camera_time=WHOLE_SECOND),
        replace(CROP, content="as large", width_px=FULL.width_px),
        replace(CROP, content="another hundredth", camera_time=NEXT.camera_time),
        replace(CROP, content="size unknown", width_px=0),
        plain("JPEG", "ABCD0231.JPG", "same name, says nothing"),
        plain("WAV", "ABCD0232.WAV", "another memo"),
        plain("WAV", "ABCD0231.WAV", "memo of another card", folder="card 3/100"),
        plain("unknown", "ABCD0231.JPG", "nothing", folder="card 3/100", size=0),
    ],
    ids=lambda f: f.content,
)
def test_files_of_two_exposures_stay_apart(other: FileFacts) -> None:
    """What may be another exposure is another frame: none is hidden behind another."""
    assert len(exposures([FULL, other])) == 2


def test_everything_one_exposure_leaves_is_one() -> None:
    """Raw, JPEG, second slot, small copy, crop, cut copy, memo, sidecar make one exposure."""
    assert len(exposures([FULL, RAW, SECOND_SLOT, SMALL, CROP, CUT_SHORT, MEMO, SIDECAR])) == 1


def test_colliding_names_do_no_harm() -> None:
    """Two bodies with equal names in one folder keep their frames, and their raw files, apart."""
    other, other_raw = (replace(f, content=f.content + " B", serial="S2") for f in (FULL, RAW))
    assert grouped(FULL, RAW, other, other_raw) == [{"full", "raw"}, {"full B", "raw B"}]


def test_bodies_without_serial_are_kept_apart_by_model() -> None:
    """Without serial numbers the model and the moment decide, never the name alone."""
    silent = replace(FULL, serial="")
    assert grouped(silent, replace(silent, content="B", model="Other")) == [{"B"}, {"full"}]
    again = replace(silent, content="slot 2", folder="card 2/100")
    assert grouped(silent, again) == [{"full", "slot 2"}]


def test_without_serial_and_model_only_content_joins_across_folders() -> None:
    """Files that name no body are never joined across folders by number and time."""
    nameless = replace(FULL, serial="", model="")
    again = replace(nameless, content="slot 2", folder="card 2/100")
    assert grouped(nameless, again) == [{"full"}, {"slot 2"}]


def test_copy_without_subseconds_that_fits_two_stays_alone() -> None:
    """A copy that could be of two exposures of one second is kept alone, with a doubt."""
    twin = replace(
        FULL, content="twin", camera_time=CameraTime(READING.replace(microsecond=0), 0.1)
    )
    copy = replace(SMALL, camera_time=WHOLE_SECOND)
    assert grouped(FULL, twin, copy) == [{"full"}, {"small"}, {"twin"}]
    assert "ABCD0231.JPG could be of 2 exposures" in doubts(FULL, twin, copy)


def test_crop_with_two_possible_originals_stays_alone() -> None:
    """A crop whose hundredth holds two larger frames is kept alone, with a doubt."""
    twin = replace(FULL, content="twin", file_number=232, name="ABCD0232.JPG")
    assert grouped(FULL, twin, CROP) == [{"crop"}, {"full"}, {"twin"}]
    assert doubts(FULL, twin, CROP) == ["ABCD0240.JPG may be a copy or crop of another frame"]


def test_smaller_frame_of_the_same_second_is_doubted() -> None:
    """Without hundredths a smaller frame of the same second is a frame of its own, doubted."""
    full, crop = (replace(f, camera_time=WHOLE_SECOND) for f in (FULL, CROP))
    assert grouped(full, crop) == [{"crop"}, {"full"}]
    assert doubts(full, crop) == ["ABCD0240.JPG may be a copy or crop of another frame"]


@pytest.mark.parametrize("fraction", [".300", ".000"])
def test_hundredths_that_are_not_counted_join_no_crop(fraction: str) -> None:
    """A body that writes two digits but counts tenths, or nothing, may fire twice in one stamp:
    its smaller frame stays apart until another frame shows that it counts hundredths."""
    time = CameraTime(datetime.fromisoformat(f"2027-03-06T15:03:12{fraction}"), 0.01)
    full, crop = (replace(f, camera_time=time) for f in (FULL, CROP))
    assert grouped(full, crop) == [{"crop"}, {"full"}]
    assert doubts(full, crop) == ["ABCD0240.JPG may be a copy or crop of another frame"]
    assert grouped(full, crop, NEXT) == [{"crop", "full"}, {"next"}]


def test_crop_needs_its_own_hundredths() -> None:
    """Copies that lost the sub-seconds are not joined by the second, whatever else the body
    wrote."""
    full, crop = (replace(f, camera_time=WHOLE_SECOND) for f in (FULL, CROP))
    assert grouped(full, crop, NEXT) == [{"crop"}, {"full"}, {"next"}]


def test_copy_taken_for_a_crop_moves_when_its_original_comes() -> None:
    """A small copy of a fast burst's second frame leaves the first once its own full file comes."""
    second = replace(FULL, content="second", name="ABCD0232.JPG", file_number=232)
    its_copy = replace(SMALL, content="copy of second", name="ABCD0232.JPG", file_number=232)
    assert grouped(FULL, its_copy) == [{"copy of second", "full"}]
    assert grouped(FULL, its_copy, second) == [{"copy of second", "second"}, {"full"}]


def test_memo_that_two_frames_could_own_stays_alone() -> None:
    """A memo is never given to one of two bodies' frames by guessing."""
    other = replace(FULL, content="B", serial="S2")
    assert grouped(FULL, other, MEMO) == [{"B"}, {"full"}, {"memo"}]
    assert doubts(FULL, other, MEMO) == ["ABCD0231.WAV could belong to 2 frames"]


def test_memo_on_the_second_card_follows_its_content() -> None:
    """A memo copied to a slot without the picture joins where the same memo already is."""
    copy = replace(MEMO, folder="card 2/100")
    assert grouped(FULL, MEMO, copy) == [{"full", "memo"}]
    empty = replace(MEMO, size=0)
    assert len(exposures([FULL, empty, replace(empty, folder="card 2/100")])) == 2


def test_sidecars_with_equal_content_join_nothing() -> None:
    """Two frames whose sidecars happen to be equal stay two frames."""
    also = replace(SIDECAR, name="ABCD0232.xmp")
    assert grouped(FULL, SIDECAR, NEXT, also) == [{"full", "sidecar"}, {"next", "sidecar"}]


def test_memo_and_sidecar_without_picture_wait_together() -> None:
    """Attachments whose picture is not there yet are kept, together."""
    assert grouped(MEMO, SIDECAR) == [{"memo", "sidecar"}]
    assert grouped(MEMO, SIDECAR, FULL) == [{"full", "memo", "sidecar"}]


def test_files_that_say_nothing_go_by_content_and_name() -> None:
    """Without EXIF, a raw file and a JPEG of one name are one; two JPEGs of one name are two."""
    jpeg, raw = plain("JPEG", "A.JPG", "j"), plain("NEF", "A.NEF", "r")
    assert grouped(jpeg, raw) == [{"j", "r"}]
    assert grouped(jpeg, plain("JPEG", "A.jpg", "k")) == [{"j"}, {"k"}]
    assert grouped(jpeg, plain("JPEG", "B.JPG", "j", folder="x")) == [{"j"}]
    cut = replace(plain("JPEG", "A.JPG", "cut"), damaged=True)
    assert grouped(jpeg, cut) == [{"cut", "j"}]


def test_silent_file_between_two_bodies_stays_alone() -> None:
    """A raw file that says nothing is not guessed to be one of two bodies' frames."""
    other = replace(FULL, content="B", serial="S2")
    silent = plain("NEF", "ABCD0231.NEF", "r")
    assert grouped(FULL, other, silent) == [{"B"}, {"full"}, {"r"}]


def test_raw_and_jpeg_that_contradict_stay_apart_under_one_name() -> None:
    """Kinds may differ and names agree: another time, or another fraction, is another frame."""
    nameless = replace(RAW, serial="", model="")
    later = replace(nameless, camera_time=CameraTime(READING + timedelta(hours=1)))
    fraction = replace(
        nameless, camera_time=CameraTime(READING + timedelta(milliseconds=100), 0.01)
    )
    assert len(exposures([FULL, later])) == 2
    assert len(exposures([FULL, fraction])) == 2
    assert len(exposures([FULL, nameless])) == 1


def test_no_files_make_no_exposures() -> None:
    """Nothing in, nothing out."""
    assert exposures([]) == ()
