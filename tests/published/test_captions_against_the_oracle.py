"""Captions of random lines against an oracle that shares no code with the package."""

from __future__ import annotations

import ast
import sys
from functools import lru_cache
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent.parent / "captions" / "helpers"))
sys.path.append(str(Path(__file__).parent.parent / "captions" / "oracle"))

import accuracy
import plain_matches

pytestmark = pytest.mark.published

ORACLE = Path(__file__).parent.parent / "captions" / "oracle"
COUNT = 2000
"""Captions generated, and errors planted: the number the project asks of itself."""

MOST_FALSE_ERRORS = 0.005
MOST_DOUBTS = 0.05
"""Shares of clean captions that may be called wrong, or doubted. Our choice."""


@lru_cache(maxsize=1)
def matches(open_data: Path) -> list[plain_matches.Match]:
    """The demo, another invented match, and ten of the open files."""
    own = [plain_matches.demo(), plain_matches.invented()]
    return [*own, *plain_matches.replayed(open_data)]


@lru_cache(maxsize=1)
def composed(open_data: Path) -> accuracy.Figures:
    """Random valid lines, read by the oracle."""
    return accuracy.against_oracle(matches(open_data), COUNT)


@lru_cache(maxsize=1)
def typed(open_data: Path) -> accuracy.Figures:
    """True texts typed by hand."""
    return accuracy.typed_over_clean(matches(open_data), COUNT // 2)


@lru_cache(maxsize=1)
def planted(open_data: Path) -> accuracy.Figures:
    """Planted errors of every kind."""
    return accuracy.planted(matches(open_data)[:6], COUNT)


def test_the_oracle_imports_nothing_of_the_package() -> None:
    """No module of the oracle imports the package, and all it imports is named here."""
    allowed = {
        "__future__", "collections", "dataclasses", "datetime", "lines", "openfootball", "pathlib",
        "plain", "random", "re", "unicodedata", "zoneinfo",
    }  # fmt: skip
    modules = sorted(ORACLE.glob("*.py"))
    assert len(modules) >= 4
    for module in modules:
        for node in ast.walk(ast.parse(module.read_text("utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert {name.split(".")[0] for name in names} <= allowed, module.name


def test_ten_open_matches_are_replayed(open_data: Path) -> None:
    """Ten matches with line-ups, numbers, goals, cards and changes stand beside our own two."""
    found = matches(open_data)
    assert len(found) == 12
    assert all(len(m.events) >= 5 and len(m.people) > 40 for m in found[2:])


def test_no_caption_of_a_random_line_has_a_wrong_fact(open_data: Path) -> None:
    """Names, numbers, sides, minutes, running scores and dates are the oracle's."""
    figures = composed(open_data)
    assert figures.captions >= COUNT
    assert figures.refused == []
    assert figures.wrong == []


def test_clean_captions_are_seldom_doubted(open_data: Path) -> None:
    """True captions from lines are called wrong in at most 0.5 %, doubted in at most 5 %."""
    figures = composed(open_data)
    assert len(figures.false_errors) <= MOST_FALSE_ERRORS * figures.captions, figures.false_errors
    assert figures.doubted <= MOST_DOUBTS * figures.captions


def test_clean_texts_typed_by_hand_are_seldom_doubted(open_data: Path) -> None:
    """The same true texts typed over are called wrong in at most 0.5 %, doubted in 5 %."""
    figures = typed(open_data)
    assert figures.captions >= COUNT // 2
    assert len(figures.false_errors) <= MOST_FALSE_ERRORS * figures.captions, figures.false_errors
    assert figures.doubted <= MOST_DOUBTS * figures.captions


def test_every_planted_error_is_found(open_data: Path) -> None:
    """Of at least 20 kinds of error in 2,000 captions the check finds every one."""
    figures = planted(open_data)
    assert len(figures.planted) >= 20
    assert min(figures.planted.values()) >= COUNT // len(figures.planted)
    assert figures.missed == []
    assert sum(figures.found.values()) >= COUNT


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 11))
def test_other_random_starts_find_nothing_more(
    seed: int, open_data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From ten other random starts: no wrong fact, nothing refused, every planted error found."""
    monkeypatch.setattr(accuracy, "SEED", seed)
    made = accuracy.against_oracle(matches(open_data), COUNT)
    assert (made.wrong, made.refused, made.false_errors) == ([], [], [])
    assert accuracy.planted(matches(open_data)[:6], COUNT).missed == []
