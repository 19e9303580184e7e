"""Changes a pure room's code in small ways, one at a time, and asks whether a test notices.

    make mutants                          # the four rooms, 300 changes each
    tools/mutants.py --rooms books --sample 0 --seed 2      # every change of one room
    tools/mutants.py --again build/mutants/books.json       # those that got away, once more

The changes are mutmut's (`changes.py`). No file is changed: a process of its own holds the changed
code and runs the tests that reached the line, the quickest first, until one fails (`trying.py`).
Needs POSIX (it forks). What is counted, and what is left out, stands in docs/teeth.md.
"""

from __future__ import annotations

import argparse
import importlib
import json
import math
import os
import random
import sys
from collections import Counter
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

import pytest
from changes import Change, Text, changes, inside_functions
from trying import (
    ASLEEP,
    NOTICED,
    OPTIONS,
    ROOT,
    STILLBORN,
    SURVIVED,
    UNFIT,
    Swap,
    Try,
    afresh,
    hasten,
    in_place,
    path_of,
    swaps,
)

SOURCE = ROOT / "src" / "setpiece"
BUILD = ROOT / "build" / "mutants"

ROOMS = ("match", "captions", "plan", "books")
LEFT_OUT = (
    "_after_", "_bagit_", "_camera_files_", "_cuttings_", "_exiftool", "_passages_",  # other rooms'
    "any_line_is_read", "json_is_exact", "superseding_equals", "csv_is_exact", "never_falls",
    "order_of_equal_instants", "go_round", "goes_round_in", "completion_never_raises",
)  # fmt: skip
"""Tests left out, by words of their names: of other rooms, or many examples that take seconds."""
MOST_TESTS, MOST_TESTS_S = 150, 8.0
"""A change is tried on so many of the quickest tests that reach it: with more, more are noticed."""
START_S = 30.0
TIMES_SLOWER = 10
"""A change that makes its tests this much slower, and the start, is noticed: it runs for ever."""
FOREIGN = (
    "alembic.command", "babel.dates", "babel.numbers", "hypothesis.strategies", "jinja2.sandbox",
    "lark", "numpy", "pydantic", "rapidfuzz.process", "sqlalchemy.orm",
)  # fmt: skip
"""Imported once, before anything is changed."""


@dataclass
class Reach:
    """Which tests reach which line of a module, how long each takes, what runs at an import."""

    by_line: dict[str, dict[int, list[str]]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)
    at_import: dict[str, set[int]] = field(default_factory=dict)

    def tests(self, change: Change) -> list[str]:
        """The quickest tests that ran the change's lines; for a table, that ran its module."""
        lines = self.by_line.get(change.module, {})
        found = {test for line in change.lines for test in lines.get(line, ())} - {""}
        of_table = not change.function or self.runs_at_import(change)
        if of_table and lines:
            found |= {test for tests in lines.values() for test in tests}
        elif not found:  # part of a value that is made at once: its first line counts
            before = max((n for n in lines if n < change.line and lines[n] != [""]), default=0)
            found = set(lines.get(before, ())) - {""}
        own = f"/test_{change.module.rpartition('.')[2]}.py::"
        timed = sorted((own not in t, self.seconds[t], t) for t in found if t in self.seconds)
        kept, total_s = [], 0.0
        for _, seconds, test in timed[:MOST_TESTS]:
            total_s += seconds
            if total_s > MOST_TESTS_S and kept:
                break
            kept.append(test)
        return kept

    def runs_at_import(self, change: Change) -> bool:
        """Whether the change's lines run when the program is imported."""
        return not self.at_import.get(change.module, set()).isdisjoint(change.lines)

    def limit_s(self, tests: list[str]) -> float:
        """When a try is ended."""
        return START_S + TIMES_SLOWER * sum(self.seconds[test] for test in tests)


class Stopwatch:
    """Leaves some tests out, and times the others."""

    def __init__(self) -> None:
        self.seconds: Counter[str] = Counter()

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Keeps what runs anywhere and soon."""
        items[:] = [
            item
            for item in items
            if "open_data" not in getattr(item, "fixturenames", ())
            and not any(word in item.nodeid for word in LEFT_OUT)
        ]

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Adds up a test's phases."""
        self.seconds[report.nodeid] += report.duration


def _modules(room: str) -> list[str]:
    files = sorted((SOURCE / room).rglob("*.py"))
    names = (".".join(f.relative_to(ROOT / "src").with_suffix("").parts) for f in files)
    return [name.removesuffix(".__init__") for name in names]


def reach(room: str) -> Reach:
    """Runs a room's tests once under coverage, each test a context of its own."""
    BUILD.mkdir(parents=True, exist_ok=True)
    measured, imported = BUILD / f"reach-{room}.json", BUILD / f"imported-{room}.json"
    for kept, measure in ((imported, _imported), (measured, _measure)):
        if not kept.exists():
            if child := os.fork():
                os.waitpid(child, 0)
            else:
                os._exit(measure(room, kept))
    read = json.loads(measured.read_text("utf-8"))
    by_line = {m: {int(n): t for n, t in lines.items()} for m, lines in read["by_line"].items()}
    at_import = {m: set(n) for m, n in json.loads(imported.read_text("utf-8")).items()}
    return Reach(by_line, read["seconds"], at_import)


def _imported(room: str, kept: Path) -> int:
    """Keeps the lines inside functions that run when the room is imported."""
    import coverage

    modules = _modules(room)
    measured = coverage.Coverage(data_file=None, source=["setpiece"])
    measured.start()
    for module in modules:
        importlib.import_module(module)
    measured.stop()
    found = {}
    for module in modules:
        path = path_of(module)
        ran = set(measured.get_data().lines(str(path)) or ())
        found[module] = sorted(ran & inside_functions(path))
    kept.write_text(json.dumps(found), "utf-8")
    return 0


def _measure(room: str, kept: Path) -> int:
    import coverage

    os.environ["COVERAGE_FILE"] = str(BUILD / f"coverage-{room}")
    watch = Stopwatch()
    asked = [f"--cov=setpiece.{room}", "--cov-context=test", "--cov-report="]
    paths = [str(ROOT / "tests" / name) for name in (room, "published")]
    code = pytest.main([*OPTIONS, *asked, "-m", "not slow", *paths], plugins=[watch])
    if code:
        print("The tests fail before anything is changed: mend them first.", file=sys.stderr)
        return int(code)
    data = coverage.CoverageData(str(BUILD / f"coverage-{room}"))
    data.read()
    by_line = {}
    for module in _modules(room):
        lines = data.contexts_by_lineno(str(path_of(module)))
        by_line[module] = {n: [c.partition("|")[0] for c in found] for n, found in lines.items()}
    kept.write_text(json.dumps({"by_line": by_line, "seconds": watch.seconds}), "utf-8")
    return 0


def interval(noticed: int, counted: int) -> tuple[float, float]:
    """The 95 % interval of a share (Wilson, Journal of the ASA 22, 1927)."""
    z, share = 1.96, noticed / counted
    middle = (share + z * z / (2 * counted)) / (1 + z * z / counted)
    half = z / (1 + z * z / counted)
    half *= math.sqrt(share * (1 - share) / counted + z * z / (4 * counted * counted))
    return middle - half, middle + half


def sample(room: str, size: int, seed: int) -> tuple[int, list[tuple[Change, Text]]]:
    """How many changes a room has, and as many of them as asked for, by chance; 0 asks for all."""
    everything = [found for module in _modules(room) for found in changes(module, path_of(module))]
    if not size or size >= len(everything):
        return len(everything), everything
    chosen = random.Random(seed).sample(range(len(everything)), size)
    return len(everything), [everything[n] for n in sorted(chosen)]


def again(file: Path) -> list[tuple[Change, Text]]:
    """The changes of an earlier run that nothing noticed."""
    kept = json.loads(file.read_text("utf-8"))["left"]
    asked = {Change(**{k: v for k, v in row.items() if k != "outcome"}) for row in kept}
    found = [
        f
        for module in {c.module for c in asked}
        for f in changes(module, path_of(module))
        if f[0] in asked
    ]
    return sorted(found, key=lambda f: (f[0].module, f[0].line, f[0].number))


def outcomes(chosen: list[tuple[Change, Text]], reached: Reach) -> list[str]:
    """What becomes of each change."""
    became = [""] * len(chosen)
    placed: list[tuple[int, Try, list[Swap]]] = []
    fresh: list[tuple[int, Try]] = []
    for at, (change, make) in enumerate(chosen):
        tests = reached.tests(change)
        one = Try(change.module, make(), tests, reached.limit_s(tests))
        changed = swaps(one.module, one.text)
        if not tests:
            became[at] = "unreached"
        elif changed and not reached.runs_at_import(change):
            placed.append((at, one, changed))
        else:
            fresh.append((at, one))
    codes = in_place([(one, changed) for _, one, changed in placed]) if placed else []
    if len(codes) < len(placed):
        raise SystemExit("The tests cannot be collected: run them alone.")
    for (at, one, _), code in zip(placed, codes, strict=True):
        became[at] = WORDS.get(code, "")
        if code == UNFIT:
            fresh.append((at, one))
    for at, one in fresh:
        became[at] = WORDS[_in_two_steps(one)]
    return became


WORDS = {SURVIVED: "survived", NOTICED: "noticed", STILLBORN: "stillborn", ASLEEP: "asleep"}


def _in_two_steps(one: Try) -> int:
    """First the tests of one file, which start sooner, then the others."""
    best, _ = Counter(test.partition("::")[0] for test in one.tests).most_common(1)[0]
    own = [test for test in one.tests if test.startswith(f"{best}::")]
    rest = [test for test in one.tests if not test.startswith(f"{best}::")]
    code = afresh(replace(one, tests=own))
    return afresh(replace(one, tests=rest)) if code == SURVIVED and rest else code


def prove(chosen: list[tuple[Change, Text]], reached: Reach) -> None:
    """Ends the program where tests fail though nothing is changed."""
    one_each = {change.module: change for change, _ in chosen}
    tries = []
    for module, change in sorted(one_each.items()):
        if tests := reached.tests(change)[:10]:
            text = path_of(module).read_text("utf-8")
            tries.append((Try(module, text, tests, 60 * START_S), []))
    codes = in_place(tries)
    for (one, _), code in zip(tries, codes, strict=True):
        if code != SURVIVED:
            raise SystemExit(f"{one.module}: its tests fail though nothing is changed")


def judge(name: str, chosen: list[tuple[Change, Text]], of: int, reached: Reach) -> None:
    """Tries the changes, prints what got away and writes it to build/mutants."""
    prove(chosen, reached)
    counts: Counter[str] = Counter()
    left = []
    for (change, _), became in zip(chosen, outcomes(chosen, reached), strict=True):
        counts[became] += 1
        if became not in ("noticed", "stillborn"):
            left.append({**asdict(change), "outcome": became})
            where = f"{change.module.removeprefix('setpiece.')}:{change.line} {change.function}"
            did = f"{_short(change.before)} → {_short(change.after)}"
            print(f"  {became} {where}: {did}", flush=True)
    counted = len(chosen) - counts["stillborn"]
    low, high = interval(counts["noticed"], counted) if counted else (0.0, 1.0)
    share = counts["noticed"] / counted if counted else 0.0
    print(
        f"{name}: {of} changes, {len(chosen)} tried, {counts['stillborn']} of them cannot be "
        f"imported; {counts['noticed']} of {counted} noticed: "
        f"{share:.1%} ({low:.1%} to {high:.1%})",
        flush=True,
    )
    kept = {"counts": counts, "of": of, "left": left}
    (BUILD / f"{name}.json").write_text(json.dumps(kept, indent=1, ensure_ascii=False), "utf-8")


def _short(code: str, most: int = 110) -> str:
    line = " ".join(code.split())
    return line if len(line) <= most else f"{line[:most]}…"


def main() -> None:
    """The command."""
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    ask.add_argument("--rooms", default=",".join(ROOMS), help="names parted by commas")
    ask.add_argument("--sample", type=int, default=300, help="changes a room; 0 tries all")
    ask.add_argument("--seed", type=int, default=1, help="of the sample")
    ask.add_argument("--again", type=Path, help="what got away in an earlier run, once more")
    asked = ask.parse_args()
    sys.path.insert(0, str(ROOT / "src"))
    os.chdir(ROOT)
    os.environ["HYPOTHESIS_STORAGE_DIRECTORY"] = str(BUILD / "hypothesis")
    hasten()
    for name in FOREIGN:
        importlib.import_module(name)
    if asked.again:
        chosen = again(asked.again)
        room = asked.again.stem.partition("-")[0]
        judge(f"{asked.again.stem}-again", chosen, len(chosen), reach(room))
        return
    for room in asked.rooms.split(","):
        of, chosen = sample(room, asked.sample, asked.seed)
        judge(f"{room}-{asked.seed}", chosen, of, reach(room))


if __name__ == "__main__":
    main()
