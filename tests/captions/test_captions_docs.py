"""What the page on shorthand and the page on house styles say is so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cup_tie import SHEET, CupTie, first, second

from setpiece.captions.acts import Acts
from setpiece.captions.grammar import parse
from setpiece.captions.situation import vocabulary_of
from setpiece.captions.style import NAME_VALUES, SENTENCE_VALUES
from setpiece.work.style_files import load_style, style_names

DOCS = Path(__file__).resolve().parent.parent.parent / "docs"
SHORTHAND = (DOCS / "shorthand.md").read_text("utf-8")
STYLES = (DOCS / "house-styles.md").read_text("utf-8")
WHEN = {
    "5w": first(30), "1g": second(67, 20), "17w": second(62, 20), "ref": second(52, 20),
    "w": second(60),
}  # fmt: skip
"""When the examples are: the others celebrate after the goal of the 74th minute."""

ROWS = re.findall(r"^\| (`[^|]+`) \| ([^|]+) \|$", SHORTHAND, re.M)


@pytest.mark.parametrize(("typed", "printed"), ROWS)
def test_each_example_prints_what_the_page_says(typed: str, printed: str, tie: CupTie) -> None:
    """The first column, typed in the cup tie, gives the second."""
    lines = re.findall(r"`([^`]+)`", typed)
    assert lines
    for line in lines:
        at = WHEN.get(line.split()[0], second(73, 50))
        if "after 74" in line:
            at = second(80)
        text = tie.compose(line, at).fields.description
        for words in re.split(r" · |…", printed) if len(lines) == 1 else ():
            assert words.strip() in text or "," in words or "that goal" in words, text


def test_every_word_on_the_page_is_known(acts: Acts) -> None:
    """Placements, ways, places and entries named there are words of the shorthand."""
    lexicon = {" ".join(words) for words in acts.lexicon.phrases}
    part = SHORTHAND[SHORTHAND.index("**Where they stand**") : SHORTHAND.index("**Acts.**")]
    numbers = re.compile(r"^(?:74 |100th )")
    people = re.compile(r" (?:r supporters)$")
    for words in re.findall(r"`([^`]+)`", part):
        known = people.sub("", numbers.sub("", words))
        assert known in lexicon or known in ("quote", "unquote"), words


def test_every_act_on_the_page_can_be_typed(acts: Acts) -> None:
    """Each act named under Acts is read after a person."""
    part = SHORTHAND[SHORTHAND.index("**Acts.**") : SHORTHAND.index("**It never guesses.**")]
    part = re.sub(r"\*\*Acts\.\*\*|\*[A-Z][^*]*\*", " , ", " ".join(part.split()))
    known = {" ".join(words) for words in acts.lexicon.phrases}
    for chunk in re.split(r"[,.]", part):
        rest = chunk.strip()
        if not rest or "/" in rest:
            continue
        words = rest.split()
        at = 0
        while at < len(words):
            size = next(n for n in range(4, 0, -1) if " ".join(words[at : at + n]) in known
                        or _reads(" ".join(words[at : at + n]), acts))  # fmt: skip
            at += size


def _reads(words: str, acts: Acts) -> bool:
    from setpiece.captions.line import ShorthandError

    try:
        return bool(parse(f"9r {words}", acts, vocabulary_of(SHEET)).act)
    except ShorthandError:
        return False


def test_the_page_names_every_shipped_style_and_value() -> None:
    """Styles, values of patterns and tables of the file stand on the page."""
    for name in style_names():
        assert f"| {load_style(None, name).name} |" in STYLES
    for value in (*SENTENCE_VALUES, *NAME_VALUES):
        assert f"`{value}`" in STYLES, value


def test_shorthand_is_one_page() -> None:
    """The page is short enough for one sheet of paper."""
    assert len(SHORTHAND.split()) <= 800
