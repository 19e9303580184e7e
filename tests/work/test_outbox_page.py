"""docs/outbox.md says what the code does: states, reasons, the rule's numbers, the simulation."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

from setpiece.captions.naming import correction_name
from setpiece.store.delivery import MOVES, Reason
from setpiece.work.desk.link import Patience
from setpiece.work.desk.pace import FIRST_PAUSE_S, KEPT, LONGEST_PAUSE_S
from setpiece.work.desk.words import WORDS
from setpiece.work.desk.worth import HALF_LIFE_S, OF_AN_EVENT
from setpiece.work.style_files import load_style

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "outbox.md").read_text("utf-8")
TEXT = " ".join(PAGE.split())


def rows(title: str) -> list[list[str]]:
    """The cells of the first table after a heading."""
    lines = PAGE.partition(f"## {title}\n")[2].splitlines()
    end = next((i for i, line in enumerate(lines) if line.startswith("## ")), len(lines))
    table = [line for line in lines[:end] if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table[2:]]


def test_the_table_of_states_is_the_codes() -> None:
    """Every move of the code stands in the table, and no other."""
    told = {(state, event, following) for state, event, following, _ in rows("States")}
    assert told == {
        (state.value, event.value, following.value)
        for state, moves in MOVES.items()
        for event, following in moves.items()
    }


def test_every_reason_to_wait_is_explained() -> None:
    """The table of reasons names each of the code's."""
    assert {reason for reason, _ in rows("What waits, and for what")} == {r.value for r in Reason}


def test_the_numbers_of_the_rule_are_the_codes() -> None:
    """Half-life, weight, setting aside, pauses, label and mark of a correction."""
    assert f"half of that every {HALF_LIFE_S / 60:.0f} minutes" in TEXT
    assert f"worth 1, or {OF_AN_EVENT:.0f} when" in TEXT
    assert f"more than {Patience().aside_s:.0f} s yet" in TEXT
    assert f"begin at {FIRST_PAUSE_S:.0f} s and double up to {LONGEST_PAUSE_S / 60:.0f}" in TEXT
    assert KEPT == 8
    assert "last eight deliveries" in TEXT
    assert f"`{WORDS['en']['label']}`" in TEXT
    assert correction_name(load_style(None, "north"), "a.jpg", 1) == "a_COR1.jpg"
    assert "`_COR1`" in TEXT


def test_the_simulated_table_is_what_the_benchmark_prints() -> None:
    """The table of the order stands in the page as it comes out of the program's own rule."""
    assert "\n".join(benchmark("outbox_order").table()) in PAGE


def benchmark(name: str) -> ModuleType:
    """A script of benchmarks/ as a module."""
    spec = importlib.util.spec_from_file_location(name, ROOT / "benchmarks" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module  # its dataclasses look themselves up
    spec.loader.exec_module(module)
    return module
