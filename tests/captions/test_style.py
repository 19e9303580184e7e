"""House styles and their files."""

from __future__ import annotations

from pathlib import Path

import pytest
from cup_tie import CupTie, first
from typer.testing import CliRunner

from setpiece.captions.style import KEEPABLE, read_style
from setpiece.cli.style import app
from setpiece.errors import NotFound, WrongUse
from setpiece.pictures.iptc import KEEP_GPS, KEEP_SERIAL
from setpiece.work.style_files import (
    OWN_ACTS,
    OWN_STYLES,
    load_acts,
    load_style,
    shipped_text,
    style_names,
)

NORTH = shipped_text("north")


def test_four_styles_are_shipped_in_two_languages() -> None:
    """At least four, all different, in English and German, in both sentence orders."""
    styles = [load_style(None, name) for name in style_names()]
    assert len(styles) >= 4
    assert {s.language for s in styles} == {"en", "de"}
    assert {s.description.startswith("{{ clause }}") for s in styles} == {True, False}
    assert len({s.name for s in styles}) == len(styles)
    assert len({s.recipe for s in styles}) == len(styles)


def test_a_style_is_found_by_its_name_or_its_files() -> None:
    """Both the file's name and the name it gives itself lead to it."""
    assert load_style(None, "north") == load_style(None, "North Wire")
    with pytest.raises(NotFound) as caught:
        load_style(None, "nort")
    assert "north" in str(caught.value)


def test_the_workspaces_own_files_come_first(tmp_path: Path) -> None:
    """A style and acts of the photographer stand before, and beside, those shipped."""
    (tmp_path / OWN_STYLES).mkdir()
    own = NORTH.replace('name = "North Wire"', 'name = "Evening Post"')
    (tmp_path / OWN_STYLES / "evening.toml").write_text(own, "utf-8")
    (tmp_path / OWN_ACTS).write_text(
        'language = "en"\n[act.bows]\nforms = ["bows"]\nverb = ["bows", "bow"]\n', "utf-8"
    )
    assert load_style(tmp_path, "Evening Post").name == "Evening Post"
    assert "evening" in style_names(tmp_path)
    assert "bows" in load_acts(tmp_path).acts
    assert "bows" not in load_acts().acts


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('name = "North Wire"', "", "`name` is missing"),
        ("[text]", "[text", "not TOML"),
        ('minute = "none"', 'minute = "never"', 'one of "words", "sign", "none"'),
        ('minute = "none"', "minute = 3", "a text in quotation marks"),
        ("numbers = false", 'numbers = "no"', "true or false"),
        ("quality = 85", "quality = 850", "a whole number from 1 to 100"),
        ("{{ clause }}", "{{ claus }}", "there is no value `claus`"),
        ("{{ clause }}", "{{ clause", "cannot be read"),
        ("{{ clause }}", "{% for x in clause %}{% endfor %}", "cannot hold for"),
        ("{{ clause }}", "{{ clause.__class__() }}", "cannot hold call"),
        ("{{ clause }}", "{{ clause | center(900) }}", "the filter `center`"),
        ('locale = "en_GB"', 'locale = "xx_YY"', "no such locale"),
        ('required = ["headline"', 'required = ["headlin"', "Did you mean headline"),
        ("[dates]", "[dats]", "`dats` means nothing here"),
        ('weekday = "EEEE"', 'weekdy = "EEEE"', "Did you mean `weekday`"),
        ("{{ camera }}_{{ number }}", "picture", "two pictures could have one name"),
    ],
)
def test_a_wrong_style_is_explained(old: str, new: str, words: str) -> None:
    """The error names the key or the pattern, what is wrong, and what to do."""
    assert old in NORTH
    with pytest.raises(WrongUse) as caught:
        read_style(NORTH.replace(old, new, 1), "north.toml")
    assert words in str(caught.value)
    assert "north.toml" in str(caught.value)


def test_style_check_says_what_is_wrong(tmp_path: Path) -> None:
    """The command accepts a good file and refuses a bad one with the reason."""
    good = tmp_path / "good.toml"
    good.write_text(NORTH, "utf-8")
    ok = CliRunner().invoke(app, ["check", str(good)])
    assert ok.exit_code == 0
    assert "The style can be used" in ok.output
    bad = tmp_path / "bad.toml"
    bad.write_text(NORTH.replace("{{ clause }}", "{{ claus }}"), "utf-8")
    caught = CliRunner().invoke(app, ["check", str(bad)])
    assert isinstance(caught.exception, WrongUse)
    missing = CliRunner().invoke(app, ["check", str(tmp_path / "none.toml")])
    assert isinstance(missing.exception, NotFound)
    listed = CliRunner().invoke(app, ["list"])
    assert "North Wire" in listed.output


def test_a_broken_file_harms_no_other_style(tmp_path: Path) -> None:
    """Every other style still loads; the broken one is named, by file or where it may be meant."""
    folder = tmp_path / OWN_STYLES
    folder.mkdir()
    (folder / "evening.toml").write_text("[text", "utf-8")
    (folder / "morning.toml").write_text(
        NORTH.replace('name = "North Wire"', 'name = "Morning"'), "utf-8"
    )
    assert load_style(tmp_path, "North Wire").name == "North Wire"
    assert load_style(tmp_path, "morning").name == "Morning"
    for name in ("evening", "Evening Post"):
        with pytest.raises(WrongUse, match="evening"):
            load_style(tmp_path, name)
    listed = CliRunner().invoke(app, ["list", "--workspace", str(tmp_path)])
    assert "morning" in listed.stdout
    assert "North Wire" in listed.stdout
    assert "evening" in listed.stderr


def test_ones_own_acts_are_checked(tmp_path: Path) -> None:
    """`style check acts.toml` names the acts a file adds, or what is wrong in it."""
    file = tmp_path / OWN_ACTS
    file.write_text(
        'language = "en"\n[act.bows]\nforms = ["bows"]\nverb = ["bows", "bow"]\n', "utf-8"
    )
    ran = CliRunner().invoke(app, ["check", str(file)])
    assert (ran.exit_code, "your own acts are bows" in ran.output) == (0, True)
    file.write_text('language = "en"\n[act.bows]\nform = ["bows"]\n', "utf-8")
    caught = CliRunner().invoke(app, ["check", str(file)])
    assert isinstance(caught.exception, WrongUse)


def test_a_style_of_an_unknown_language_is_refused(tmp_path: Path) -> None:
    """A style needs a language that an act file has."""
    file = tmp_path / "fr.toml"
    file.write_text(NORTH.replace('language = "en"', 'language = "fr"'), "utf-8")
    caught = CliRunner().invoke(app, ["check", str(file)])
    assert isinstance(caught.exception, WrongUse)


def test_a_pattern_is_held_to_filling_in(tie: CupTie) -> None:
    """A style may choose with if and use the few filters; the caption has what it says."""
    text = NORTH.replace('headline = "{{ headline }}: ', 'headline = "{{ city | upper }}: ')
    style = read_style(text)
    from setpiece.captions.compose import compose

    caption = compose("9r shoots", tie.situation(first(30)), style, tie.acts)
    assert caption.fields.headline == "HALLERN: Hallern v Whitmoor"


def test_only_serial_numbers_and_places_can_be_kept_of_a_camera() -> None:
    """A style keeps them by name; another word is refused, and without one nothing is kept."""
    assert read_style(NORTH).keep == ()
    assert set(KEEPABLE) == {KEEP_SERIAL, KEEP_GPS}
    both = NORTH.replace("[file]\n", '[file]\nkeep = ["serial", "gps"]\n')
    assert read_style(both).keep == ("serial", "gps")
    with pytest.raises(WrongUse, match="nothing called `owner`"):
        read_style(both.replace('"serial"', '"owner"'))
