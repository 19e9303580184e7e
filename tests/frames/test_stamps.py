"""How finely a clock counts."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.frames.stamps import real_resolution_s
from setpiece.match.instants import CameraTime

NOON = datetime.fromisoformat("2027-03-06T12:00:00")


def readings(*seconds: float, written_s: float = 0.01) -> list[CameraTime]:
    return [CameraTime(NOON + timedelta(seconds=s), written_s) for s in seconds]


@pytest.mark.parametrize(
    ("found", "step_s"),
    [
        (readings(1, 2), 1.0),
        (readings(1.3, 2.5, 3.0, 7.9), 0.1),
        (readings(1.31, 2.5, 3.0, 7.9), 0.0),
        (readings(1, 2, 2.5), 0.0),
        (readings(1), 0.0),
        (readings(1, 1, 1), 0.0),
        (readings(1, 2, 3, written_s=1.0), 0.0),
        (readings(1, 2, 3, 4, written_s=0.1), 1.0),
        (readings(1.12, 2.34, written_s=0.001), 0.0),
        (readings(1.12, 2.34, 3.45, 4.56, written_s=0.001), 0.01),
        ([], 0.0),
    ],
)
def test_a_shared_step_is_believed_once_chance_is_ruled_out(
    found: list[CameraTime], step_s: float
) -> None:
    """A coarser step counts only when different readings share it too often for chance."""
    assert real_resolution_s(found) == step_s


@settings(deadline=None)
@given(st.lists(st.integers(0, 99_999), min_size=1, max_size=30))
def test_a_step_found_is_shared_by_all(hundredths: list[int]) -> None:
    """Whatever step is found, every reading lies on it."""
    found = readings(*(h / 100 for h in hundredths))
    step_s = real_resolution_s(found)
    if step_s:
        assert all(r.reading.microsecond % round(step_s * 1e6) == 0 for r in found)
    else:
        assert len(set(hundredths)) < 4 or any(h % 10 for h in hundredths)
