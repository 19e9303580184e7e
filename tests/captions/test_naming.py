"""File names by a desk's pattern, and text for old desks."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from cup_tie import CupTie, second
from hypothesis import given, settings
from hypothesis import strategies as st

from setpiece.captions.fields import PersonShown, PictureFields
from setpiece.captions.naming import correction_name, file_name, fixed_folder, folder_name
from setpiece.captions.style import read_style
from setpiece.captions.translit import ascii_only, in_ascii
from setpiece.errors import WrongUse
from setpiece.work.style_files import shipped_text

JOY = second(73, 50)


def name(tie: CupTie, style: str, camera: str = "A", number: int | None = 231, **more) -> str:
    """The name of a celebration's frame in a style."""
    caption = tie.compose("9r celebrates", JOY, style)
    return file_name(
        more.pop("of", tie.style(style)), caption, tie.situation(JOY), camera=camera,
        number=number, frame=more.pop("frame", "f-1"), **more,
    )  # fmt: skip


def test_each_style_names_files_its_way(tie: CupTie) -> None:
    """Date, sides, camera and number where the pattern has them."""
    assert name(tie, "north") == "20270306_Hallern-Whitmoor_A_0231.jpg"
    assert name(tie, "gazette") == "HallernWhitmoor74A0231.jpg"
    assert name(tie, "club") == "20270306-170150-A-0231.jpg"


def test_names_are_ascii_without_blanks_and_short_enough(tie: CupTie, style_name: str) -> None:
    """Whatever the sides are called."""
    made = name(tie, style_name)
    assert re.fullmatch(r"[A-Za-z0-9._-]+\.jpg", made)
    assert len(made) <= tie.style(style_name).file_name_most


def test_two_bodies_with_one_number_have_two_names(tie: CupTie, style_name: str) -> None:
    """The camera's letter keeps their names apart."""
    assert name(tie, style_name, "A") != name(tie, style_name, "B")


def test_a_cut_name_stays_its_own(tie: CupTie) -> None:
    """Names longer than the desk allows are cut and told apart by a check figure."""
    short = replace(tie.style(), file_name_most=24)
    one, two = name(tie, "north", of=short), name(tie, "north", "B", of=short)
    assert one != two
    assert len(one) <= 24
    assert len(two) <= 24


def test_a_taken_name_is_not_given_again(tie: CupTie) -> None:
    """After the file number rolls over, the second picture gets another name."""
    first_name = name(tie, "north")
    again = name(tie, "north", frame="f-2", taken={first_name})
    assert again != first_name
    assert again.startswith("20270306_Hallern")


def test_a_desks_folders_are_named_by_a_pattern(tie: CupTie) -> None:
    """Date, sides and the like make folders; plain ones stay, empty ones are left out."""
    caption = tie.compose("9r celebrates", JOY)

    def folder(pattern: str) -> str:
        return folder_name(
            pattern, tie.style(), caption, tie.situation(JOY), camera="A", number=7, frame="f-1"
        )

    assert folder("/in/{{ date }}_{{ home }}-{{ away }}") == "/in/20270306_Hallern-Whitmoor"
    assert folder("in/{% if minute == '9' %}early{% endif %}/{{ people }}") == "in/Lindqvist"
    assert folder("{% if people %}in/{{ number }}{% endif %}") == "in/0007"
    assert folder("From me/football ") == "From me/football "
    assert fixed_folder("/in/all/{{ date }}/x") == "/in/all"
    assert (fixed_folder("{{ date }}"), fixed_folder("in/plain")) == ("", "in/plain")


def test_a_correction_is_marked_as_the_style_says(tie: CupTie) -> None:
    """Without a word of the style, `_COR1`; what is too long keeps mark and number."""
    north = tie.style()
    assert correction_name(north, "20270306_A_0231.jpg", 1) == "20270306_A_0231_COR1.jpg"
    own = replace(north, correction_name="{{ name }}-corr-{{ count }}", file_name_most=20)
    assert correction_name(own, "HallernWhitmoor74A0231.jpg", 12) == "r74A0231-corr-12.jpg"
    assert correction_name(own, "H.jpg", 2) == "H-corr-2.jpg"


def test_a_pattern_for_corrections_tells_them_apart() -> None:
    """A style whose corrections could have one name, or none of the picture's own, is refused."""
    text = shipped_text("north")
    for pattern in ("{{ name }}_COR", "COR{{ count }}", "{{ name }}_{{ nth }}"):
        with pytest.raises(WrongUse):
            read_style(text.replace("[file]\n", f'[file]\ncorrection = "{pattern}"\n'))
    good = text.replace("[file]\n", '[file]\ncorrection = "C{{ count }}_{{ name }}"\n')
    assert correction_name(read_style(good), "a.jpg", 3) == "C3_a.jpg"


def test_letters_are_spelled_out_for_old_desks() -> None:
    """Accents fall, letters without a base are spelled, quotation marks become plain."""
    assert ascii_only("Þóra Ørbeck-Weiß, 2–1 “so”…") == 'Thora Orbeck-Weiss, 2-1 "so"...'
    assert ascii_only("Łucja Đorđević ©") == "Lucja Dordevic (c)"


@settings(max_examples=300, deadline=None)
@given(st.text())
def test_nothing_but_ascii_is_left(text: str) -> None:
    """Any text comes out in ASCII, ASCII unchanged."""
    plain = ascii_only(text)
    assert plain.isascii()
    assert ascii_only(plain) == plain


def test_all_fields_can_be_put_in_ascii() -> None:
    """Texts in lists and structures too; what is no text stays."""
    values = PictureFields(
        headline="Ørbeck", persons=(PersonShown("Zoë", "Müller"),), keywords=("é",), rating=3
    )
    plain = in_ascii(values)
    assert plain.headline == "Orbeck"
    assert plain.persons == (PersonShown("Zoe", "Muller"),)
    assert (plain.keywords, plain.rating) == (("e",), 3)
