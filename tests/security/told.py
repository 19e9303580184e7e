"""What every address of the page may answer: the OpenAPI of the application, and what it omits.

The application serves no schema (its documentation pages are off), but it can say one. Most of
its addresses answer a page, a style or a PDF, and every one may refuse; FastAPI does not know
that, so it is told here. An address that is neither below nor answered by a model of the program
counts as a page.
"""

from __future__ import annotations

import re
from typing import Any

from fastapi import FastAPI

TEXT = {"type": "string"}
SAID = {
    "type": "object",
    "properties": {"said": TEXT, "go": TEXT, "wrong": TEXT},
    "minProperties": 1,
    "maxProperties": 1,
    "additionalProperties": False,
}
"""What a form is answered: what was done, the address to go to, or what is wrong."""

WRONG_LINE = {"type": "object", "required": ["wrong"], "properties": {"wrong": {"type": "object"}}}
DONE = {
    "type": "object",
    "required": ["said", "go", "frames"],
    "properties": {"said": TEXT, "go": TEXT, "frames": {"type": "array", "items": TEXT}},
}
POINTED = {"type": "object"}
MALFORMED = {"type": "object", "required": ["detail"]}

KINDS = (
    (r"/picture/.*|.*/full/.*|.*\.jpg", ("image/jpeg",)),
    (r"/favicon\.ico", ("image/svg+xml",)),
    (r".*\.css", ("text/css",)),
    (r".*\.pdf", ("application/pdf",)),
    (r".*\.ics", ("text/calendar",)),
    (r"/clock-card/.*", ("text/css", "text/javascript", "image/svg+xml")),
    (r".*/news", ("text/event-stream",)),
)
"""What a path answers that is no page."""

JSON: dict[str, dict[str, Any]] = {
    "get /match/{folder}/standing": {
        "type": "object",
        "required": ["number", "mast", "margin", "rows"],
        "properties": {"number": {"type": "integer"}, "rows": {"type": "array"}},
    },
    "get /phone/time": {
        "type": "object",
        "required": ["ms"],
        "properties": {"ms": {"type": "integer"}},
    },
    "post /match/{folder}/line": {"anyOf": [DONE, WRONG_LINE]},
    "post /match/{folder}/line/point": {"anyOf": [POINTED, WRONG_LINE]},
    "post /match/{folder}/undo": {"anyOf": [DONE, WRONG_LINE]},
    "post /match/{folder}/stop": {"type": "object", "maxProperties": 0},
}
"""What an address answers as JSON, where neither a model nor SAID says it."""

REFUSALS = ("400", "401", "403", "404", "409", "422", "503")
REDIRECTS = {"get /phone/"}


def told(app: FastAPI) -> dict[str, Any]:
    """The application's schema with every answer it may give."""
    schema = app.openapi()
    for path, ways in schema["paths"].items():
        for method, way in ways.items():
            label = f"{method} {path}"
            answers = way["responses"]
            if label in REDIRECTS:
                answers["307"] = {"description": "elsewhere"}
                continue
            shape = _shape(label, answers["200"])
            answers["200"] = {"description": "done", "content": shape}
            page: dict[str, Any] = {"text/html": {}, "text/plain": {}}
            wrong = {"anyOf": [SAID, WRONG_LINE, MALFORMED]}
            for status in REFUSALS:
                refused = page | {"application/json": {"schema": wrong}}
                answers[status] = {"description": "refused", "content": refused}
    return schema


def _shape(label: str, answer: dict[str, Any]) -> dict[str, Any]:
    method, path = label.split()
    if label in JSON:
        return {"application/json": {"schema": JSON[label]}}
    if answer["content"].get("application/json", {}).get("schema"):
        return answer["content"]
    if method == "post":
        return {"application/json": {"schema": SAID}}
    kinds = next((k for pattern, k in KINDS if re.fullmatch(pattern, path)), ("text/html",))
    return {kind: {} for kind in kinds}
