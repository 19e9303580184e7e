"""The plan, the wants and the day on the page before the match, as the server makes them."""

from __future__ import annotations

import re
from io import BytesIO
from urllib.parse import urlencode

import icalendar
import pytest
import small_match
from pypdf import PdfReader

from setpiece.errors import WrongUse
from setpiece.plan.camera import Camera, Seat
from setpiece.plan.choices import Choices
from setpiece.plan.day import day_plan, packing
from setpiece.plan.flight import penalty
from setpiece.plan.light import Lit
from setpiece.plan.optics import Lens
from setpiece.plan.penalty import longest_focal_mm
from setpiece.plan.templates import TEMPLATES
from setpiece.plan.wants import STORIES, Angle
from setpiece.store.matches import match_folder
from setpiece.store.workspace import Workspace
from setpiece.web.before.plan import read_plan
from setpiece.web.security import POLICY
from setpiece.work.before.plan import GROUND
from setpiece.work.before.wants import all_wants, choices_of
from setpiece.work.demo.planning import demo_ground_text

SEATS = [("seat-name", "Bank"), ("seat-x", "-12"), ("seat-y", "-5"), ("seat-h", "1.1")]


def kept(page) -> Choices:
    """What is kept for the page's match."""
    return choices_of(Workspace.open(page.made.folder), page.made.match)


def with_ground(page) -> None:
    """Gives the page's match the demo's ground."""
    space = Workspace.open(page.made.folder)
    (match_folder(space, page.made.match) / GROUND).write_text(demo_ground_text(), "utf-8")


def test_a_page_without_a_ground_has_a_bare_pitch(page) -> None:
    """The plan stands from the start: a pitch, a seat, three lenses, and says what is missing."""
    text = page.ask(f"{page.match}/before").text
    assert "Reach of 3 lenses from behind the near goal" in text
    assert "no ground of its own yet" in text
    assert "Seats side by side" in text


def test_the_plan_of_the_matchs_own_ground(own_page) -> None:
    """With a ground all drawings stand on the page, each caution beside what it is about."""
    with_ground(own_page)
    text = own_page.ask(f"{own_page.match}/before").text
    for words in (
        "From seat A, West End, left",
        "Penalty, West End, from West End, left",
        "Penalty, East End, from West End, left",
        "The light at Stadion an der Leth",
        "the light here: 820 lx on the player",
        "Never look at the sun through a long lens",
        "Nobody moves behind the goal during a penalty",
    ):
        assert words in text, words


def test_a_ground_that_cannot_be_read_leaves_the_page(own_page) -> None:
    """The page stands with a bare pitch and says what is wrong with the file."""
    with_ground(own_page)
    space = Workspace.open(own_page.made.folder)
    broken = match_folder(space, own_page.made.match) / GROUND
    broken.write_text("bearing = 74", "utf-8")
    answer = own_page.ask(f"{own_page.match}/before")
    assert answer.status == 200
    assert "no such key: bearing" in answer.text
    assert "behind the near goal" in answer.text
    assert own_page.ask(f"{own_page.match}/plan/sheet").status == 422


def test_a_seat_too_near_to_plan_from_leaves_the_page(own_page) -> None:
    """On the penalty mark no look at it has a light: it says so, and page and map stand."""
    with_ground(own_page)
    fields = [("seat-name", "Mark"), ("seat-x", "0"), ("seat-y", "11"), ("seat-h", "1")]
    own_page.post(f"{own_page.match}/plan", {"plan": urlencode(fields)})
    answer = own_page.ask(f"{own_page.match}/before")
    assert answer.status == 200
    assert "From seat A, Mark" in answer.text
    assert '<figure class="light"><p class="wrong">' in answer.text
    assert "Seats side by side" in answer.text


def test_figures_stand_under_their_drawings(own_page) -> None:
    """What holds how many frames, how the sun falls, what blurs: as the commands compute them."""
    with_ground(own_page)
    text = " ".join(own_page.ask(f"{own_page.match}/before").text.split())
    camera = Camera(Seat("", -14, -5, 1.15), 200, exposure_s=1 / 1000)
    for frames in (1, 2, 3):
        longest = f"{longest_focal_mm(camera, penalty(28), frames):.0f} mm"
        assert f'<th scope="row">{frames}</th><td>{longest}</td>' in text
    assert "How the sun falls from West End, left" in text
    assert '<th scope="row">15:00</th>' in text
    assert "steady at 1/100, 1/50, 1/33, 1/25" in text
    german = own_page.ask(f"{own_page.match}/before", headers={"accept-language": "de"}).text
    assert "Frontlicht" in german


@pytest.mark.parametrize("focal", ["5", "2400"])
def test_any_lens_that_can_be_typed_is_drawn(page, focal: str) -> None:
    """From the shortest focal length to the longest the drawings stand."""
    answer = page.ask(f"{page.match}/plan/figures?focal={focal}&sensor=36x24")
    assert answer.status == 200


def test_every_class_of_light_has_its_words(words) -> None:
    """Each is a text of the pages."""
    for lit in Lit:
        assert words(f"lit.{lit.value.replace(' ', '-')}") == lit.value


def test_nothing_in_the_drawings_is_inline(own_page) -> None:
    """The policy forbids inline styles and scripts, and the page has neither; ids stand once."""
    with_ground(own_page)
    answer = own_page.ask(f"{own_page.match}/before")
    assert answer.headers["content-security-policy"] == POLICY
    assert "unsafe-inline" not in POLICY
    assert not re.search(r"<style|<script(?! type=\"module\" src=)|\sstyle=|\son\w+=", answer.text)
    ids = re.findall(r'\sid="([^"]+)"', answer.text)
    assert len(ids) == len(set(ids))


def test_a_seat_that_moves_is_drawn_there(page) -> None:
    """The fragment has the seat's place, and says when it lies outside the zones."""
    query = urlencode([*SEATS, ("chosen", "0"), ("lens", "300/2.8")])
    text = page.ask(f"{page.match}/plan/map?{query}").text
    assert "From seat A, Bank" in text
    assert "Bank: -12, -5 m, lens 1.1 m up" in text
    assert "Reach of 1 lenses" in text


def test_the_chosen_seat_is_the_one_drawn(own_page) -> None:
    """The second row chosen, the drawing is of seat B; a seat outside the zones is said."""
    with_ground(own_page)
    rows = [*SEATS, ("seat-name", "Else"), ("seat-x", "0"), ("seat-y", "-3"), ("seat-h", "")]
    text = own_page.ask(f"{own_page.match}/plan/map?{urlencode([*rows, ('chosen', '1')])}").text
    assert "From seat B, Else" in text
    assert "outside the zones where the bib allows work" in text


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("lens", "long", "this is not a lens"),
        ("seat-x", "far", "this is no number"),
        ("seat-x", "nan", "this is no number"),
        ("seat-x", "9999", "x of a seat"),
        ("shutter", "quick", "no shutter speed"),
        ("fps", "0", "frame rate"),
        ("kind", "throw-in", "not a kick"),
        ("focal", "1", "focal length"),
        ("sensor", "big", "size of a sensor"),
    ],
)
def test_what_cannot_be_drawn_is_said(page, field: str, value: str, says: str) -> None:
    """A wrong entry is a sentence, for the drawings and for keeping, and nothing is kept."""
    fields = dict(SEATS) | {field: value}
    for name in ("map", "figures"):
        answer = page.ask(f"{page.match}/plan/{name}?{urlencode(fields)}")
        assert answer.status == 422
        assert says in answer.value["wrong"]
    refused = page.post(f"{page.match}/plan", {"plan": urlencode(fields)})
    assert says in refused.value["wrong"]
    assert kept(page) == Choices()


def test_what_is_moved_is_kept(own_page) -> None:
    """Seats, lenses and strike come back with the page; what the form has not stays."""
    fields = [*SEATS, ("lens", "600/4"), ("lens", ""), ("focal", "600"), ("kind", "header")]
    own_page.post(f"{own_page.match}/plan", {"plan": urlencode(fields)})
    own_page.post(f"{own_page.match}/plan", {"plan": urlencode([("speed", "12")])})
    now = kept(own_page)
    assert (now.seats[0].name, now.lenses, now.kind) == ("Bank", ("600/4",), "header")
    assert (now.speed_m_s, now.frames_per_s) == (12, 20)
    assert "From seat A, Bank" in own_page.ask(f"{own_page.match}/before").text


def test_a_row_without_a_place_is_taken_away() -> None:
    """Empty rows are no seats; the chosen one keeps being chosen; a comma is a decimal point."""
    rows = [("seat-name", "A"), ("seat-x", ""), ("seat-y", ""), ("seat-h", "")]
    rows += [("seat-name", ""), ("seat-x", "3,5"), ("seat-y", "−5"), ("seat-h", "")]
    choices, chosen = read_plan(urlencode([*rows, ("chosen", "1")]), Choices())
    assert [(s.name, s.x_m, s.y_m, s.lens_height_m) for s in choices.seats] == [
        ("3.5, -5", 3.5, -5.0, 1.0)
    ]
    assert chosen == 0
    with pytest.raises(WrongUse):
        read_plan("seat-name=a&seat-x=1e999&seat-y=0&seat-h=1", Choices())


def test_somebody_is_wanted_and_struck_again(own_page) -> None:
    """A person with her angle stands first in the list, can be changed, and struck."""
    want = {"person": "home-9", "angle": "milestone", "note": "100th match"}
    assert own_page.post(f"{own_page.match}/want", want).value == {"said": "Kept."}
    assert "Freya Ostmark (milestone), 100th match" in own_page.ask(f"{own_page.match}/before").text
    space = Workspace.open(own_page.made.folder)
    ((number, _),) = all_wants(space, own_page.made.match)
    own_page.post(f"{own_page.match}/want", want | {"id": str(number), "angle": "debut"})
    ((_, changed),) = all_wants(space, own_page.made.match)
    assert changed.angle is Angle.DEBUT
    own_page.post(f"{own_page.match}/want/strike", {"id": str(number)})
    assert all_wants(space, own_page.made.match) == ()


@pytest.mark.parametrize("story", STORIES)
def test_a_story_is_wanted(own_page, story: str) -> None:
    """Every story that is offered becomes a line."""
    own_page.post(f"{own_page.match}/want", {"story": story})
    space = Workspace.open(own_page.made.folder)
    assert [w for _, w in all_wants(space, own_page.made.match)] == [STORIES[story]]


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({}, "a want names a person"),
        ({"title": "Mascot"}, "a want names a person"),
        ({"person": "home-98"}, "no such person"),
        ({"person": "home-9", "count": "0"}, "1 to 99"),
        ({"person": "home-9", "id": "77"}, "no such want"),
    ],
)
def test_a_want_of_nothing_is_refused(page, form: dict, says: str) -> None:
    """What no picture could answer is a sentence."""
    answer = page.post(f"{page.match}/want", form)
    assert answer.status == 422
    assert says in answer.value["wrong"]


def test_the_list_follows_its_template_and_what_is_struck(own_page) -> None:
    """Another template brings its lines; a struck one is counted and can come back."""
    own_page.post(f"{own_page.match}/day", {"template": "final"})
    own_page.post(f"{own_page.match}/want/strike", {"key": "lap"})
    text = own_page.ask(f"{own_page.match}/before").text
    assert "The trophy is lifted, all in the frame" in text
    assert "1 line struck" in text
    own_page.post(f"{own_page.match}/want/strike", {"key": "lap", "back": "1"})
    assert "line struck" not in own_page.ask(f"{own_page.match}/before").text
    answer = own_page.post(f"{own_page.match}/want/strike", {"key": "nothing"})
    assert "no such line" in answer.value["wrong"]


def test_the_set_answers_the_list(page) -> None:
    """What the set holds is done; frames at hand are offered for what is not."""
    text = page.ask(f"{page.match}/before").text
    line = re.search(r'<li class="(\w*)">(?:(?!</li>).)*Celebration, faces', text, re.DOTALL)
    assert line is not None
    assert line[1] == "done"
    assert re.search(r"[1-9]\d* of \d+ in the set", text)
    assert "at hand" in text


def test_every_line_of_a_template_has_its_words(words) -> None:
    """Titles of the lists are texts of the pages, the same in English as on paper."""
    for shots in TEMPLATES.values():
        for shot in shots:
            assert words(f"shot.{shot.key}") == shot.title


def test_times_and_bag_have_their_words(words) -> None:
    """What stands on paper stands on the page, in its own words."""
    fixture = small_match.fixture()
    for entry in day_plan(fixture, travel_min=10):
        said = words(f"times.{entry.key}", home=fixture.home, away=fixture.away)
        assert said == entry.what
    for rain in (True, False):
        for _, items in packing([Lens(400, 400)], after_dark=True, rain=rain):
            for item in items:
                if item.key == "cameras":
                    assert words.count("bag.cameras", int(item.value)) == item.text
                else:
                    assert words(f"bag.{item.key}", what=item.value) == item.text


def test_the_day_is_typed(own_page) -> None:
    """Way, cameras, rain and contacts are kept and stand on the page; a wrong contact is said."""
    day = {"travel": "75", "bodies": "3", "rain": "on", "contacts": "Media office; ground; 1\n\n"}
    own_page.post(f"{own_page.match}/day", day)
    text = own_page.ask(f"{own_page.match}/before").text
    assert "Set out" in text
    assert "rain covers for every camera" in text
    assert kept(own_page).contacts[0].name == "Media office"
    answer = own_page.post(f"{own_page.match}/day", day | {"contacts": "nobody"})
    assert "Write NAME;ROLE;NUMBER" in answer.value["wrong"]
    assert kept(own_page).bodies == 3


def test_the_page_for_the_pocket_is_served(own_page) -> None:
    """As a page under the same policy, as one sheet of PDF, and as a calendar."""
    with_ground(own_page)
    sheet = own_page.ask(f"{own_page.match}/plan/sheet")
    assert sheet.headers["content-security-policy"] == POLICY
    assert "<style" not in sheet.text
    for link in re.findall(r'href="([^"]+)"', sheet.text):
        assert own_page.ask(link).headers["content-type"].startswith("text/css")
    paper = PdfReader(BytesIO(own_page.ask(f"{own_page.match}/plan.pdf").body))
    assert len(paper.pages) == 1
    calendar = icalendar.Calendar.from_ical(own_page.ask(f"{own_page.match}/plan.ics").body)
    assert len(calendar.walk("VEVENT")) == 13
