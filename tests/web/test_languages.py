"""The languages of the pages: complete, chosen by the browser or by the photographer."""

from __future__ import annotations

import re
import string

import pytest

from setpiece.web.spoken import language_of, preferred
from setpiece.web.wording import ENGLISH, _read, languages

OTHERS = [code for code in languages() if code != ENGLISH]


def placeholders(text: str) -> set[str]:
    """The names in braces."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def test_the_second_language_is_that_of_the_captions() -> None:
    """The pages speak English and German, as captions do."""
    assert languages() == ("de", "en")


@pytest.mark.parametrize("code", OTHERS)
def test_every_text_is_in_every_language(code: str) -> None:
    """Both files name the same texts; a text added to one must be added to the other."""
    english, other = _read(ENGLISH), _read(code)
    assert sorted(set(english) - set(other)) == [], f"missing in {code}.toml"
    assert sorted(set(other) - set(english)) == [], f"missing in {ENGLISH}.toml"


@pytest.mark.parametrize("code", OTHERS)
def test_every_text_takes_the_same_values(code: str) -> None:
    """A text's names in braces are the same in every language, and none is left empty."""
    english, other = _read(ENGLISH), _read(code)
    for name in set(english) & set(other):
        assert placeholders(other[name]) == placeholders(english[name]), name
        assert bool(other[name]) == bool(english[name]), name


@pytest.mark.parametrize("code", OTHERS)
def test_what_is_typed_is_the_same_in_every_language(code: str) -> None:
    """Commands and shorthand are told as they are typed."""
    english, other = _read(ENGLISH), _read(code)
    for name in english:
        if name.endswith((".type", "-command")):
            assert other[name] == english[name]


@pytest.mark.parametrize(
    ("cookies", "accepted", "language"),
    [
        ("", "", "en"),
        ("", "de", "de"),
        ("", "de-AT,de;q=0.9,en;q=0.5", "de"),
        ("", "fr-FR, de;q=0.4, en;q=0.6", "en"),
        ("", "fr", "en"),
        ("", "de;q=0", "en"),
        ("", "de;q=x;;,,", "en"),
        ("language=de", "en", "de"),
        ("edition=night; language=en", "de", "en"),
        ("language=xx", "de", "de"),
        ('language="><script>', "", "en"),
    ],
)
def test_a_choice_goes_before_the_browsers_wish(cookies: str, accepted: str, language: str) -> None:
    """The cookie decides, then the most wanted language there are texts for, then English."""
    assert language_of(cookies, accepted) == language


def test_the_most_wanted_language_comes_first() -> None:
    """Tags are ordered by weight, equal ones as they stand; what is not wanted is left out."""
    assert preferred("en;q=0.5, de, fr;q=0, it") == ["de", "it", "en"]


@pytest.mark.parametrize("path", ["/", "", "/before", "/desk", "/pad", "/nowhere"])
def test_pages_come_in_german(page, path: str) -> None:
    """With German asked for every page says so, and no text of it is English."""
    address = path if path == "/" else page.match + path
    text = page.ask(address, headers={"accept-language": "de-DE"}).text
    assert '<html lang="de"' in text
    assert "Sprache" in text
    english, german = _read("en"), _read("de")
    seen = {" ".join(t.split()) for t in re.findall(r">([^<>]+)<", text)}
    told = {v for k, v in english.items() if german.get(k, v) != v and len(v.split()) > 2}
    assert not seen & (told - set(german.values()))


def test_one_match_is_read_in_two_languages_at_once(page) -> None:
    """The report that is kept for one language is never shown in the other."""
    for _ in range(2):
        english = page.ask(page.match, headers={"accept-language": "en"}).text
        german = page.ask(page.match, headers={"accept-language": "de"}).text
        assert "Own goal." in english
        assert "Eigentor." in german
        assert "Own goal." not in german
        assert "Eigentor." not in english
    marks = [
        page.ask(f"{page.match}/standing", headers={"accept-language": code}).value["rows"]
        for code in ("en", "de")
    ]
    assert marks[0] != marks[1]
