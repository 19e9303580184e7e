"""The house as the code builds it: who imports whom, how long things are, what has its words."""

from __future__ import annotations

import ast
import importlib.util
import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from statistics import median

import pytest
from typer.main import get_command

from setpiece.cli.main import app
from setpiece.store.delivery import State
from setpiece.store.frames import Decision

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "setpiece"
Function = ast.FunctionDef | ast.AsyncFunctionDef

MOST_LINES = 400
MOST_MEDIAN = 12
MOST_OF_A_FUNCTION = 60
"""What fits a screen."""

LONG = {
    "cli.find.find", "cli.plan.light", "cli.plan_sheet.sheet", "cli.plan_tables.lens",  # options
    "web.touchline.acting.add_acts", "web.before.papers.add_papers",  # addresses
    "web.phone.pages.add_phones",
    "plan.answers.lens.lens_answer", "plan.drawings.lens.draw_lens",  # one table, one drawing
    "work.demo.poses.joints",  # one table
}  # fmt: skip
"""Functions that are longer, being a list of one kind of thing."""

KINDS_OF_SENDER = {"send.ftp", "send.sftp", "send.folder"}
"""`open_sender` imports these when a desk of the kind is first opened: paramiko alone costs more
than everything else at a start. Nothing else may import late what imports it."""


@dataclass(frozen=True)
class Module:
    """One file of the program: its name below the package, its tree, its imports."""

    name: str
    lines: int
    tree: ast.Module

    @property
    def room(self) -> str:
        """The room it lies in."""
        return self.name.partition(".")[0]


@cache
def modules() -> dict[str, Module]:
    """Every module by its name, migrations apart."""
    found = {}
    for path in sorted(SOURCE.rglob("*.py")):
        parts = path.relative_to(SOURCE).with_suffix("").parts
        if "versions" in parts:
            continue
        name = ".".join(p for p in parts if p != "__init__")
        text = path.read_text("utf-8")
        found[name] = Module(name, len(text.splitlines()), ast.parse(text))
    return found


def only_for_types(tree: ast.Module) -> set[ast.AST]:
    """Everything below `if TYPE_CHECKING`."""
    blocks = (n for n in ast.walk(tree) if isinstance(n, ast.If))
    return {
        inner
        for block in blocks
        if ast.unparse(block.test) == "TYPE_CHECKING"
        for inner in ast.walk(block)
    }


def imported(module: Module, *, types: bool) -> set[str]:
    """The modules of the program that one imports, late ones too."""
    left_out = set() if types else only_for_types(module.tree)
    found = set()
    for node in ast.walk(module.tree):
        if node in left_out:
            continue
        if isinstance(node, ast.Import):
            named = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            named = [f"{node.module}.{alias.name}" for alias in node.names]
        else:
            continue
        ours = (n.removeprefix("setpiece.") for n in named if n.startswith("setpiece."))
        found |= {next((m for m in (n, n.rpartition(".")[0]) if m in modules()), "") for n in ours}
    return found - {""}


def drawn(place: Callable[[Module], str]) -> dict[str, set[str]]:
    """Each place of the house, and the other places it imports from; modules of no place left
    out."""
    picture: dict[str, set[str]] = {}
    for module in modules().values():
        others = {place(modules()[name]) for name in imported(module, types=True)}
        picture.setdefault(place(module), set()).update(others - {place(module), ""})
    return {here: others for here, others in picture.items() if here and others}


def room(module: Module) -> str:
    """The room, as a place."""
    return "" if module.name == "__main__" else module.room


def folder_of(of: str) -> Callable[[Module], str]:
    """The folders of a room, as places."""

    def folder(module: Module) -> str:
        lies_in, _, rest = module.name.partition(".")
        first = rest.partition(".")[0]
        return first if lies_in == of and first and (SOURCE / of / first).is_dir() else ""

    return folder


def told(begin: str) -> dict[str, set[str]]:
    """The lines of ARCHITECTURE.md's picture that open so, behind it who imports whom."""
    text = (ROOT / "ARCHITECTURE.md").read_text("utf-8")
    lines = re.findall(rf"^    {begin}(\w+) +◀─ (.+)$", text, re.MULTILINE)
    return {here: set(others.split()) for here, others in lines}


def test_the_picture_in_the_architecture_is_the_code() -> None:
    """ARCHITECTURE.md draws exactly the imports between rooms, and between the folders of the
    two largest, that the code has."""
    assert told("") == drawn(room)
    for of in ("work", "web"):
        assert told(f"{of}/") == drawn(folder_of(of))


def test_the_folders_of_the_jobs_have_no_step_back() -> None:
    """Of two folders or single files of `work/`, one may import the other, never each other, nor
    by a third."""

    def place(module: Module) -> str:
        lies_in, _, rest = module.name.partition(".")
        return rest.partition(".")[0] if lies_in == "work" else ""

    try:
        TopologicalSorter(drawn(place)).prepare()
    except CycleError as error:
        pytest.fail(" imports ".join(error.args[1]))


def test_no_module_imports_itself_by_a_way_round() -> None:
    """There is no cycle of imports, not even of late ones, but the kinds of sender."""
    graph = {name: imported(module, types=False) for name, module in modules().items()}
    graph["send.sender"] -= KINDS_OF_SENDER
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(" imports ".join(error.args[1]))


def test_no_module_is_too_long() -> None:
    """No module has more than 400 lines."""
    assert {m.name: m.lines for m in modules().values() if m.lines > MOST_LINES} == {}


def functions() -> Iterator[tuple[str, int]]:
    """Every function by its full name, and its lines."""
    for module in modules().values():
        for node in ast.walk(module.tree):
            if isinstance(node, Function):
                assert node.end_lineno is not None
                yield f"{module.name}.{node.name}", node.end_lineno - node.lineno + 1


def test_functions_are_short() -> None:
    """Half of all functions have at most 12 lines; those that fill a screen are named above."""
    lengths = dict(functions())
    assert median(n for _, n in functions()) <= MOST_MEDIAN
    assert {name for name, n in lengths.items() if n > MOST_OF_A_FUNCTION} <= LONG


def undocumented(module: Module) -> Iterator[str]:
    """Public classes, functions and methods without a docstring."""
    if any(part.startswith("_") for part in module.name.split(".")):
        return
    classes = [n for n in module.tree.body if isinstance(n, ast.ClassDef)]
    of_rules = {c for c in classes if any("Transformer" in ast.unparse(b) for b in c.bases)}
    shown = [c for c in classes if not c.name.startswith("_") and c not in of_rules]
    for node in [*module.tree.body, *(inner for c in shown for inner in c.body)]:
        named = isinstance(node, Function | ast.ClassDef) and not node.name.startswith("_")
        if named and not ast.get_docstring(node):
            yield f"{module.name}.{node.name}"


def test_what_is_public_says_what_it_is() -> None:
    """Every public class, function and method has a docstring; methods that are named by a rule
    of the grammar have the rule."""
    assert [name for m in modules().values() for name in undocumented(m)] == []


UNITS = frozenset(
    "s ms min h m cm mm km m2 px pt deg lx lux hz ppm share bytes kb kbit_s kg mbar".split()
)
"""Endings that are a unit wherever they stand behind a quantity."""


def quantities() -> Iterator[str]:
    """Every name that is declared as a number."""
    numbers = {"float", "int", "float | None", "int | None"}
    for module in modules().values():
        for node in ast.walk(module.tree):
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                name, kind = node.target.id, node.annotation
            elif isinstance(node, ast.arg) and node.annotation:
                name, kind = node.arg, node.annotation
            else:
                continue
            if ast.unparse(kind) in numbers:
                yield name.lower()


def test_the_glossary_has_every_unit() -> None:
    """A unit at the end of a quantity's name stands in the glossary, and none stands there idle."""
    told = (ROOT / "docs" / "glossary.md").read_text("utf-8").partition("## Words")[0]
    listed = set(re.findall(r"`_(\w+)`", told))
    ends = {name.partition("_")[2] for name in quantities()}
    used = {unit for unit in UNITS for end in ends if end == unit or end.endswith("_" + unit)}
    assert used == listed


def test_the_glossary_is_in_order_and_in_use() -> None:
    """The glossary's words stand by the alphabet, each once, and the program uses each."""
    words = glossary_words()
    assert words == sorted(set(words))
    code = "\n".join(p.read_text("utf-8") for p in SOURCE.rglob("*.py")).lower()
    assert [w for w in words if w not in code and w.replace(" ", "_") not in code] == []


def glossary_words() -> list[str]:
    """The words that the glossary explains."""
    text = (ROOT / "docs" / "glossary.md").read_text("utf-8")
    return re.findall(r"^\| ([^|`]+) \| ", text.partition("## Quantities")[0], re.MULTILINE)[1:]


def test_the_glossary_has_the_words_that_are_typed() -> None:
    """Every group of commands, and every decision on a frame, is a word of the glossary; so is
    every state of a delivery, in its row."""
    groups = [name for name, command in get_command(app).commands.items()  # type: ignore[attr-defined]
              if getattr(command, "commands", None)]  # fmt: skip
    typed = [*groups, *(d.value for d in Decision if d.value)]
    words = glossary_words()
    one = (word.replace("copies", "copy").removesuffix("s") for word in typed)
    assert [word for word in one if not any(word in known for known in words)] == []
    text = (ROOT / "docs" / "glossary.md").read_text("utf-8")
    delivery = next(row for row in text.splitlines() if row.startswith("| delivery |"))
    assert [state.value for state in State if state.value not in delivery] == []


def test_the_quantities_of_the_glossary_are_names_of_the_code() -> None:
    """Every quantity that the glossary explains is a name of the program."""
    text = (ROOT / "docs" / "glossary.md").read_text("utf-8").partition("## Quantities")[2]
    listed = {n for row in re.findall(r"^\| (`.+?) \| ", text, re.MULTILINE) for n in names_in(row)}
    assert listed
    assert listed - set(quantities()) == set()


def names_in(row: str) -> list[str]:
    """The names that stand in a cell as code."""
    return re.findall(r"`(\w+)`", row)


def test_every_message_stands_on_its_page() -> None:
    """docs/messages.md holds what tools/messages.py finds in the code."""
    spec = importlib.util.spec_from_file_location("messages", ROOT / "tools" / "messages.py")
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = tool  # dataclasses look their module up
    spec.loader.exec_module(tool)
    assert len(tool.messages()) > 500
    assert (ROOT / "docs" / "messages.md").read_text("utf-8") == tool.page()
