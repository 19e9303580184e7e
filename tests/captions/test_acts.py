"""Acts and their wording, in both languages."""

from __future__ import annotations

import pytest
from cup_tie import CupTie, first

from setpiece.captions.acts import Acts, People, read_acts, split_form
from setpiece.captions.compose import caption_of
from setpiece.captions.reading import Nature, Part, Participant, Reading, Whereabouts
from setpiece.errors import WrongUse
from setpiece.match.people import Side
from setpiece.work.style_files import shipped_text

SHOTS = {
    "general view", "arrivals", "pitch inspection", "warm-up", "line-ups", "handshakes", "tributes",
    "play", "set pieces", "penalties", "goals", "celebrations", "reactions", "officials", "dugout",
    "supporters", "injury", "review", "substitutions", "shoot-out", "incidents", "presentation",
    "full time", "portraits", "breaks",
}  # fmt: skip
"""The lines of a shot list that the acts cover."""


def test_there_are_seventy_acts_in_english_and_thirty_in_german(acts: Acts) -> None:
    """The shipped files word at least that many."""
    assert len(acts.acts) >= 70
    assert sum(1 for name in acts.acts if name in acts.languages["de"].wordings) >= 30


def test_the_acts_cover_the_shot_list(acts: Acts) -> None:
    """Every line of the shot list has an act, and every act a line."""
    assert {act.shot for act in acts.acts.values()} == SHOTS


def test_every_form_is_read_as_its_act(acts: Acts, tie: CupTie) -> None:
    """Each typed form of each act leads back to that act."""
    from setpiece.captions.grammar import parse

    for act in acts.acts.values():
        for form in act.forms:
            verb, thing = split_form(form)
            who = "" if act.people is People.NONE else "11r "
            line = parse(f"{who}{verb} {thing}".strip(), acts)
            assert line.act == act.id, form


def _reading(act: str, objects: int) -> Reading:
    """Somebody who acts on so many others, made without a line."""
    people = [
        Participant(
            Part.SUBJECT, Nature.PLAYER, "9r", 0, 2, person="home-9", name="Nora Lindqvist",
            number_worn=9, side=Side.HOME, kit_letter="r", kit_colour="red", pronouns="she",
            whereabouts=Whereabouts.ON_PITCH, key="player",
        ),
        *(
            Participant(
                Part.OBJECT, Nature.PLAYER, "5w", 3, 5, person="away-5", name="Kay Stone",
                number_worn=5, side=Side.AWAY, kit_letter="w", kit_colour="white", pronouns="she",
                whereabouts=Whereabouts.ON_PITCH, key="player",
            )
            for _ in range(objects)
        ),
    ]  # fmt: skip
    return Reading("typed", act, tuple(people))


@pytest.mark.parametrize("style", ["north", "nordblatt"])
@pytest.mark.parametrize("objects", [0, 1])
def test_every_act_is_worded_in_both_languages(
    style: str, objects: int, acts: Acts, tie: CupTie
) -> None:
    """Each act, with and without somebody acted on, gives whole sentences in each language."""
    situation = tie.situation(first(30))
    for act in acts.acts.values():
        reading = _reading(act.id, objects)
        caption = caption_of(reading, situation, tie.style(style), acts)
        for text in (caption.fields.description, caption.fields.headline, caption.fields.alt_text):
            assert text[:1].isupper(), (act.id, text)
            assert "{" not in text, (act.id, text)
            assert "  " not in text, (act.id, text)
            assert " ." not in text, (act.id, text)
        assert len(caption.fields.alt_text) <= 250
        assert "Lindqvist" not in caption.fields.alt_text
        assert caption.fields.keywords


def test_acts_of_care_are_held(acts: Acts, tie: CupTie) -> None:
    """Injury, invaders, crowd trouble and children are held until a person decides."""
    held = {name for name, act in acts.acts.items() if act.care}
    assert held >= {
        "lies-on-pitch", "treats", "receives-treatment", "stretchered-off", "runs-on-pitch",
        "stops-invader", "crowd-trouble", "lights-flares", "walks-with-mascots",
    }  # fmt: skip
    assert tie.compose("9r walks with mascots", first(-4)).held_for_care
    assert tie.compose("steward left looks on with mascot", first(30)).held_for_care
    assert not tie.compose("9r shoots", first(30)).held_for_care


OWN = """
language = "en"

[act.bows]
forms = ["bows", "bow"]
where = "anywhere"
verb = ["bows", "bow"]
object = " to {{ whom }}"
shot = "celebrations"
keywords = ["bow"]
"""


def test_the_photographer_adds_acts(tie: CupTie) -> None:
    """An act of a file of one's own is typed, worded and checked as the shipped ones are."""
    own = read_acts(shipped_text("english"), shipped_text("german"), OWN)
    line = CupTie(own).compose("9r bows to r supporters", first(30))
    assert line.fields.description.startswith(
        "Nora Lindqvist of Hallern FC bows to Hallern FC supporters during"
    )
    assert "bow" in line.fields.keywords


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("language = ", "not TOML"),
        ('[act.bows]\nforms = ["bows"]\nverbs = ["bows"]', "`verbs` means nothing here"),
        ('[act.bows]\nforms = "bows"', "a list of texts"),
        ('[act.bows]\nforms = ["celebrates"]', "two acts share the form"),
        ('[act.bows]\nverb = ["bows"]', "an act that no file defines"),
        ('[act.bows]\nforms = ["bows"]\nwhere = "sea"', '"in play", "bench", "anywhere"'),
        ('[act.bows]\nforms = ["_ bows"]', "needs a word before"),
        ('[acts.bows]\nforms = ["bows"]', "`acts` means nothing here"),
    ],
)
def test_a_wrong_act_file_is_explained(text: str, words: str) -> None:
    """The error names the place and the key, and what to do."""
    with pytest.raises(WrongUse) as caught:
        read_acts(shipped_text("english"), text, names=("english", "acts.toml"))
    assert words in str(caught.value)
    assert caught.value.thing
    if "share" not in words and "before" not in words:  # these name the acts
        assert caught.value.thing.startswith("acts.toml")


def test_an_act_without_wording_in_a_language_says_so(tie: CupTie) -> None:
    """A desk of another language is told what is missing, never given a half sentence."""
    own = CupTie(read_acts(shipped_text("english"), shipped_text("german"), OWN))
    with pytest.raises(WrongUse) as caught:
        own.compose("9r bows", first(30), "nordblatt")
    assert "bows" in str(caught.value)


def test_a_language_there_is_not_is_named(acts: Acts) -> None:
    """An unknown language names those there are."""
    with pytest.raises(WrongUse) as caught:
        acts.language("fr")
    assert "de, en" in str(caught.value)
