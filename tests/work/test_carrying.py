"""Files carried off cards, several under way at once."""

from __future__ import annotations

from pathlib import Path
from threading import Event

import frame_maker as made
import pytest

from setpiece.errors import BadFile, NoSpace
from setpiece.match.instants import Instant
from setpiece.store.copying import PART, Part, Unproved
from setpiece.work.intake import carrying
from setpiece.work.intake.cards import read_cards
from setpiece.work.intake.carrying import Carried, Carrying, Failed, Outcome
from setpiece.work.intake.first_listing import Listed, list_cards
from setpiece.work.job import Unattended

LIMIT_S = 30


@pytest.fixture
def listed(tmp_path: Path, now: Instant) -> tuple[Listed, ...]:
    """Six frames on a card, as they are listed."""
    (tmp_path / "small").mkdir()
    for number in range(1, 7):
        made.put_frame(tmp_path / "card", number, after_s=number)
    cards = read_cards([tmp_path / "card"])
    return list_cards(cards, (), tmp_path / "small", Unattended(now), prove=False).files


def carried(files: tuple[Listed, ...], folder: Path) -> list[Outcome]:
    """What became of the files, in the order in which it was told."""
    with Carrying(files, folder) as carrying:
        return [outcome for outcome in carrying.outcomes() if outcome is not None]


def test_files_are_told_of_in_the_order_given(
    listed: tuple[Listed, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Though the second file is proved before the first, the first is told of first."""
    real, second_done = carrying.prove_part, Event()

    def slow_first(unproved: Unproved, *, kept_bytes: int) -> Part:
        if unproved.source == listed[0].file.path:
            assert second_done.wait(LIMIT_S)
        part = real(unproved, kept_bytes=kept_bytes)
        if unproved.source == listed[1].file.path:
            second_done.set()
        return part

    monkeypatch.setattr(carrying, "prove_part", slow_first)
    outcomes = carried(listed, tmp_path / "frames")
    assert [o.listed for o in outcomes if isinstance(o, Carried)] == list(listed)


def test_a_file_that_fails_keeps_its_place_in_the_order(
    listed: tuple[Listed, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that does not read back is told of between its neighbours, and leaves nothing."""
    real = carrying.prove_part

    def refuse_third(unproved: Unproved, *, kept_bytes: int) -> Part:
        if unproved.source == listed[2].file.path:
            unproved.path.write_bytes(b"not what was read")
        return real(unproved, kept_bytes=kept_bytes)

    monkeypatch.setattr(carrying, "prove_part", refuse_third)
    outcomes = carried(listed, tmp_path / "frames")
    assert [type(o) for o in outcomes] == [Carried, Carried, Failed, Carried, Carried, Carried]
    assert isinstance(outcomes[2], Failed)
    assert isinstance(outcomes[2].error, BadFile)
    assert len(list((tmp_path / "frames").rglob("*" + PART))) == 5


def test_what_was_under_way_when_a_run_ends_is_removed(
    listed: tuple[Listed, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A run that leaves at the first trouble leaves no unfinished copy of the files behind it."""
    real = carrying.prove_part

    def full_at_second(unproved: Unproved, *, kept_bytes: int) -> Part:
        part = real(unproved, kept_bytes=kept_bytes)
        if unproved.source == listed[1].file.path:
            part.path.unlink()
            raise NoSpace("the disk is full")
        return part

    monkeypatch.setattr(carrying, "prove_part", full_at_second)
    with Carrying(listed, tmp_path / "frames") as carry:
        for outcome in carry.outcomes():
            if isinstance(outcome, Failed):
                assert outcome.ends_the_run
                break
            if isinstance(outcome, Carried):
                outcome.part.path.unlink()
    assert list((tmp_path / "frames").rglob("*" + PART)) == []


def test_a_header_longer_than_the_beginning_is_read_whole(
    tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Size and body are found in a picture whose header goes on past what is kept of each file."""
    path = made.put_frame(tmp_path / "card", 1, after_s=1)
    plain = path.read_bytes()
    filler = b"\xff\xee\xff\xff" + bytes(65533)
    path.write_bytes(plain[:2] + filler * 20 + plain[2:])
    (tmp_path / "small").mkdir()
    cards = read_cards([tmp_path / "card"])
    files = list_cards(cards, (), tmp_path / "small", Unattended(now), prove=False).files
    (outcome,) = carried(files, tmp_path / "frames")
    assert isinstance(outcome, Carried)
    assert outcome.facts.serial == made.SERIAL
    assert outcome.facts.width_px > 0
    assert outcome.part.data is None
