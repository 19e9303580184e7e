"""Cameras' clocks fitted from frames that were taken in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, timedelta
from pathlib import Path

import cv2
import frame_maker as made
import numpy as np
import pytest
import simplejpeg

from setpiece.errors import NotFound, WrongUse
from setpiece.match.instants import Instant, Interval, instant
from setpiece.pictures.clock_card import draw_card
from setpiece.store.frames import StoredFrame, frames_of, pairs_of
from setpiece.store.matches import Match
from setpiece.store.workspace import Workspace
from setpiece.work.clocks import card_frames
from setpiece.work.clocks.fit import (
    CARD,
    OWN_CLOCK_S,
    TYPED,
    CameraClock,
    add_known_instant,
    add_same_moment,
    add_typed_pair,
    clocks_of,
    codes_in,
    fit_clocks,
    search_range,
)
from setpiece.work.clocks.refit import refit
from setpiece.work.intake.take import take_in
from setpiece.work.job import Unattended
from setpiece.work.matchday import Matchday

FAST_S = 7.3
"""How fast the camera of these tests is."""


def utc(after_s: float) -> Instant:
    """True time so long after 15:00:00 in UTC+1."""
    at = made.FIRST.replace(tzinfo=UTC) - timedelta(hours=1) + timedelta(seconds=after_s)
    return instant(at)


def shot_of_card(number: int, after_s: float, *, fast_s: float = FAST_S, serial: str = made.SERIAL,
                 soft_px: float = 0.0, share: float = 1.0) -> bytes:  # fmt: skip
    """A frame of the card made so long after 15:00:00 by a camera that is so fast.

    `share` is how much of the frame's width the card fills, `soft_px` its blur.
    """
    at = utc(after_s)
    newest = instant(at.replace(microsecond=at.microsecond // 100_000 * 100_000))
    card = draw_card(newest, instant(newest - timedelta(seconds=0.1)), 1200, 900)
    size = (round(1200 * share), round(900 * share))
    picture = np.full((900, 1200, 3), 70, np.uint8)
    picture[: size[1], : size[0]] = cv2.resize(card, size, interpolation=cv2.INTER_AREA)
    if soft_px:
        picture = np.asarray(cv2.GaussianBlur(picture, (0, 0), soft_px), dtype=np.uint8)
    jpeg = bytes(simplejpeg.encode_jpeg(picture, quality=90))
    return made.with_tags(jpeg, made.body_tags(after_s + fast_s, serial), True)


def put_card(folder: Path, number: int, after_s: float, **how: object) -> None:
    """A shot of the card on a camera's card."""
    data = shot_of_card(number, after_s, **how)  # type: ignore[arg-type]
    made.put(folder, f"OSP_{number:04d}.JPG", data, after_s=after_s)


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """Three shots of the card, and two ordinary frames an hour later."""
    folder = tmp_path / "card"
    for number, after_s in ((1, 0.23), (2, 3.41), (3, 6.87)):
        put_card(folder, number, after_s)
    for number in (4, 5):
        made.put_frame(folder, number, after_s=3600 + number)
    return folder


def taken(
    space: Workspace, of: Match, sources: Sequence[Path], now: Instant
) -> tuple[StoredFrame, ...]:
    """The frames after taking in."""
    take_in(space, of, sources, Unattended(now))
    return frames_of(space, of)


def only(clocks: tuple[CameraClock, ...]) -> CameraClock:
    """The only camera's clock."""
    (clock,) = clocks
    return clock


def test_a_clock_is_fitted_from_the_card_without_typing(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """The planted offset is found, within what is said to be sure, and stays for later."""
    taken(space, match, [card], now)
    clock = only(fit_clocks(space, match, Unattended(now)))
    assert (clock.camera, clock.frames, clock.card_frames) == ("A", 5, 3)
    assert clock.fit is not None
    assert clock.fit.pairs_used == 3
    assert abs(clock.fit.offset_s - FAST_S) <= clock.fit.uncertainty_s <= 0.15
    assert only(clocks_of(space, match)) == clock


def test_a_card_whose_own_clock_is_unsure_leaves_that_unsure(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """A card on a device that may be 2 s off makes the fit unsure by those 2 s, each time anew."""
    taken(space, match, [card], now)
    fits = [
        only(fit_clocks(space, match, Unattended(now), card_within_s=within_s)).fit
        for within_s in (0.0, 2.0, 0.0)
    ]
    sure, unsure, again = [f.uncertainty_s for f in fits if f]
    assert unsure == pytest.approx(sure + 2.0, abs=0.11)
    assert again == sure


def test_a_card_by_its_own_clock_leaves_the_fit_unsure_without_being_told(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """Where the codes say that nobody compared the card's clock, 2 s are allowed for it, unless
    it is said how far it may be off."""
    frames = taken(space, match, [card], now)
    fits = [only(fit_clocks(space, match, Unattended(now))).fit]
    _by_own_clock(space, frames)
    fits.append(only(fit_clocks(space, match, Unattended(now))).fit)
    fits.append(only(fit_clocks(space, match, Unattended(now), card_within_s=0.0)).fit)
    sure, unsure, told = [f.uncertainty_s for f in fits if f]
    assert unsure == pytest.approx(sure + OWN_CLOCK_S, abs=0.11)
    assert told == sure


def test_a_clock_that_counts_tenths_is_found_out_by_its_other_frames(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A camera that writes two digits but counts tenths is told from frames that show no card."""
    folder = tmp_path / "card"
    put_card(folder, 1, 0.1, fast_s=0.2)
    for number in range(2, 14):
        made.put_frame(folder, number, after_s=600 + number * 0.3)
    taken(space, match, [folder], now)
    clock = only(fit_clocks(space, match, Unattended(now)))
    assert clock.fit is not None
    assert clock.fit.resolution_s == 0.1
    assert any("steps by 0.1 s" in r for r in clock.fit.remarks)


def test_soft_shots_near_a_sharp_one_are_searched(
    space: Workspace, match: Match, tmp_path: Path, now: Instant, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A shot that no glance reads is found within a minute of one that a glance does; frames
    further away are not searched."""
    folder = tmp_path / "card"
    put_card(folder, 1, 0.23)
    put_card(folder, 2, 4.41)
    made.put_frame(folder, 3, after_s=600)
    real = card_frames._codes
    frames = taken(space, match, [folder], now)
    _blind(space, frames[1])
    searched = []

    def watched(path: Path) -> tuple[Instant, ...]:
        searched.append(path.name)
        return real(path)

    monkeypatch.setattr(card_frames, "_codes", watched)
    clock = only(fit_clocks(space, match, Unattended(now)))
    assert searched == ["OSP_0002.JPG"]
    assert clock.card_frames == 2
    fit_clocks(space, match, Unattended(now))
    assert searched == ["OSP_0002.JPG"]


def test_a_camera_without_a_card_is_searched_when_the_others_saw_it(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """A second camera whose shots no glance reads is searched around the time of the first's."""
    put_card(tmp_path / "one", 1, 0.23)
    put_card(tmp_path / "two", 1, 20.4, serial="2", fast_s=-90.0)
    made.put_frame(tmp_path / "two", 2, after_s=7200, serial="2")
    frames = taken(space, match, [tmp_path / "one", tmp_path / "two"], now)
    for frame in frames:
        if frame.handle == "B-0001" or (frame.camera_time and frame.camera_id == 2):
            _blind(space, frame)
    clocks = fit_clocks(space, match, Unattended(now))
    assert [c.card_frames for c in clocks] == [1, 1]
    offsets = sorted(round(c.fit.offset_s) for c in clocks if c.fit)
    assert offsets == [-90, 7]


def test_a_chosen_range_is_searched(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """Where no glance found the card, the photographer names the frames; frames of two cameras
    are no range."""
    put_card(tmp_path / "one", 1, 0.23)
    put_card(tmp_path / "one", 2, 9.1)
    made.put_frame(tmp_path / "two", 1, serial="2", seed=3)
    frames = taken(space, match, [tmp_path / "one", tmp_path / "two"], now)
    mine = [f for f in frames if codes_in(f)]
    for frame in mine:
        _blind(space, frame)
    assert all(c.fit is None for c in fit_clocks(space, match, Unattended(now)))
    assert search_range(space, match, mine[1], mine[0], Unattended(now)) == 2
    mended = {c.serial: c.fit for c in fit_clocks(space, match, Unattended(now))}
    assert {s for s, fit in mended.items() if fit} == set(mended) - {"2"}
    other = next(f for f in frames if f.id not in {m.id for m in mine})
    with pytest.raises(NotFound, match="one camera"):
        search_range(space, match, mine[0], other, Unattended(now))


def test_typed_pairs_are_a_fallback(
    space: Workspace, match: Match, card: Path, now: Instant
) -> None:
    """A pair read by eye fits a camera that saw no card, and counts no more once it did."""
    made.put_frame(card.parent / "two", 9, serial="2")
    taken(space, match, [card.parent / "two"], now)
    add_typed_pair(space, match, "a", made.FIRST + timedelta(seconds=30), utc(0), Unattended(now))
    clock = only(fit_clocks(space, match, Unattended(now)))
    assert clock.fit is not None
    assert abs(clock.fit.offset_s - 30.5) <= clock.fit.uncertainty_s <= 1.1
    assert any("no zone" in r for r in clock.fit.remarks)
    with pytest.raises(NotFound, match="no camera"):
        add_typed_pair(space, match, "z", made.FIRST, utc(0), Unattended(now))
    taken(space, match, [card], now)
    add_typed_pair(space, match, "B", made.FIRST + timedelta(hours=2), utc(0), Unattended(now))
    clocks = {c.camera: c for c in fit_clocks(space, match, Unattended(now))}
    assert clocks["B"].fit is not None
    assert abs(clocks["B"].fit.offset_s - FAST_S) < 0.2
    assert {p.source for p in pairs_of(space, match)[2]} == {CARD, TYPED}


def test_a_frame_with_a_known_instant_fits_its_camera(
    space: Workspace, match: Match, tmp_path: Path, now: Instant
) -> None:
    """The frame of the whistle, whose time is known, is a pair; a frame without time is none."""
    made.put_frame(tmp_path / "card", 1, after_s=100 + FAST_S)
    made.put(tmp_path / "card", "SCAN.JPG", made.jpeg(7))
    frames = {f.handle: f for f in taken(space, match, [tmp_path / "card"], now)}
    whistle = Interval.around(utc(100), 0.3)
    add_known_instant(space, match, frames["A-0001"], whistle, "shows e1", Unattended(now))
    clock = only(fit_clocks(space, match, Unattended(now)))
    assert clock.fit is not None
    assert abs(clock.fit.offset_s - FAST_S) <= clock.fit.uncertainty_s <= 0.5
    with pytest.raises(WrongUse, match="no camera time"):
        add_known_instant(space, match, frames["SCAN.JPG"], whistle, "x", Unattended(now))


def test_another_camera_fits_by_the_same_moment(
    space: Workspace, match: Match, card: Path, tmp_path: Path, now: Instant
) -> None:
    """A camera without a card is fitted by a frame of the same moment from one that is; not by
    one that is not, nor by itself."""
    made.put_frame(tmp_path / "two", 1, after_s=3604 - FAST_S + 120, serial="2", seed=77)
    made.put_frame(tmp_path / "two", 2, after_s=3900, serial="2", seed=78)
    frames = {f.handle: f for f in taken(space, match, [card, tmp_path / "two"], now)}
    letters = {f.camera_id: h[0] for h, f in frames.items()}
    one, two = sorted(letters.values(), key=lambda x: f"{x}-0005" not in frames)
    with pytest.raises(WrongUse, match="not fitted"):
        add_same_moment(space, match, frames[f"{one}-0004"], frames[f"{two}-0001"], Unattended(now))
    fit_clocks(space, match, Unattended(now))
    with pytest.raises(WrongUse, match="one camera"):
        add_same_moment(space, match, frames[f"{one}-0004"], frames[f"{one}-0005"], Unattended(now))
    add_same_moment(space, match, frames[f"{one}-0004"], frames[f"{two}-0001"], Unattended(now))
    clocks = {c.camera: c.fit for c in fit_clocks(space, match, Unattended(now))}
    fit = clocks[two]
    assert fit is not None
    assert abs(fit.offset_s - 120) <= fit.uncertainty_s <= 0.6


def test_frames_without_a_fixture_cannot_be_fitted(
    space: Workspace, card: Path, now: Instant
) -> None:
    """Before there is a fixture the venue's zone is not known, and that is said."""
    take_in(space, None, [card], Unattended(now))
    with pytest.raises(WrongUse, match="no fixture"):
        fit_clocks(space, Match(1, "2027-03-06-no-fixture-yet", None), Unattended(now))


def test_a_new_fit_names_the_captioned_frames_it_moved(
    space: Workspace, played: Match, celebration: str, now: Instant
) -> None:
    """After a fit that moves a captioned frame by four minutes, it is named with both places; a
    fit that changes nothing names none."""
    from setpiece.work.caption import write_caption

    write_caption(space, played, celebration, "9r celebrates with 11r right", Unattended(now))
    assert refit(space, played, Unattended(now)).moved == ()
    frame = Matchday(space, played).frames[celebration]
    true = Matchday(space, played).times[celebration].middle
    moved = Interval.around(instant(true + timedelta(minutes=4)), 0.2)
    add_known_instant(space, played, frame, moved, "known instant", Unattended(now))
    (shown,) = refit(space, played, Unattended(now)).moved
    assert shown.handle == "A-0231"
    assert shown.before.startswith("74' at")
    assert shown.after.startswith("78' at")


def _blind(space: Workspace, frame: StoredFrame) -> None:
    """The frame as if no glance had read its code."""
    with space.writing() as connection:
        connection.exec_driver_sql(
            "UPDATE frame SET look = json_set(look, '$.codes', json('[]')) WHERE id = ?",
            (frame.id,),
        )


def _by_own_clock(space: Workspace, frames: Sequence[StoredFrame]) -> None:
    """The frames as if the card in them had been a page without a network."""
    with space.writing() as connection:
        for frame in frames:
            connection.exec_driver_sql(
                "UPDATE frame SET look = json_set(look, '$.own_clock', json('true')) WHERE id = ?",
                (frame.id,),
            )
