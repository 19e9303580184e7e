"""Reading tables of TOML, and the patterns in them."""

from __future__ import annotations

import pytest

from setpiece.captions.patterns import check_pattern, fill, tidy, values_in
from setpiece.captions.tables import nearest, read_toml
from setpiece.errors import WrongUse


def test_the_nearest_words_are_like_and_few() -> None:
    """Like words come best first; a word like none has none."""
    assert nearest("celebrat", ["celebrates", "shoots"]) == ("celebrates",)
    assert nearest("zzz", ["celebrates"]) == ()


def test_each_value_is_held_to_its_kind() -> None:
    """A wrong kind names the key and what it should be."""
    table = read_toml('a = 1\nb = "x"\nc = [1]\nd = true\ne = 5', "file")
    for read, words in (
        (lambda: table.text("a"), "a text in quotation marks"),
        (lambda: table.number("b", 0, 0, 9), "a whole number from 0 to 9"),
        (lambda: table.number("d", 0, 0, 9), "a whole number from 0 to 9"),
        (lambda: table.texts("c"), "a list of texts"),
        (lambda: table.flag("a", False), "true or false"),
        (lambda: table.table("b"), "a table, [b]"),
        (lambda: table.one_of("b", ("y", "z"), "y"), 'one of "y", "z"'),
        (lambda: table.text("missing"), "`missing` is missing"),
    ):
        with pytest.raises(WrongUse) as caught:
            read()
        assert words in str(caught.value)


def test_a_key_nobody_asked_for_is_refused_with_the_nearest() -> None:
    """A slip in a key is named with the key it is like."""
    table = read_toml("qualty = 3", "file")
    table.number("quality", 85, 1, 100)
    with pytest.raises(WrongUse) as caught:
        table.close()
    assert "Did you mean `quality`?" in str(caught.value)


def test_a_pattern_fills_in_and_chooses() -> None:
    """Values, if, and the filters named are all there is."""
    assert (
        fill("{{ a }}{% if b %} and {{ b | upper }}{% endif %}", {"a": "x", "b": "y"}) == "x and Y"
    )
    assert values_in("{{ a }}{% if b %}{% endif %}") == {"a", "b"}
    assert tidy("a  b , c .") == "a b, c."


@pytest.mark.parametrize(
    "pattern",
    [
        "{% for x in a %}{% endfor %}", "{{ a() }}", "{{ a.__class__.__mro__() }}", "{{ 2 ** 99 }}",
        "{{ a * 999 }}", "{% set a = 1 %}", "{% include 'x' %}", "{% macro m() %}{% endmacro %}",
        "{{ a | format(1) }}", "{{ [a for a in a] }}", "{% import 'x' as y %}", "{{ a", "{% if %}",
    ],
)  # fmt: skip
def test_a_pattern_can_do_nothing_else(pattern: str) -> None:
    """Loops, calls, arithmetic, includes and unknown filters are refused before they run."""
    with pytest.raises(WrongUse):
        check_pattern(pattern, {"a"}, "test")
    with pytest.raises(WrongUse):
        fill(pattern, {"a": "x"})


def test_an_unknown_value_is_named() -> None:
    """A pattern with a value there is not names the nearest."""
    with pytest.raises(WrongUse) as caught:
        check_pattern("{{ scor }}", {"score", "minute"}, "headline")
    assert "Did you mean score?" in str(caught.value)
