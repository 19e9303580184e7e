"""The rows that cuttings add to the accuracy report: demands, and what the trial gave.

They are printed from `cutting_results.json`: trying everything takes an hour of one core.
"""

from __future__ import annotations

import json

from cutting_attacks import ATTACKS
from cutting_trial import CLAIMS, RESULTS

from setpiece.books.cuttings import Verdict

Row = tuple[str, str, str, float, float, float, str]

_SOURCE = "the project's own demand, drawn bursts and photographs that Debian packages carry"
_NEVER = "a false claim goes on an invoice"
_REPORTED = "the half that thresholds were not chosen by"


def report_rows() -> list[Row]:
    """Each row as (quantity, source, section, demanded, ours, tolerance, why)."""
    told = json.loads(RESULTS.read_text("utf-8"))
    return [*_strangers(told["strangers"]["told"]), *_attacks(told["attacks"]["told"]["1"]),
            *_neighbours(told["neighbours"]["told"])]  # fmt: skip


def _strangers(told: dict[str, int]) -> list[Row]:
    tried = told["0"] + told["1"]
    claims = sum(told.get(f"{half} {claim}", 0) for half in (0, 1) for claim in CLAIMS)
    looks = sum(told.get(f"{half} {Verdict.LOOK}", 0) for half in (0, 1))
    return [
        (f"claims on {tried} unrelated pictures", _SOURCE, "", 0, claims, 0, _NEVER),
        (f"*look* on {tried} unrelated pictures", _SOURCE, "", 0, looks, tried * 0.05,
         "a look costs a glance"),
    ]  # fmt: skip


def _attacks(told: dict[str, dict[str, int]]) -> list[Row]:
    rows: list[Row] = []
    for attack, (_, demand) in ATTACKS.items():
        count = told[attack]
        share = count["found"] / count["tried"]
        what = f"{attack}: found of {count['tried']}, share"
        if demand is None:
            rows.append((what, _SOURCE, _REPORTED, 1, share, 1, "measured, nothing is demanded"))
        else:
            rows.append((what, _SOURCE, _REPORTED, demand, share, 1 - demand, "more is better"))
    wrong = sum(count["wrong"] for count in told.values())
    tried = sum(count["tried"] for count in told.values())
    what = f"another picture claimed, of {tried} attacked"
    return [*rows, (what, _SOURCE, _REPORTED, 0, wrong, 0, _NEVER)]


def _neighbours(told: dict[str, int]) -> list[Row]:
    rows: list[Row] = []
    for kind, words in (("moved", "something moved"), ("still", "nothing moved by the plan")):
        tried = told.get(f"{kind} 1", 0)
        claims = told.get(f"{kind} 1 {Verdict.THIS_FRAME}", 0)
        what = f"*this frame* of {tried} neighbours in which {words}, share"
        demand = (0.01, _NEVER) if kind == "moved" else (1.0, "they cannot be told apart: compare")
        rows.append((what, _SOURCE, _REPORTED, 0, claims / max(1, tried), *demand))
    return rows
