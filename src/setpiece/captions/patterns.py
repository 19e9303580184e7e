"""Patterns of act files and house styles: Jinja2's sandbox, kept to choosing and filling in.

A pattern may fill in values, choose with `if`, and use the filters named here. Loops, macros,
includes, calls and arithmetic are refused: a style file from somebody else can neither run
long nor reach anything.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from jinja2 import StrictUndefined, Template, TemplateError, TemplateSyntaxError, meta, nodes
from jinja2.sandbox import SandboxedEnvironment

from setpiece.captions.tables import nearest
from setpiece.errors import WrongUse

FILTERS = frozenset(
    {"upper", "lower", "title", "capitalize", "replace", "default", "trim", "first", "last"}
)
_ALLOWED = (
    nodes.Template, nodes.Output, nodes.TemplateData, nodes.Name, nodes.If, nodes.CondExpr,
    nodes.Filter, nodes.Const, nodes.Compare, nodes.Operand, nodes.And, nodes.Or, nodes.Not,
    nodes.Getattr, nodes.Getitem, nodes.Concat, nodes.Tuple, nodes.List,
)  # fmt: skip
_ENVIRONMENT = SandboxedEnvironment(undefined=StrictUndefined)
_BLANKS = re.compile(r"[ \t\r\n]+")
_BEFORE_STOP = re.compile(r" +([,.;:!?)])")


def _refuse(node: nodes.Node, text: str) -> None:
    for inner in node.iter_child_nodes():
        if isinstance(inner, nodes.Filter) and inner.name not in FILTERS:
            raise WrongUse(
                f"the filter `{inner.name}` is not for patterns",
                thing=text,
                next_step="Use " + ", ".join(sorted(FILTERS)) + ".",
            )
        if not isinstance(inner, _ALLOWED):
            raise WrongUse(
                f"a pattern cannot hold {type(inner).__name__.lower()}",
                thing=text,
                next_step="Patterns fill in values and choose with if; nothing else.",
            )
        _refuse(inner, text)


@lru_cache(maxsize=4096)
def _compiled(text: str) -> Template:
    try:
        tree = _ENVIRONMENT.parse(text)
        _refuse(tree, text)
        return _ENVIRONMENT.from_string(text)
    except TemplateSyntaxError as error:
        raise WrongUse(
            f"the pattern cannot be read: {error.message}",
            thing=text,
            next_step="Values stand as {{ name }}, choices as {% if name %} ... {% endif %}.",
        ) from error


def check_pattern(text: str, known: Iterable[str], thing: str) -> None:
    """Raises WrongUse for a pattern that cannot be read or uses a value there is not."""
    try:
        _compiled(text)
    except WrongUse as error:
        raise WrongUse(error.what, thing=f"{thing}: {text}", next_step=error.next_step) from error
    names = set(known)
    for name in sorted(values_in(text) - names):
        near = nearest(name, names)
        hint = f"Did you mean {' or '.join(near)}?" if near else f"Use {', '.join(sorted(names))}."
        raise WrongUse(f"there is no value `{name}`", thing=f"{thing}: {text}", next_step=hint)


def values_in(text: str) -> frozenset[str]:
    """The values that a pattern fills in."""
    return frozenset(meta.find_undeclared_variables(_ENVIRONMENT.parse(text)))


def fill(text: str, values: Mapping[str, object]) -> str:
    """The pattern with its values; runs of blanks become one, none stands before a stop."""
    if "{" not in text:
        return text
    try:
        raw = _compiled(text).render(values)
    except TemplateError as error:
        raise WrongUse(f"the pattern failed: {error}", thing=text) from error
    return raw


def tidy(text: str) -> str:
    """One blank between words, none before a stop or at the ends."""
    return _BEFORE_STOP.sub(r"\1", _BLANKS.sub(" ", text)).strip()
