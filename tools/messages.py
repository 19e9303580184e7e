"""Writes every message of the program to docs/messages.md, so that they can be read in one go.

Errors, findings, remarks and troubles are found by their calls in the code, what commands print by
`typer.echo`, the page's sentences in its English texts. Braces hold what is put in when it runs.
"""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "setpiece"
TEXTS = SOURCE / "web" / "texts" / "en.toml"
PAGE = ROOT / "docs" / "messages.md"

SPEAKERS = {
    "SetpieceError": "error", "TryAgain": "try again", "LinkLost": "try again",
    "OutcomeUnknown": "outcome unknown", "Busy": "try again", "AskPhotographer": "ask",
    "WrongUse": "wrong use", "NotFound": "not found", "Choices": "choose", "Refused": "refused",
    "GiveUp": "cannot", "NoSpace": "no space", "ReadOnly": "cannot write", "BadFile": "bad file",
    "Stopped": "stopped", "ShorthandError": "wrong use", "FirstContact": "ask",
    "Verdict": "desk", "error": "blocks", "doubt": "doubt", "remark": "remark",
    "Remark": "remark", "Finding": "finding", "Trouble": "trouble",
    "echo": "says", "says": "remark", "_no_number": "wrong use",
}  # fmt: skip
"""Whatever is called to say something, and what the page calls it."""

SENTENCE_WORDS = 4
"""Texts of the page with fewer words are labels."""


@dataclass(frozen=True)
class Message:
    """One message: where it is said, of which kind, what it says and what to do next."""

    module: str
    kind: str
    says: str
    next_step: str = ""


def messages() -> list[Message]:
    """Every message, by module and in the order of the code."""
    found = []
    for path in sorted(SOURCE.rglob("*.py")):
        name = path.relative_to(SOURCE).as_posix()
        calls = [n for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call)]
        for call in sorted(calls, key=lambda c: (c.lineno, c.col_offset)):
            if message := _message(name, call):
                found.append(message)
    return found


def _message(module: str, call: ast.Call) -> Message | None:
    function = call.func
    named = function.attr if isinstance(function, ast.Attribute) else ""
    named = function.id if isinstance(function, ast.Name) else named
    if named not in SPEAKERS:
        return None
    parts = [text for argument in call.args for text in texts(argument)]
    steps = [t for k in call.keywords if k.arg == "next_step" for t in texts(k.value)]
    if named == "Verdict" and len(parts) > 1:
        parts, steps = parts[:1], parts[1:]
    says = [part for part in parts if " " in part.strip()]
    if not says:
        return None
    return Message(module, SPEAKERS[named], " / ".join(says), " / ".join(steps))


def texts(node: ast.expr) -> Iterator[str]:
    """The texts an expression may be: both sides of a choice, braces for what is put in."""
    if isinstance(node, ast.IfExp):
        yield from texts(node.body)
        yield from texts(node.orelse)
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        left, right = next(texts(node.left), "{}"), next(texts(node.right), "{}")
        yield left + right
    elif isinstance(node, ast.JoinedStr):
        yield "".join(_part(value) for value in node.values)
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value


def _part(value: ast.expr) -> str:
    if isinstance(value, ast.Constant):
        return str(value.value)
    inner = next((n for n in ast.walk(value) if isinstance(n, ast.Name | ast.Attribute)), None)
    name = inner.attr if isinstance(inner, ast.Attribute) else getattr(inner, "id", "")
    return "{" + name + "}"


def sentences() -> list[tuple[str, str]]:
    """The page's texts that are sentences, by key."""
    return list(_sentences("", tomllib.loads(TEXTS.read_text("utf-8"))))


def _sentences(key: str, value: object) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name, part in value.items():
            yield from _sentences(f"{key}.{name}".lstrip("."), part)
    elif isinstance(value, str) and len(value.split()) >= SENTENCE_WORDS:
        yield key, value


def page() -> str:
    """The page."""
    lines = [
        "# Every message",
        "",
        "Written by `.venv/bin/python tools/messages.py` from the code, to be read as a tired",
        "photographer reads at 21:50: what happened, to which thing, what to do next. An error",
        "also names its thing in front, and a server's own words behind. Braces hold what is put",
        "in; a stroke parts the ways a message may go.",
    ]
    module = ""
    for message in messages():
        if message.module != module:
            module = message.module
            lines += ["", f"## {module}", ""]
        step = f" → {_plain(message.next_step)}" if message.next_step else ""
        lines.append(f"- *{message.kind}*: {_plain(message.says)}{step}")
    lines += ["", "## The page's own sentences", ""]
    lines += [f"- `{key}`: {_plain(text)}" for key, text in sentences()]
    return "\n".join(lines) + "\n"


def _plain(text: str) -> str:
    """On one line, with nothing that the page would read as its own marks."""
    line = " ".join(text.split())
    return "".join("\\" + sign if sign in "*_<>[]`" else sign for sign in line)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
