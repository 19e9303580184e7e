"""A camera's clock against true time."""

from datetime import UTC, datetime, timedelta
from math import floor

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.errors import WrongUse
from setpiece.frames.camera_clock import (
    CARD_HOLD_S,
    DISPLAY_LATENCY_S,
    UNFITTED_S,
    UNFITTED_SILENT_S,
    ClockFit,
    ReferencePair,
    card_pair,
    fit,
    true_time,
    unfitted,
)
from setpiece.match.instants import CameraTime, Instant, Interval, instant

KICK_OFF = datetime(2027, 3, 6, 14, 0, tzinfo=UTC)
VENUE_MIN = 60


def stamp(
    true: datetime, offset_s: float, resolution_s: float = 1.0, zone_min: int | None = None
) -> CameraTime:
    """What a camera that shows the venue's time writes at a true instant."""
    shown_in = VENUE_MIN if zone_min is None else zone_min
    shown = true + timedelta(seconds=offset_s, minutes=shown_in)
    midnight = shown.replace(hour=0, minute=0, second=0, microsecond=0)
    cuts = floor((shown - midnight) / timedelta(seconds=resolution_s) + 1e-9)
    reading = midnight + timedelta(seconds=round(cuts * resolution_s, 6))
    return CameraTime(reading.replace(tzinfo=None), resolution_s, zone_min)


def card(
    offset_s: float, at_s: float, late_s: float = 0.1, resolution_s: float = 1.0, **said: object
) -> ReferencePair:
    """The pair of a frame that caught a code `late_s` after it appeared."""
    true = KICK_OFF + timedelta(seconds=at_s)
    shown = instant(true - timedelta(seconds=late_s))
    return card_pair(stamp(true, offset_s, resolution_s), shown, "clock card", **said)


def seconds(at: Instant) -> float:
    return (at - KICK_OFF).total_seconds()


def test_card_says_when_within_a_quarter_of_a_second() -> None:
    """A live card bounds the frame from when its code appeared to when it had to be gone."""
    shown = instant(KICK_OFF)
    reading = CameraTime(datetime.fromisoformat("2027-03-06T15:00:00"))
    live = card_pair(reading, shown, "clock card").true
    assert live.start == shown
    assert live.width_s == pytest.approx(CARD_HOLD_S + DISPLAY_LATENCY_S)
    slow = card_pair(reading, shown, "clock card", display_latency_s=0.4).true
    assert slow.width_s == pytest.approx(CARD_HOLD_S + 0.4)
    still = card_pair(reading, shown, "figures", live=False).true
    assert still.width_s == pytest.approx(1 + DISPLAY_LATENCY_S)


def test_card_of_unknown_offset_adds_its_doubt_to_the_fit() -> None:
    """However many frames an offline card gives, the fit is no surer than the card's own clock."""
    pairs = [card(41, t, card_offset_uncertainty_s=2.0) for t in (0, 3.3, 5.7, 8.1)]
    found = fit(pairs, venue_offset_min=VENUE_MIN)
    assert found.uncertainty_s >= 2
    assert abs(found.offset_s - 41) <= found.uncertainty_s


def test_fast_is_positive_and_slow_negative() -> None:
    """A clock that is ahead of true time has a positive offset."""
    for offset_s in (41.0, -41.0):
        found = fit([card(offset_s, t) for t in (0, 3.3, 5.7)], venue_offset_min=VENUE_MIN)
        assert found.offset_s == pytest.approx(offset_s, abs=found.uncertainty_s)
        assert found.fitted
        assert found.pairs_used == 3


def test_silent_camera_is_taken_to_show_venue_time() -> None:
    """The assumed zone is the venue's for a silent camera, and none for one that states its own."""
    silent = fit([card(3, 0)], venue_offset_min=VENUE_MIN)
    assert silent.assumed_zone_min == VENUE_MIN
    assert any("states no zone" in r for r in silent.remarks)
    pair = ReferencePair(
        stamp(KICK_OFF, 3, zone_min=0), Interval.exactly(instant(KICK_OFF)), "whistle"
    )
    stated = fit([pair], venue_offset_min=VENUE_MIN)
    assert stated.assumed_zone_min is None
    assert stated.offset_s == pytest.approx(3, abs=0.55)


def test_an_hour_off_is_found_and_named() -> None:
    """A camera left on winter time has its hour in the offset and in the remarks."""
    found = fit([card(-3600 + 2, t) for t in (0, 3.3)], venue_offset_min=VENUE_MIN)
    assert found.offset_s == pytest.approx(-3598, abs=found.uncertainty_s)
    assert any("an hour slow" in r for r in found.remarks)


def test_a_misread_pair_is_counted_as_dropped() -> None:
    """One slip among three does not move the fit; it is counted."""
    found = fit([card(41, 0), card(41, 3.3), card(141, 6)], venue_offset_min=VENUE_MIN)
    assert found.offset_s == pytest.approx(41, abs=found.uncertainty_s)
    assert (found.pairs_used, found.pairs_dropped) == (2, 1)


def test_without_pairs_the_fit_is_a_guess_and_says_so() -> None:
    """A clock nobody compared is taken at its word, with a doubt wide enough for usual faults."""
    guess = fit([], venue_offset_min=VENUE_MIN)
    assert guess == unfitted(venue_offset_min=VENUE_MIN)
    assert (guess.method, guess.fitted, guess.uncertainty_s) == ("guess", False, UNFITTED_SILENT_S)
    assert "guess" in guess.remarks[0]
    stated = unfitted(venue_offset_min=VENUE_MIN, zone_offset_min=0)
    assert stated.uncertainty_s == UNFITTED_S
    assert any("states UTC;" in r for r in stated.remarks)
    frame = true_time(stamp(KICK_OFF, 200), guess, VENUE_MIN)
    assert frame.holds(instant(KICK_OFF))
    assert frame.width_s == pytest.approx(1 + 2 * UNFITTED_SILENT_S)


def test_a_stated_zone_moves_the_time_a_silent_one_follows_the_fit() -> None:
    """Readings are understood in their own zone, else in the fit's, else in the venue's."""
    reading = CameraTime(datetime.fromisoformat("2027-03-06T15:00:00"), 0.01)
    tokyo = CameraTime(reading.reading, 0.01, 540)
    stated = ClockFit(0, 0.1, 0, None, 1, 0, (), "intersection")
    silent = ClockFit(0, 0.1, 0, 120, 1, 0, (), "intersection")
    assert seconds(true_time(reading, stated, VENUE_MIN).middle) == pytest.approx(0.005)
    assert seconds(true_time(reading, silent, VENUE_MIN).middle) == pytest.approx(-3599.995)
    assert seconds(true_time(tokyo, silent, VENUE_MIN).middle) == pytest.approx(-8 * 3600 + 0.005)


def test_uncertainty_grows_away_from_the_pairs() -> None:
    """Two hours after the card a frame's time is less sure by the drift a clock may have."""
    found = fit([card(41, 0), card(41, 3.3)], venue_offset_min=VENUE_MIN)
    near = true_time(stamp(KICK_OFF, 41), found, VENUE_MIN)
    far = true_time(stamp(KICK_OFF + timedelta(hours=2), 41), found, VENUE_MIN)
    assert far.width_s - near.width_s == pytest.approx(2 * 20e-6 * 7200, rel=0.01)


@pytest.mark.parametrize("step_s", [1.0, 0.1])
def test_a_clock_that_counts_coarser_than_it_writes_is_seen_through(step_s: float) -> None:
    """A camera that writes hundredths and counts in larger steps is fitted by the larger steps,
    and so are its frames; the remark says so."""

    def coarse(at_s: float) -> CameraTime:
        counted = stamp(KICK_OFF + timedelta(seconds=at_s), 41, step_s)
        return CameraTime(counted.reading, 0.01)

    pairs = []
    for at_s in (0.95, 4.37, 7.71):
        shown = instant(KICK_OFF + timedelta(seconds=at_s - 0.1))
        pairs.append(card_pair(coarse(at_s), shown, "clock card"))
    others = [coarse(600 + 7.13 * i) for i in range(5)]
    found = fit(pairs, venue_offset_min=VENUE_MIN, readings=others)
    assert found.resolution_s == step_s
    assert f"its clock steps by {step_s:g} s" in " ".join(found.remarks)
    assert abs(found.offset_s - 41) <= found.uncertainty_s
    late = KICK_OFF + timedelta(seconds=900.99)
    assert true_time(coarse(900.99), found, VENUE_MIN).holds(instant(late))


def test_a_wrong_date_does_not_age_the_fit() -> None:
    """How far a frame is from the pairs counts in true time, not in the camera's wrong date."""
    found = fit([card(30 * 86_400, t) for t in (0, 3.3)], venue_offset_min=VENUE_MIN)
    frame = true_time(stamp(KICK_OFF, 30 * 86_400), found, VENUE_MIN)
    assert frame.width_s == pytest.approx(1 + 2 * found.uncertainty_s, abs=0.001)


def test_known_drift_moves_the_time() -> None:
    """A fitted drift is taken off: a day later, 20 ppm are 1.73 s."""
    drifting = ClockFit(41, 0.1, 20, None, 4, 0, (), "line", instant(KICK_OFF), 0.5)
    later = KICK_OFF + timedelta(days=1)
    frame = true_time(stamp(later, 41 + 20e-6 * 86_400, 0.01, 0), drifting, VENUE_MIN)
    assert frame.holds(instant(later))
    assert frame.width_s == pytest.approx(0.01 + 2 * (0.1 + 0.5e-6 * 86_400), abs=1e-3)


def test_a_second_camera_can_be_the_reference() -> None:
    """A moment that two cameras caught fits the second by the first one's true time."""
    first = fit([card(41, t, resolution_s=0.01) for t in (0, 3.3, 5.7)], venue_offset_min=VENUE_MIN)
    moment = KICK_OFF + timedelta(minutes=20)
    seen = true_time(stamp(moment, 41, 0.01), first, VENUE_MIN)
    pair = ReferencePair(stamp(moment, -7, 0.01), seen, "the same moment by camera A")
    second = fit([pair], venue_offset_min=VENUE_MIN)
    assert abs(second.offset_s + 7) <= second.uncertainty_s < 0.5


@pytest.mark.parametrize(("uncertainty_s", "drift_ppm"), [(-1.0, 0.0), (0.0, -1.0)])
def test_a_negative_uncertainty_is_refused(uncertainty_s: float, drift_ppm: float) -> None:
    """A fit cannot be surer than certain."""
    with pytest.raises(WrongUse):
        ClockFit(0, uncertainty_s, 0, None, 1, 0, (), "line", None, drift_ppm)


@settings(deadline=None)
@given(
    offset_s=st.floats(-90_000, 90_000),
    resolution_s=st.sampled_from([1.0, 0.1, 0.01]),
    at_s=st.lists(st.floats(0, 60), min_size=1, max_size=8),
    late_s=st.floats(0.001, CARD_HOLD_S),
)
def test_honest_pairs_always_hold_the_offset(
    offset_s: float, resolution_s: float, at_s: list[float], late_s: float
) -> None:
    """Whatever offset is planted, pairs within their bounds give it back within the doubt."""
    pairs = [card(offset_s, t, late_s, resolution_s) for t in at_s]
    found = fit(pairs, venue_offset_min=VENUE_MIN)
    assert found.pairs_dropped == 0
    assert abs(found.offset_s - offset_s) <= found.uncertainty_s + 1e-3


def simulated_day(random: np.random.Generator) -> tuple[bool, float, float]:
    """One day: whether the planted offset was recovered within the doubt, the doubt, and the
    share of four frames during the match whose true instant lies in their interval.

    Offset to two hours either way, drift to 20 ppm, stamps of whole seconds or hundredths, two
    to eight clock-card frames in half a minute, of which one in twenty is a slip of 2 to 100 s,
    screen latency to 50 ms, the stamp 20 ms either side of the exposure.
    """
    resolution_s = float(random.choice([1.0, 0.01]))
    offset_s, drift = random.uniform(-7200, 7200), random.uniform(-20e-6, 20e-6)
    latency_s = random.uniform(0, DISPLAY_LATENCY_S)

    def frame(at_s: float, slip_s: float = 0.0) -> CameraTime:
        shown_s = offset_s + drift * at_s + random.uniform(-0.02, 0.02) + slip_s
        return stamp(KICK_OFF + timedelta(seconds=at_s), shown_s, resolution_s)

    pairs = []
    for at_s in random.uniform(-1800, -1770, random.integers(2, 9)):
        slip_s = random.uniform(2, 100) * random.choice([-1, 1]) if random.random() < 0.05 else 0.0
        newest_s = floor((at_s - latency_s) * 10) / 10 - (0.1 if random.random() < 0.5 else 0.0)
        shown = instant(KICK_OFF + timedelta(seconds=round(newest_s, 1)))
        pairs.append(card_pair(frame(float(at_s), slip_s), shown, "clock card"))
    found = fit(pairs, venue_offset_min=VENUE_MIN)
    assert found.epoch is not None
    planted_s = offset_s + drift * seconds(found.epoch)
    held = [
        true_time(frame(at_s), found, VENUE_MIN).holds(instant(KICK_OFF + timedelta(seconds=at_s)))
        for at_s in random.uniform(-900, 7200, 4).tolist()
    ]
    within = abs(found.offset_s - planted_s) <= found.uncertainty_s
    return within, found.uncertainty_s, sum(held) / 4


def test_planted_offsets_are_recovered_within_the_stated_doubt() -> None:
    """On at least 95 % of 500 simulated days the planted offset lies within the uncertainty, and
    so does the true instant of at least 95 % of frames during the match; half of the days are
    sure to 0.3 s."""
    random = np.random.default_rng(20270306)
    days = [simulated_day(random) for _ in range(500)]
    assert sum(within for within, _, _ in days) / 500 >= 0.95
    assert sum(held for _, _, held in days) / 500 >= 0.95
    assert float(np.median([doubt_s for _, doubt_s, _ in days])) <= 0.3


def test_planted_drift_is_recovered_across_days() -> None:
    """Over four days the planted drift lies within its doubt on at least 95 % of 200 runs."""
    random = np.random.default_rng(20270307)
    recovered = 0
    for _ in range(200):
        offset_s, drift_ppm = random.uniform(-100, 100), random.uniform(-20, 20)
        pairs = []
        for day in range(4):
            for at_s in day * 86_400 + random.uniform(0, 60, 3):
                true = KICK_OFF + timedelta(seconds=float(at_s))
                reading = stamp(true, offset_s + drift_ppm * 1e-6 * at_s)
                late = timedelta(seconds=float(random.uniform(0, CARD_HOLD_S)))
                pairs.append(card_pair(reading, instant(true - late), "clock card"))
        found = fit(pairs, venue_offset_min=VENUE_MIN)
        assert found.method == "line"
        recovered += abs(found.drift_ppm - drift_ppm) <= found.drift_uncertainty_ppm
    assert recovered / 200 >= 0.95
