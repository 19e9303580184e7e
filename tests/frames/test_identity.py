"""Frames: their ids, their best picture, and how they keep both as files come in."""

from dataclasses import replace
from datetime import datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.frames.identity import (
    FileFacts,
    FileRole,
    FrameGroup,
    FrameKey,
    frame_id,
    group,
    handle,
    join,
)
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
)
RAW = replace(FULL, content="raw", name="ABCD0231.NEF", kind="NEF", size=20_000_000)
SMALL = replace(FULL, content="small", folder="air", width_px=1620, height_px=1080)
CROP = replace(FULL, content="crop", name="ABCD0240.JPG", file_number=240, width_px=3000)
CUT_SHORT = replace(FULL, content="cut", folder="card 1 early/100", size=90_000, damaged=True)
COPY = replace(FULL, content="copy", folder="card 2/100", size=4_000_000)
MEMO = FileFacts("memo", "ABCD0231.WAV", "card 1/100", "WAV", 9)
SIDECAR = FileFacts("sidecar", "ABCD0231.xmp", "card 1/100", "XMP", 9)


def test_id_is_short_and_the_same_on_every_machine() -> None:
    """A frame's id is `f` and 12 hexadecimal digits that depend on the key alone."""
    key = FrameKey("S1", READING.replace(microsecond=0), "34", 231)
    assert frame_id(key) == "feed091704797"
    assert group([FULL])[0].id == frame_id(key)
    assert frame_id(replace(key, subsec="3", file_number=4231)) != frame_id(key)


def test_handle_is_letter_and_number() -> None:
    """The handle is the body's letter and four digits; a question mark without a number."""
    assert handle("A", 231) == "A-0231"
    assert handle("B", None) == "B-?"


def test_key_needs_a_time_or_a_content() -> None:
    """A frame that nothing is known of cannot be keyed, nor can a frame without files be."""
    with pytest.raises(WrongUse):
        FrameKey("S1", None)
    with pytest.raises(WrongUse):
        FrameGroup("f1", FrameKey("", None, content="c"), ())


def test_files_without_exif_are_known_by_content() -> None:
    """Without a camera time the content makes the id: the same file always gives the same."""
    plain = FileFacts("c1", "a.jpg", "x", "JPEG", 9)
    assert group([plain])[0].id == group([replace(plain, name="b.jpg", folder="y")])[0].id
    assert group([plain])[0].id != group([replace(plain, content="c2")])[0].id


def test_time_without_number_or_body_is_not_enough() -> None:
    """Two pictures of one second that give no number, or no body, do not share an id."""
    for silent in ({"file_number": None, "serial": ""}, {"file_number": None}, {"serial": ""}):
        one = replace(FULL, **silent, camera_time=CameraTime(READING))
        assert len({g.id for g in group([one, replace(one, content="b", name="b.jpg")])}) == 2


def test_best_is_whole_then_large_then_rendered() -> None:
    """Whole beats damaged, more pixels beat fewer, JPEG beats HEIF beats raw, large beats small."""
    heif = replace(FULL, content="heif", name="ABCD0231.HIF", kind="HEIF")
    order = [FULL, COPY, heif, RAW, CROP, SMALL, CUT_SHORT]
    for kept in range(len(order)):
        (frame,) = group(order[kept:][::-1])
        assert frame.best == order[kept]
    (frame,) = group([SIDECAR, MEMO, *order])
    assert frame.files == (*order, MEMO, SIDECAR)


def test_every_file_has_a_role() -> None:
    """Each file of a frame says what it is to it."""
    other = FileFacts("other", "ABCD0231.JPG", "card 1/100", "unknown", 3)
    (frame,) = group([FULL, RAW, SMALL, CROP, CUT_SHORT, COPY, MEMO, SIDECAR, other])
    assert {f.content: frame.role_of(f) for f in frame.files} == {
        "full": FileRole.PICTURE,
        "raw": FileRole.RAW,
        "small": FileRole.SMALL,
        "crop": FileRole.CROP,
        "cut": FileRole.DAMAGED,
        "copy": FileRole.COPY,
        "memo": FileRole.MEMO,
        "sidecar": FileRole.SIDECAR,
        "other": FileRole.OTHER,
    }
    assert frame.memos == (MEMO,)
    assert frame.sidecars == (SIDECAR,)


def test_memo_alone_is_a_frame_without_picture() -> None:
    """A memo whose picture is missing is kept, and says that it has no picture."""
    (alone,) = group([MEMO])
    assert not alone.has_picture
    (frame,) = join([alone], [FULL])
    assert frame.has_picture
    assert frame.best == FULL


def test_frame_keeps_the_id_it_first_had() -> None:
    """Whatever comes later, in any order, a frame's id stays and its best copy gets better."""
    for order in permutations([SMALL, CUT_SHORT, FULL, CROP, MEMO]):
        frames: tuple[FrameGroup, ...] = ()
        for file in order:
            before = {g.id for g in frames if g.has_picture}
            frames = join(frames, [file])
            kept = {i for g in frames for i in (g.id, *g.former_ids)}
            assert before <= kept
        (frame,) = frames
        assert frame.best == FULL
        assert frame.key.file_number == 231


def test_frames_that_turn_out_to_be_one_keep_the_first_id() -> None:
    """When a file shows two frames to be one, the first id stays and the other is remembered."""
    silent = FileFacts("raw", "ABCD0231.NEF", "card 1/100", "NEF", 9)
    air = replace(SMALL, folder="air")
    first, second = group([silent])[0], group([air])[0]
    (frame,) = join([first, second], [FULL])
    assert (frame.id, frame.former_ids) == (first.id, (second.id,))
    (again,) = join([frame], [COPY])
    assert (again.id, again.former_ids) == (first.id, (second.id,))


def test_frame_that_was_two_gives_the_other_a_new_id() -> None:
    """A small copy that leaves the frame it was put to gets an id of its own with its original."""
    second = replace(FULL, content="second", name="ABCD0232.JPG", file_number=232)
    copy = replace(SMALL, content="copy of second", name="ABCD0232.JPG", file_number=232)
    (one,) = group([FULL, copy])
    frames = join([one], [second])
    assert [g.id for g in frames if FULL in g.files] == [one.id]
    assert len({g.id for g in frames}) == 2


def test_frames_known_only_as_stored_are_continued() -> None:
    """A frame given back with its files in any order is still known by its best file."""
    stored = FrameGroup("f000000000001", FrameKey.of(MEMO), (MEMO, SMALL, FULL))
    (frame,) = join([stored], [RAW])
    assert frame.id == "f000000000001"


def test_two_exposures_never_share_an_id() -> None:
    """When nothing the camera wrote tells two exposures apart, their contents give two ids."""
    one = replace(FULL, model="M", camera_time=CameraTime(READING))
    other = replace(one, content="other", model="N")
    assert len({g.id for g in group([one, other])}) == 2


def test_frames_come_in_camera_order() -> None:
    """Frames are listed by body, reading, fraction and number."""
    later = replace(FULL, content="l", camera_time=CameraTime(READING + timedelta(seconds=1), 0.01))
    rolled = replace(later, content="r", camera_time=CameraTime(READING + timedelta(seconds=2)))
    rolled = replace(rolled, file_number=1, name="ABCD0001.JPG")
    assert [g.best for g in group([rolled, later, FULL])] == [FULL, later, rolled]


# A card's worth of exposures: two bodies, bursts in one second, a roll-over, colliding names.
EXPOSURES = st.lists(
    st.tuples(st.sampled_from(["S1", "S2"]), st.integers(0, 3), st.sampled_from([9998, 9999, 1])),
    min_size=1,
    max_size=6,
    unique=True,
)
LEFT = ("full", "raw", "slot 2", "small", "cut", "memo")


def files_of(exposure: tuple[str, int, int], left: str) -> FileFacts:
    serial, second, number = exposure
    card = f"card of {serial} at {second}"
    file = FileFacts(
        content=f"{exposure} {left}",
        name=f"ABCD{number:04d}.JPG",
        folder=card,
        kind="JPEG",
        size=1000,
        serial=serial,
        camera_time=CameraTime(READING.replace(microsecond=0) + timedelta(seconds=second)),
        file_number=number,
        width_px=3000,
        height_px=2000,
    )
    return {
        "full": file,
        "raw": replace(file, kind="NEF", name=f"ABCD{number:04d}.NEF"),
        "slot 2": replace(file, folder=f"{card}, slot 2"),
        "small": replace(file, folder="air", width_px=900, height_px=600),
        "cut": replace(file, folder="early", damaged=True, size=50),
        "memo": FileFacts(f"{exposure} memo", f"ABCD{number:04d}.WAV", card, "WAV", 10),
    }[left]


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_grouping_finds_the_planted_exposures(data: st.DataObject) -> None:
    """Whatever files exposures leave, in whatever order and batches, each is one frame."""
    planted: dict[FileFacts, tuple[str, int, int]] = {}
    for exposure in data.draw(EXPOSURES):
        for left in {"full", *data.draw(st.sets(st.sampled_from(LEFT)))}:
            planted[files_of(exposure, left)] = exposure
    files = data.draw(st.permutations(list(planted)))
    cut = data.draw(st.integers(0, len(files)))
    frames = join(group(files[:cut]), files[cut:])
    assert sorted(f.content for g in frames for f in g.files) == sorted(f.content for f in files)
    assert all(len({planted[f] for f in g.files}) == 1 for g in frames)
    assert len(frames) == len(set(planted.values()))
    assert {frozenset(g.files) for g in frames} == {frozenset(g.files) for g in group(files)}
    assert len({g.id for g in frames}) == len(frames)
