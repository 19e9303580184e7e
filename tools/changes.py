"""Every small change that mutmut would make to a module, in functions and in module tables alike.

mutmut itself leaves alone what stands outside functions and what is decorated; here both are
changed. Left out: annotations, decorators, docstrings, `__all__`, and the words of messages, which
docs/messages.md holds whole.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import libcst as cst
from libcst.metadata import MetadataWrapper, PositionProvider
from messages import SPEAKERS
from mutmut.mutation.file_mutation import (
    NEVER_MUTATE_FUNCTION_NAMES,
    MutationVisitor,
)
from mutmut.mutation.mutators import mutation_operators
from mutmut.mutation.pragma_handling import IgnoredCode

Text = Callable[[], str]


@dataclass(frozen=True)
class Change:
    """One change: where, in which function ("" for a table), which one there, and what it does."""

    module: str
    line: int
    last_line: int
    function: str
    number: int
    before: str
    after: str

    @property
    def lines(self) -> range:
        """The lines it stands on."""
        return range(self.line, self.last_line + 1)


class Everywhere(MutationVisitor):
    """Changes decorated functions too."""

    def _skip_node_and_children(self, node: cst.CSTNode) -> bool:
        if isinstance(node, cst.FunctionDef) and node.decorators:
            return node.name.value in NEVER_MUTATE_FUNCTION_NAMES
        if isinstance(node, cst.Assign) and node.targets[0].target.deep_equals(cst.Name("__all__")):
            return True
        return bool(super()._skip_node_and_children(node))


def changes(module: str, path: Path) -> Iterator[tuple[Change, Text]]:
    """Every change of a module, and what makes the changed text."""
    text = path.read_text("utf-8")
    wrapper = MetadataWrapper(cst.parse_module(text))
    visitor = Everywhere(mutation_operators, IgnoredCode(set(), set(), set()))
    tree = wrapper.visit(visitor)
    places = wrapper.resolve(PositionProvider)
    said = _said(text)
    for number, mutation in enumerate(visitor.mutations):
        old, new = mutation.original_node, mutation.mutated_node
        if old not in places:
            continue
        first, last = places[old].start.line, places[old].end.line
        if first in said and isinstance(old, cst.SimpleString) and " " in old.value:
            continue
        outer = mutation.contained_by_top_level_function
        function = outer.name.value if isinstance(outer, cst.FunctionDef) else ""
        codes = (tree.code_for_node(old), tree.code_for_node(new))
        yield Change(module, first, last, function, number, *codes), partial(_text, tree, old, new)


def _text(tree: cst.Module, old: cst.CSTNode, new: cst.CSTNode) -> str:
    changed = tree.deep_replace(old, new)
    assert isinstance(changed, cst.Module)
    return changed.code


def _said(text: str) -> set[int]:
    """Lines with words of messages."""
    lines: set[int] = set()
    for call in (n for n in ast.walk(ast.parse(text)) if isinstance(n, ast.Call)):
        if getattr(call.func, "attr", getattr(call.func, "id", "")) in SPEAKERS:
            for part in (p for a in [*call.args, *call.keywords] for p in ast.walk(a)):
                if isinstance(part, ast.Constant) and " " in str(part.value).strip():
                    lines |= set(range(part.lineno, (part.end_lineno or part.lineno) + 1))
    return lines


def inside_functions(path: Path) -> set[int]:
    """The lines of function bodies."""
    functions = (ast.FunctionDef, ast.AsyncFunctionDef)
    found = (n for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, functions))
    return {n for f in found for n in range(f.body[0].lineno, (f.end_lineno or f.lineno) + 1)}
