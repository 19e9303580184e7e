"""Writes docs/accuracy.md: every figure that is held against a source outside the project.

Each `tests/published/*_report.py` gives its room's rows; open data is read from
SETPIECE_OPEN_DATA, by default ../shared/data beside the checkout.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
PUBLISHED = ROOT / "tests" / "published"

HEAD = """# What is held against a source outside the project

Made by `make report`; every row is a test in `tests/published/` or is counted there. *May differ
by* is the tolerance, with its reason. A source marked *from memory* was not seen again.
"""

TITLES = {
    "match": "Match: minutes, scores, line-ups, names",
    "frames": "Frames: camera clocks",
    "captions": "Captions",
    "plan": "Plan: optics, ball, pitch, light, exposure",
    "after": "After: archive, statements",
}


def _text(value: Any) -> str:
    if isinstance(value, float):
        return f"{value:.10g}"
    return str(value).replace("|", "\\|").replace("\n", " ")


def _difference(published: Any, ours: Any) -> str:
    """Ours less the published figure, to three digits; empty where they are no numbers."""
    if not isinstance(published, int | float) or not isinstance(ours, int | float):
        return ""
    return f"{ours - published:.3g}" if ours != published else "0"


def _table(rows: list[tuple[Any, ...]]) -> str:
    lines = [
        "| quantity | source | published | ours | difference | may differ by | why |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for quantity, source, section, published, ours, tolerance, why in rows:
        where = f"{source}, {section}" if section else source
        cells = (quantity, where, published, ours, _difference(published, ours), tolerance, why)
        lines.append("| " + " | ".join(_text(c) for c in cells) + " |")
    return "\n".join(lines)


def report() -> str:
    """The whole page."""
    sys.path[:0] = [str(PUBLISHED), str(ROOT / "tests")]
    parts = [HEAD]
    for path in sorted(PUBLISHED.glob("*_report.py")):
        room = path.stem.removesuffix("_report")
        rows = importlib.import_module(path.stem).report_rows()
        parts.append(f"## {TITLES.get(room, room.capitalize())}\n\n{_table(rows)}\n")
        module = sys.modules[path.stem]
        if hasattr(module, "disagreements"):
            parts.append("What does not agree, and why:\n")
            parts += [f"- {what}: {why}" for what, why in module.disagreements()]
            parts.append("")
        print(f"{room}: {len(rows)} rows")
    return "\n".join(parts)


if __name__ == "__main__":
    page = report()
    (ROOT / "docs" / "accuracy.md").write_text(page, encoding="utf-8")
    print("docs/accuracy.md written")
