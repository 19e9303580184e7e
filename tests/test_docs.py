"""What the papers say is what the code does."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

from setpiece.captions.grammar import COMMAND_WORDS
from setpiece.match.typed import KINDS
from setpiece.store.news import Topic

ROOT = Path(__file__).resolve().parent.parent
DOCS = sorted(ROOT.glob("*.md")) + sorted((ROOT / "docs").glob("*.md"))


def tool(name: str) -> ModuleType:
    """A script of tools/ as a module."""
    spec = importlib.util.spec_from_file_location(name, ROOT / "tools" / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_every_json_has_its_schema_in_docs() -> None:
    """docs/schemas holds exactly what `make schemas` writes."""
    written = {p.name: p.read_text("utf-8") for p in (ROOT / "docs" / "schemas").glob("*.json")}
    assert written == tool("schemas").schemas()


def test_the_event_topics_stand_in_interfaces() -> None:
    """docs/interfaces.md names every topic of the event stream."""
    text = (ROOT / "docs" / "interfaces.md").read_text("utf-8")
    for topic in Topic:
        assert f"`{topic.value}`" in text


def test_words_that_log_never_open_a_caption() -> None:
    """The first words of common log lines act; none of them can begin a caption."""
    first = {word.split()[0] for word in KINDS} & {
        "goal",
        "yellow",
        "red",
        "sub",
        "penalty",
        "note",
    }
    assert first <= COMMAND_WORDS
    assert {"whistle", "use", "hold", "spike", "send", "next", "find", "answer"} <= COMMAND_WORDS


def test_the_figures_of_the_readme_are_those_of_the_report() -> None:
    """Each row of README's table of accuracy stands in docs/accuracy.md with the same figures."""
    table = (
        (ROOT / "README.md").read_text("utf-8").partition("| accuracy |")[2].partition("\n\n")[0]
    )
    shown = [tuple(c.strip() for c in row.split("|")[1:4]) for row in table.splitlines()[2:]]
    report = (ROOT / "docs" / "accuracy.md").read_text("utf-8")
    rows = [[c.strip() for c in line.split("|")] for line in report.splitlines() if "|" in line]
    known = {(r[1], r[3], r[4]) for r in rows if len(r) > 4}
    assert len(shown) > 5
    assert [row for row in shown if row not in known] == []


@pytest.mark.parametrize("page", DOCS, ids=lambda p: p.name)
def test_links_of_the_papers_lead_somewhere(page: Path) -> None:
    """Every link of a page to a file of the project leads to a file."""
    for target in re.findall(r"\]\((?!https?:|#)([^)#\s]+)", page.read_text("utf-8")):
        assert (page.parent / target).exists(), target


def test_the_rooms_in_the_architecture_are_the_rooms() -> None:
    """ARCHITECTURE.md has a row for every room, and files it names are there."""
    text = (ROOT / "ARCHITECTURE.md").read_text("utf-8")
    source = ROOT / "src" / "setpiece"
    for room in (p.name for p in source.iterdir() if (p / "__init__.py").exists()):
        assert f"`{room}/`" in text
    rooms = "match|frames|captions|plan|pictures|store|send|work|web|cli"
    for name in re.findall(rf"`((?:{rooms})/[\w/.*]*)`", text):
        assert list(source.glob(name.rstrip("/"))), name


def test_every_module_says_what_it_is() -> None:
    """Every module has a docstring, and none is longer than 400 lines."""
    for path in (ROOT / "src").rglob("*.py"):
        if "versions" in path.parts:
            continue
        text = path.read_text("utf-8")
        assert text.startswith('"""'), path.name
        assert len(text.splitlines()) <= 400, f"{path.name}: {len(text.splitlines())} lines"
