"""What lies on a card, found without opening anything."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import frame_maker as made
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setpiece.errors import NotFound
from setpiece.work.intake.cards import printable, read_cards, safe_name


def what_is_said(card: Path) -> dict[str, str]:
    """What is said of each odd file, by its name."""
    return {Path(t.path).name: t.what for t in read_cards([card]).troubles}


def test_plain_files_are_found_with_size_time_and_mark(tmp_path: Path) -> None:
    """Each file of the card is there once, with its size, its time and the camera's mark."""
    first = made.put_frame(tmp_path, 1, after_s=3.0)
    marked = made.put_frame(tmp_path, 2, after_s=5.0, protected=True)
    found = {f.path: f for f in read_cards([tmp_path, tmp_path / "DCIM"]).files}
    assert set(found) == {first, marked}
    assert not found[first].protected
    assert found[marked].protected
    assert found[first].size == first.stat().st_size
    assert found[marked].modified_s % 2 == 0
    assert found[first].source == tmp_path


def test_hidden_files_and_the_systems_own_are_passed_over(tmp_path: Path) -> None:
    """What a computer leaves on a card is no part of it."""
    made.put(tmp_path, "._OSP_0001.JPG", b"x")
    (tmp_path / ".Trashes").mkdir()
    (tmp_path / ".Trashes" / "OSP_0002.JPG").write_bytes(b"x")
    (tmp_path / "System Volume Information").mkdir()
    (tmp_path / "System Volume Information" / "data").write_bytes(b"x")
    kept = made.put_frame(tmp_path, 3)
    found = read_cards([tmp_path])
    assert [f.path for f in found.files] == [kept]
    assert found.troubles == ()


def test_odd_files_are_named_and_not_opened(tmp_path: Path) -> None:
    """An empty file, links to a file, to a folder and to nothing are named; none is followed."""
    elsewhere = tmp_path / "elsewhere"
    made.put_frame(elsewhere, 9)
    card = tmp_path / "card"
    made.put(card, "OSP_0001.JPG", b"")
    try:
        (card / "FILE.JPG").symlink_to(elsewhere / "DCIM" / "100OSTR" / "OSP_0009.JPG")
        (card / "FOLDER").symlink_to(elsewhere)
        (card / "LOOP").symlink_to(card)
        (card / "NOTHING").symlink_to(card / "gone")
    except OSError:
        pytest.skip("this system makes no symbolic links here")
    said = what_is_said(card)
    assert said.pop("OSP_0001.JPG") == "an empty file"
    assert set(said) == {"FILE.JPG", "FOLDER", "LOOP", "NOTHING"}
    assert set(said.values()) == {"a symbolic link, not followed"}
    assert read_cards([card]).files == ()


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no named pipes in folders")
def test_a_named_pipe_does_not_hang_the_run(tmp_path: Path) -> None:
    """A pipe that nobody writes to is named, not waited for."""
    os.mkfifo(tmp_path / "PIPE.JPG")
    assert what_is_said(tmp_path) == {"PIPE.JPG": "not a plain file"}


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="names are text there")
def test_names_in_any_encoding_can_be_kept_and_shown(tmp_path: Path) -> None:
    """A name that is no UTF-8 is shown with a mark, and its safe name is."""
    odd = Path(os.fsdecode(os.fsencode(tmp_path) + b"/S\xe9lection_\xff.JPG"))
    odd.write_bytes(b"x")
    (found,) = read_cards([tmp_path]).files
    assert found.path == odd
    assert Path(found.printable).name == "S\ufffdlection_\ufffd.JPG"
    assert safe_name(odd.name) == "S_lection__.JPG"


def test_a_folder_that_cannot_be_opened_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder the system refuses, or that cannot be read any more, costs only what is in it."""
    closed, kept = tmp_path / "CLOSED", made.put_frame(tmp_path, 1)
    closed.mkdir()
    real = os.scandir

    def refuse(folder: Path) -> object:
        if folder == closed:
            raise OSError(5, "Input/output error")
        return real(folder)

    monkeypatch.setattr(os, "scandir", refuse)
    found = read_cards([tmp_path])
    assert [f.path for f in found.files] == [kept]
    assert [(t.path, t.what) for t in found.troubles] == [
        (str(closed), "it cannot be opened (Input/output error)")
    ]


def test_a_missing_and_an_empty_card_say_so(tmp_path: Path) -> None:
    """A path that is not there and a card with nothing end in a sentence."""
    with pytest.raises(NotFound, match="no such card"):
        read_cards([tmp_path / "nowhere"])
    (tmp_path / "blank").mkdir()
    with pytest.raises(NotFound, match="nothing to take in"):
        read_cards([tmp_path / "blank"])


def test_a_file_named_by_itself_comes_from_its_folder(tmp_path: Path) -> None:
    """A single file is read, and its source is the folder it lies in."""
    path = made.put_frame(tmp_path, 1)
    (found,) = read_cards([path]).files
    assert (found.path, found.source) == (path, path.parent)


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("OSP_0001.JPG", "OSP_0001.JPG"),
        ('a<b>:c"d|e?f*.jpg', "a_b__c_d_e_f_.jpg"),
        ("Ørbeck 9.jpg", "Ørbeck 9.jpg"),
        ("...", "unnamed"),
        ("a/b\\c.jpg", "a_b_c.jpg"),
        ("x" * 250 + ".JPG", "x" * 176 + ".JPG"),
        ("é" * 120 + ".JPG", "é" * 88 + ".JPG"),
        ("no ending", "no ending"),
    ],
)
def test_safe_names(name: str, safe: str) -> None:
    """Names keep what every file system takes, and their ending."""
    assert safe_name(name) == safe


@given(st.text(st.characters(exclude_characters="\0/", exclude_categories=["Cs"]), min_size=1))
def test_a_safe_name_is_taken_everywhere(name: str) -> None:
    """Any name becomes one of at most 180 bytes that is safe already."""
    safe = safe_name(name)
    assert 0 < len(safe.encode()) <= 180
    assert safe_name(safe) == safe
    assert not set(safe) & set('<>:"/\\|?*')


def test_a_plain_path_is_printed_as_it_is(tmp_path: Path) -> None:
    """A path that is text stays what it is."""
    assert printable(tmp_path / "Ørbeck.jpg") == str(tmp_path / "Ørbeck.jpg")
