"""Cuttings held to their demands: pictures found again after every attack, nobody else's claimed.

Source of the demands: the project's own (measured on 2,464 pictures before it was written). Few
pictures are tried here; docs/accuracy.md prints the larger trial, which `make long` runs again.
"""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from cutting_attacks import ATTACKS, small
from cutting_pictures import Pixels, Shot, bursts, photographs, something_moved, strangers
from cutting_trial import (
    CLAIMS,
    PARTS,
    RESULTS,
    archive_of,
    claimed,
    neighbours,
    recalled,
)

from setpiece.books.cuttings import Verdict
from setpiece.work.cuttings.recognising import Recogniser

pytestmark = pytest.mark.published

BURSTS, PHOTOGRAPHS, SOME_STRANGERS = 5, 6, 200
_COSTLY = ("newsprint", "page")  # a press and a scanner take their time
SLACK = 1
"""One of the few that are tried here may be missed; the demands are of the larger trial."""

NEIGHBOUR_MOST = 0.01

SHORT = {"overlay": 29 / 30}
"""What falls short of its demand, and what is reached instead: docs/cuttings.md says why."""


@pytest.fixture(scope="module")
def drawn() -> list[list[Shot]]:
    """A few bursts of the demo's match."""
    return bursts(BURSTS)


@pytest.fixture(scope="module")
def photos() -> dict[str, Pixels]:
    """The photographs that Debian packages carry."""
    return photographs(PHOTOGRAPHS)


@pytest.fixture(scope="module")
def recogniser(drawn: list[list[Shot]], photos: dict[str, Pixels]) -> Iterator[Recogniser]:
    """An archive of all of them."""
    shots = {f"{s.burst}-{s.number}": s.rgb for burst in drawn for s in burst}
    with archive_of(shots | photos) as made:
        yield made


@pytest.mark.parametrize("attack", ATTACKS)
def test_a_picture_is_found_again(
    attack: str,
    recogniser: Recogniser,
    drawn: list[list[Shot]],
    photos: dict[str, Pixels],
) -> None:
    """After the attack the picture or its burst is found as often as demanded, and no other."""
    each = 1 if attack.startswith(_COSTLY) else 2
    tried = [(f"{b[0].burst}-0", b[0].burst, b[0].rgb) for b in drawn[-each:]]
    if not attack.startswith("page"):
        tried += [(name, name, rgb) for name, rgb in list(photos.items())[:each]]
    told = recalled(recogniser, tried, [attack])[attack]
    demand = ATTACKS[attack][1]
    if demand is not None:
        assert told["found"] + SLACK >= demand * told["tried"], told
    assert told["wrong"] == 0, told


def test_a_stranger_is_not_claimed(recogniser: Recogniser, photos: dict[str, Pixels]) -> None:
    """Of 200 pictures that are not in the archive none is claimed, as frame or as moment."""
    told = claimed(recogniser, strangers(SOME_STRANGERS, photos), small)
    assert told["0"] + told["1"] == SOME_STRANGERS
    claims = {k: n for k, n in told.items() if k[2:] in CLAIMS}
    assert not any(claims.values()), claims


def test_a_neighbour_is_not_taken_for_the_frame(drawn: list[list[Shot]]) -> None:
    """With only another frame of the burst archived, hardly a cutting is called *this frame*."""
    told = neighbours(drawn, ["web size"])
    assert told["moved 0"] + told["moved 1"] > 0
    wrong = sum(told[f"moved {half} {Verdict.THIS_FRAME}"] for half in (0, 1))
    assert wrong <= SLACK, told
    assert any(something_moved(burst[0], burst[-1]) for burst in drawn)


def test_the_printed_results_meet_the_demands() -> None:
    """The larger trial, as printed, meets every demand on the half that is reported, or `SHORT`."""
    told = json.loads(RESULTS.read_text("utf-8"))
    unrelated = told["strangers"]["told"]
    assert unrelated["0"] + unrelated["1"] == told["strangers"]["most"]
    assert not any(unrelated.get(f"{half} {claim}", 0) for half in (0, 1) for claim in CLAIMS)
    for attack, (_, demand) in ATTACKS.items():
        found = told["attacks"]["told"]["1"][attack]
        reached = SHORT.get(attack, demand)
        assert reached is None or found["found"] >= reached * found["tried"], attack
        assert found["wrong"] == 0
    near = told["neighbours"]["told"]
    assert near.get(f"moved 1 {Verdict.THIS_FRAME}", 0) <= NEIGHBOUR_MOST * near["moved 1"]


@pytest.mark.slow
@pytest.mark.parametrize("part", PARTS)
def test_the_trial_gives_what_is_printed(part: str) -> None:
    """The larger trial, run again with as many pictures, gives the printed results."""
    known = json.loads(RESULTS.read_text("utf-8"))[part]
    trial, _ = PARTS[part]
    told = trial(known["most"])
    if part == "strangers" and told["0"] + told["1"] < known["most"]:
        pytest.skip("too few other pictures: name folders in SETPIECE_PHOTOGRAPHS")
    assert told == known["told"]
