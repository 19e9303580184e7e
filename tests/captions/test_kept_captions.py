"""The golden lines' captions in every shipped style are what they were when last read through.

`golden.py` states what the clause of each must say; here headline, alt text, keywords, people and
what the check says of each twin are held as well. After a change that is meant,
`python tests/captions/test_kept_captions.py` writes `kept_captions.json` anew; read what git shows.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest

sys.path.append(str(Path(__file__).parent / "helpers"))
from cup_tie import DARK_LOG, LOG, LONG_LOG, CupTie, second
from golden import GOLDEN, Golden

from setpiece.captions.caption import Caption
from setpiece.captions.typed_over import typed_over
from setpiece.work.style_files import load_acts, style_names

KEPT = Path(__file__).parent / "kept_captions.json"
OTHERS = ("club", "gazette", "nordblatt")
LOGS = {"tie": LOG, "long": LONG_LOG, "dark": DARK_LOG}


def ties() -> dict[str, CupTie]:
    """The three logs of the tie."""
    acts = load_acts()
    return {name: CupTie(acts, log) for name, log in LOGS.items()}


def told(caption: Caption) -> dict[str, Any]:
    """What a caption says and rests on."""
    fields, facts = caption.fields, caption.facts
    return {
        "description": fields.description,
        "headline": fields.headline,
        "alt text": fields.alt_text,
        "keywords": ", ".join(fields.keywords),
        "people": [f"{p.name}: {p.description}" for p in fields.persons],
        "organisations": ", ".join(fields.organisations),
        "score": str(facts.score),
        "minute": str(facts.minute),
        "entries": list(facts.entries),
        "worn": [f"{p.person} {p.number_worn} {p.title}".strip() for p in facts.people],
        "places": list(facts.places),
        "held for care": caption.held_for_care,
    }


def twin(golden: Golden, tie: CupTie) -> list[str]:
    """What the check says of the caption with its one wrong fact."""
    caption = tie.compose(golden.line, golden.at, frame=golden.frame)
    text = caption.fields.description.replace(golden.right, golden.wrong)
    situation = tie.situation(golden.at, golden.frame)
    values = replace(caption.fields, description=text)
    wrong = typed_over(caption, values, situation, tie.style(), tie.acts)
    return [
        f"{f.level}, {f.code} [{f.thing}]"
        + (f" {', '.join(f.choices)}" if f.choices else "")
        + ("" if f.can_overrule else " (nobody overrules it)")
        for f in tie.check(wrong, golden.at, frame=golden.frame)
    ]


def kept_of(golden: Golden, tie: CupTie) -> dict[str, Any]:
    """Everything that is held of one golden line."""
    made = told(tie.compose(golden.line, golden.at, frame=golden.frame))
    for style in OTHERS:
        fields = tie.compose(golden.line, golden.at, style, golden.frame).fields
        made[style] = [fields.description, fields.headline, fields.alt_text]
    made["twin"] = twin(golden, tie)
    return made


def whole(tie: CupTie, style: str) -> dict[str, Any]:
    """Every field of one caption."""
    caption = tie.compose("9r celebrates with 11r right", second(73, 50), style)
    return json.loads(json.dumps(asdict(caption.fields), default=str))  # type: ignore[no-any-return]


def everything() -> dict[str, Any]:
    """All that is held, by the situation's words."""
    by_log = ties()
    made = {golden.about: kept_of(golden, by_log[golden.tie]) for golden in GOLDEN}
    return made | {f"fields, {name}": whole(by_log["tie"], name) for name in style_names()}


WAS: dict[str, Any] = json.loads(KEPT.read_text("utf-8")) if KEPT.exists() else {}


@pytest.fixture(scope="module")
def now() -> dict[str, CupTie]:
    """The three logs of the tie."""
    return ties()


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda g: g.about)
def test_a_golden_caption_is_what_it_was(golden: Golden, now: dict[str, CupTie]) -> None:
    """The same words in every style, the same people and facts, the same findings on its twin."""
    assert kept_of(golden, now[golden.tie]) == WAS[golden.about]


@pytest.mark.parametrize("style", style_names())
def test_every_field_of_a_caption_is_what_it_was(style: str, now: dict[str, CupTie]) -> None:
    """Date, places, rights and all: one whole caption a style."""
    assert whole(now["tie"], style) == WAS[f"fields, {style}"]


def test_nothing_is_kept_that_is_not_composed() -> None:
    """Every line that is kept is still golden."""
    assert len(WAS) == len(GOLDEN) + len(style_names())


if __name__ == "__main__":
    KEPT.write_text(json.dumps(everything(), indent=1, ensure_ascii=False) + "\n", "utf-8")
