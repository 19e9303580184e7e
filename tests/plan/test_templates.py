"""The shot lists to begin with."""

from __future__ import annotations

import tomllib
from importlib.resources import files

import pytest

from setpiece.errors import WrongUse
from setpiece.plan.templates import TEMPLATES, TYPED_SUBJECTS, template


def test_every_subject_is_one_a_caption_can_have() -> None:
    """A subject is an act, an act's word for the shot list, a group, or a typed keyword."""
    text = files("setpiece.captions").joinpath("data/english.toml").read_text(encoding="utf-8")
    words = tomllib.loads(text)
    known = {*words["act"], *words["group"], *TYPED_SUBJECTS}
    known |= {act.get("shot", "") for act in words["act"].values()}
    for name, shots in TEMPLATES.items():
        for shot in shots:
            assert shot.subjects <= known, (name, shot.key, shot.subjects - known)


def test_keys_and_titles_are_unique_in_every_list() -> None:
    """No line stands twice."""
    for shots in TEMPLATES.values():
        assert len({shot.key for shot in shots}) == len(shots)
        assert len({shot.title for shot in shots}) == len(shots)


def test_lists_grow_from_league_to_final() -> None:
    """A cup match wants all a league match wants, a final all a cup match wants."""
    league, cup, final = (set(template(name)) for name in ("league", "cup", "final"))
    assert league < cup < final


def test_youth_asks_for_no_childs_grief() -> None:
    """The youth list has no dejection, no cards, nobody close."""
    keys = {shot.key for shot in template("youth")}
    assert not keys & {"dejection", "cards", "coaches", "upright"}
    assert keys


def test_an_unknown_list_names_the_known_ones() -> None:
    """The message lists the templates."""
    with pytest.raises(WrongUse, match="league, cup, final, youth"):
        template("friendly")
