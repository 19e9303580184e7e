"""The figures of accuracy: captions against the oracle, planted errors against the check."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from lines import Lines
from mutation import KINDS, Clean
from plain import Match
from replay import Replay
from said import LOOKS, wrong

from setpiece.captions.check import check
from setpiece.captions.compose import Creator, compose
from setpiece.captions.findings import Finding, Level
from setpiece.errors import SetpieceError
from setpiece.work.style_files import load_acts, load_style

CREATOR = Creator("Kim Arnesen")
SEED = 20270306


@dataclass
class Figures:
    """What a run counted. `wrong`, `refused` and `missed` name their cases."""

    captions: int = 0
    wrong: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    false_errors: list[str] = field(default_factory=list)
    doubted: int = 0
    planted: Counter[str] = field(default_factory=Counter)
    found: Counter[str] = field(default_factory=Counter)
    missed: list[str] = field(default_factory=list)


def clean_captions(
    matches: Sequence[Match], count: int, figures: Figures
) -> Iterator[tuple[Clean, str]]:
    """True captions over the matches and every style in turn, with the style's name."""
    acts = load_acts()
    sources = [
        (match, Replay(match), chance := random.Random(SEED + index), Lines(match, chance))
        for index, match in enumerate(matches)
    ]
    for number in range(count):
        match, replay, chance, lines = sources[number % len(sources)]
        case, name = lines.case(), list(LOOKS)[number // len(sources) % len(LOOKS)]
        situation, style = replay.situation(case.at_s), load_style(None, name)
        figures.captions += 1
        try:
            caption = compose(case.line, situation, style, acts, creator=CREATOR)
        except SetpieceError as error:
            figures.refused.append(f"{match.id}, {case.line}: {error}")
            continue
        yield Clean(caption, case, situation, style, acts, replay, chance), name


def against_oracle(matches: Sequence[Match], count: int) -> Figures:
    """Random valid lines, their captions read by the oracle and held against the check."""
    figures = Figures()
    for clean, name in clean_captions(matches, count, figures):
        told = wrong(clean.text, name, clean.case, clean.match)
        if told:
            figures.wrong.append(f"{name}, {clean.case.line}: {told}: {clean.text}")
        _count_false(figures, clean, clean.caption, f"{name}, {clean.case.line}")
    return figures


def _count_false(figures: Figures, clean: Clean, caption, what: str) -> None:
    found = check(caption, clean.situation, clean.style, clean.acts)
    errors = [f for f in found if f.level is Level.ERROR]
    if errors:
        figures.false_errors.append(f"{what}: {errors[0].message}: {caption.fields.description}")
    figures.doubted += any(f.level is Level.DOUBT for f in found)


def typed_over_clean(matches: Sequence[Match], count: int) -> Figures:
    """The same true texts as if typed by hand: nothing in them may be called wrong."""
    figures = Figures()
    for clean, name in clean_captions(matches, count, figures):
        caption = clean.with_fields(clean.caption.fields)
        _count_false(figures, clean, caption, f"{name}, {clean.case.line}")
    return figures


def planted(matches: Sequence[Match], count: int) -> Figures:
    """Errors planted kind by kind in turn until `count` stand; each must be found."""
    figures = Figures()
    most = -(-count // len(KINDS))
    waiting = list(KINDS)
    for clean, name in clean_captions(matches, count * 40, figures):
        if not waiting:
            break
        for kind in sorted(waiting, key=lambda k: figures.planted[k]):
            plant, codes = KINDS[kind]
            made = plant(clean)
            if made is None:
                continue
            caption, situation = made if isinstance(made, tuple) else (made, clean.situation)
            found = check(caption, situation, clean.style, clean.acts)
            figures.planted[kind] += 1
            if _met(found, codes):
                figures.found[kind] += 1
            else:
                figures.missed.append(f"{kind}, {name}: {caption.fields.description}")
            if figures.planted[kind] >= most:
                waiting.remove(kind)
            break
    return figures


def _met(found: Sequence[Finding], codes: tuple[str, ...]) -> bool:
    return any(f.level is Level.ERROR and f.code in codes for f in found)
