"""The page in a real browser: keys, the line, live changes, editions, and who cannot see it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
import small_match

from setpiece.match.entries import Kind
from setpiece.match.people import Side
from setpiece.store.frames import Decision, decide, frames_of
from setpiece.store.matches import add_entries, add_sheet
from setpiece.store.workspace import Workspace

pytestmark = pytest.mark.browser

WIDE, PHONE = {"width": 1440, "height": 900}, {"width": 390, "height": 844}


class Tab:
    """One browser tab; every error in it fails the test."""

    def __init__(self, browser, **context: object) -> None:
        self.context = browser.new_context(**({"viewport": WIDE} | context))
        self.page = self.context.new_page()
        self.page.set_default_timeout(60_000)
        self.trouble: list[str] = []
        self.page.on("pageerror", lambda error: self.trouble.append(str(error)))
        self.page.on("console", self._heard)

    def _heard(self, message) -> None:
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.trouble.append(message.text)

    def opened(self) -> str:
        """The handle of the opened frame."""
        return self.page.evaluate("document.querySelector('[data-opened]')?.dataset.handle ?? ''")

    def opens(self, frame: str) -> None:
        """Waits until that frame is the opened one."""
        self.page.wait_for_selector(f'[data-opened="{frame}"]')

    def line(self, text: str, *, enter: bool = True) -> None:
        """Types into whatever has the focus."""
        self.page.keyboard.type(text)
        if enter:
            self.page.keyboard.press("Enter")

    def said(self, text: str) -> None:
        """Waits until the page says that."""
        self.until("t => document.querySelector('[data-said]').textContent.includes(t)", text)

    def saw(self, **shown: object) -> None:
        """From now on lines are sent as if the page had shown that, whatever came since."""

        def sent(route) -> None:
            value = json.loads(route.request.post_data) | shown
            route.continue_(post_data=json.dumps(value))

        self.page.route(re.compile(r"/match/[^/]+/line$"), sent)

    def until(self, expression: str, argument: object = None) -> None:
        """Waits until that is true in the page; asked from here, since the page allows no eval."""
        for _ in range(2400):
            if self.page.evaluate(expression, argument):
                return
            self.page.wait_for_timeout(25)
        pytest.fail(f"never true: {expression} {argument or ''}")


@pytest.fixture
def tab(chromium) -> Iterator[Tab]:
    """A tab of a desktop browser."""
    made = Tab(chromium)
    yield made
    made.context.close()
    assert made.trouble == []


def test_the_arrows_move_through_the_report(tab: Tab, page) -> None:
    """Down opens the newest passage and then the next; left and right go through its frames."""
    tab.page.goto(page.address + page.match)
    tab.page.keyboard.press("ArrowDown")
    tab.opens(page.made.frames[105])
    tab.page.keyboard.press("ArrowLeft")
    tab.opens(page.made.frames[104])
    tab.page.keyboard.press("ArrowRight")
    tab.page.keyboard.press("ArrowRight")
    tab.opens(page.made.frames[106])
    tab.page.keyboard.press("ArrowDown")
    tab.opens(page.made.frames[90])
    tab.page.keyboard.press("Escape")
    tab.until("!document.querySelector('[data-opened]')")
    assert tab.page.url == page.address + page.match


def test_a_key_after_escape_is_not_lost(tab: Tab, page) -> None:
    """A frame that is opened while another is being closed stays open, and it alone."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[105]}")
    for _ in range(5):
        tab.page.evaluate("""() => {
            for (const key of ["Escape", "Escape", "ArrowDown"])
                document.activeElement.dispatchEvent(
                    new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
        }""")
        tab.page.wait_for_timeout(100)
        tab.until("document.querySelectorAll('[data-opened]').length === 1")
        assert tab.page.locator(".row.opens [data-opened]").count() == 1


def test_a_frame_opens_in_its_row_by_pointer_too(tab: Tab, page) -> None:
    """A click opens a frame where it stands, and the line has the focus again."""
    tab.page.goto(page.address + page.match)
    frame = page.made.frames[56]
    tab.page.locator(f'a[data-frame="{frame}"]').first.click()
    tab.opens(frame)
    assert tab.page.evaluate("document.activeElement.id") == "line"
    row = tab.page.evaluate("document.querySelector('[data-opened]').closest('.row').innerText")
    assert "Penalty saved" in row
    assert tab.page.evaluate("document.querySelector('.pic canvas').width") > 0


def test_a_frame_opens_before_its_row_has_come(tab: Tab, page) -> None:
    """A frame asked for by name whose row the page does not have yet brings its row along."""
    tab.page.goto(page.address + page.match)
    frame = tab.page.evaluate(
        """() => {
          const row = [...document.querySelectorAll('[data-row]')]
            .find(r => r.querySelector('[data-passage]'));
          const { first } = row.querySelector('[data-passage]').dataset;
          row.remove();
          return first;
        }"""
    )
    tab.line(f"open {frame}")
    tab.opens(frame)


def test_a_caption_is_typed_completed_and_printed(tab: Tab, own_page) -> None:
    """The line shows large who is meant, completes with Tab, and Enter prints the caption."""
    frame = own_page.made.frames[70]
    tab.page.goto(f"{own_page.address}{own_page.match}?frame={frame}")
    tab.line("9r cel", enter=False)
    tab.until("document.querySelector('[data-ghost]').textContent.endsWith('ebrates')")
    tab.page.keyboard.press("Tab")
    assert tab.page.input_value("#line").startswith("9r celebrates")
    tab.until("document.querySelector('[data-heard]').textContent.includes('Freya Ostmark')")
    size = tab.page.evaluate(
        "parseFloat(getComputedStyle(document.querySelector('.bit.name')).fontSize)"
    )
    assert size >= 20
    tab.page.keyboard.press("Enter")
    tab.page.wait_for_selector(".capt h3")
    assert "Freya Ostmark celebrates" in tab.page.inner_text(".capt")
    assert tab.page.input_value("#line") == ""


def test_a_wrong_number_is_marked_and_kept(tab: Tab, page) -> None:
    """A wrong number stays in the line, marked, with what is known beside it."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[70]}")
    tab.line("29r celebrates")
    tab.until("document.querySelector('.ghost mark')?.textContent === '29r'")
    assert "nobody of Eastmere has number 29" in tab.page.inner_text("[data-heard]")
    assert tab.page.input_value("#line") == "29r celebrates"


def test_text_stays_while_frames_change(tab: Tab, page) -> None:
    """With text in the line the page keys still change the frame, and left edits the text."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[70]}")
    tab.line("9r", enter=False)
    tab.page.keyboard.press("ArrowLeft")
    assert tab.opened() == "A-0071"
    after = tab.page.get_attribute("[data-opened]", "data-next")
    tab.page.keyboard.press("PageDown")
    tab.opens(after)
    tab.page.keyboard.press("Control+ArrowUp")
    tab.opens(page.made.frames[70])
    assert tab.page.input_value("#line") == "9r"


def test_decisions_by_one_key_and_back(tab: Tab, own_page) -> None:
    """One key uses a frame, another takes it back, and the margin follows."""
    frame = own_page.made.frames[70]
    tab.page.goto(f"{own_page.address}{own_page.match}?frame={frame}")
    tab.page.keyboard.press("F2")
    tab.page.wait_for_selector(".pic.use")
    assert "4" in tab.page.inner_text(".part.set h2")
    tab.page.keyboard.press("F9")
    tab.said("Taken back")
    tab.page.wait_for_selector(".pic:not(.use)")
    frames = {f.id: f for f in frames_of(Workspace.open(own_page.made.folder), own_page.made.match)}
    assert frames[frame].decision is Decision.SPIKE


def test_changes_from_elsewhere_appear_by_themselves(tab: Tab, own_page) -> None:
    """A goal and a decision of another process come into the open page; the picture stays put."""
    tab.page.goto(f"{own_page.address}{own_page.match}?frame={own_page.made.frames[56]}")
    tab.line("half a li", enter=False)
    top = "document.querySelector('.pic').getBoundingClientRect().top"
    before = tab.page.evaluate(top)
    space = Workspace.open(own_page.made.folder)
    goal = small_match.entry(Kind.GOAL, small_match.at(2, 75.2), side=Side.AWAY)
    add_entries(space, own_page.made.match, [goal])
    tab.until("document.querySelector('.goals').textContent === '2–2'")
    decide(space, own_page.made.match, own_page.made.frames[57], Decision.HOLD)
    tab.page.wait_for_selector(f'a[data-frame="{own_page.made.frames[57]}"].hold')
    assert tab.page.evaluate(top) == pytest.approx(before, abs=2)
    assert tab.page.input_value("#line") == "half a li"


def test_two_tabs_show_the_same(chromium, own_page) -> None:
    """What one tab decides the other shows, and a decision over it tells of the other."""
    one, two = Tab(chromium), Tab(chromium)
    frame = own_page.made.frames[30]
    for tab in (one, two):
        tab.page.goto(f"{own_page.address}{own_page.match}?frame={frame}")
    one.line("spike")
    two.page.wait_for_selector(".pic.spike")
    two.saw(was="")
    two.line("use")
    two.said("spiked meanwhile")
    one.page.wait_for_selector(".pic.use")
    for tab in (one, two):
        assert tab.trouble == []
        tab.context.close()


def test_keys_are_listed_and_can_be_changed(tab: Tab, page) -> None:
    """F1 lists the keys; a changed one works and is kept."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[30]}")
    tab.page.keyboard.press("F1")
    tab.page.wait_for_selector("dialog[open]")
    tab.page.locator('[data-key-of="frame-after"] button').click()
    tab.page.keyboard.press("F6")
    assert tab.page.inner_text('[data-key-of="frame-after"] kbd') == "F6"
    tab.page.keyboard.press("Escape")
    tab.page.keyboard.press("F6")
    tab.opens(page.made.frames[31])
    tab.page.reload()
    tab.page.keyboard.press("F1")
    assert tab.page.inner_text('[data-key-of="frame-after"] kbd') == "F6"


def test_one_picture_pixel_is_one_screen_pixel(tab: Tab, page) -> None:
    """Zoomed, the picture is as wide as it has pixels; escape goes back."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[30]}")
    tab.page.keyboard.press("F7")
    tab.page.wait_for_selector(".pic.zoomed .full")
    tab.until(
        "(f => f?.offsetWidth * devicePixelRatio === f?.naturalWidth)"
        "(document.querySelector('.full'))"
    )
    tab.page.keyboard.press("Escape")
    tab.until("!document.querySelector('.full')")


def test_people_are_placed_by_pointing(tab: Tab, page) -> None:
    """Clicking on each person of the line, in the order typed, writes who stands where."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[73]}")
    tab.line("9r celebrates with 11r", enter=False)
    tab.page.keyboard.press("F6")
    tab.said("Point at 9 Freya Ostmark, 1 of 2")
    where = """share => { const b = document.querySelector('.pic').getBoundingClientRect();
        return [b.left + share * b.width, b.top + b.height / 2] }"""
    tab.page.mouse.click(*tab.page.evaluate(where, 0.8))
    tab.said("Point at 11 Maud Ostmark, 2 of 2")
    tab.page.keyboard.press("Backspace")
    tab.said("Point at 9 Freya Ostmark, 1 of 2")
    tab.page.mouse.click(*tab.page.evaluate(where, 0.7))
    tab.said("2 of 2")
    assert tab.page.inner_text(".pic .point") == "1"
    tab.page.mouse.click(*tab.page.evaluate(where, 0.2))
    tab.until("document.querySelector('#line').value === '9r right celebrates with 11r left'")
    assert tab.page.locator(".pic.pointing, .pic .point").count() == 0
    assert tab.page.evaluate("document.activeElement.id") == "line"


def test_two_frames_are_compared_in_step(tab: Tab, page) -> None:
    """The frame opened before stays beside the opened one, at the same place, and moves with it."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[30]}")
    tab.page.keyboard.press("ArrowRight")
    tab.opens(page.made.frames[31])
    tab.page.keyboard.press("F10")
    tab.page.wait_for_selector(".beside img")
    same = """[...document.querySelectorAll('.full, .beside img')].map(i => i.style.transform)
        .every((t, _, all) => t && t === all[0])"""
    tab.until(same)
    before = tab.page.evaluate("document.querySelector('.full').style.transform")
    tab.page.keyboard.press("Control+ArrowLeft")
    tab.page.keyboard.press("Control+ArrowUp")
    tab.until(f"document.querySelector('.full').style.transform !== '{before}' && {same}")
    assert tab.page.inner_text(".beside span") == "A-0031"
    tab.page.keyboard.press("Escape")
    tab.until("!document.querySelector('.beside')")


def test_a_frame_is_cropped_by_keys_and_by_pointer(tab: Tab, own_page) -> None:
    """Keys shape, move and keep a crop; dragging a corner makes it smaller."""
    tab.page.goto(f"{own_page.address}{own_page.match}?frame={own_page.made.frames[30]}")
    tab.page.keyboard.press("F3")
    for key in (" ", " ", " ", " ", "PageDown", "ArrowRight", "Enter"):
        tab.page.keyboard.press(key)
    tab.said("is cropped")
    tab.until("document.querySelector('.credit').textContent.includes('Cropped to 4:5')")
    wide = "document.querySelector('.crop').getBoundingClientRect().width"
    before = tab.page.evaluate(wide)
    tab.page.keyboard.press("F3")
    tab.until("document.querySelector('.crop.on .se')?.getBoundingClientRect().width > 0")
    corner = tab.page.evaluate(
        "(r => ({x: r.x, y: r.y}))(document.querySelector('.crop.on .se').getBoundingClientRect())"
    )
    tab.page.mouse.move(corner["x"] + 4, corner["y"] + 4)
    tab.page.mouse.down()
    tab.page.mouse.move(corner["x"] - 60, corner["y"] - 60, steps=4)
    tab.page.mouse.up()
    assert tab.page.evaluate(wide) < before - 30
    tab.page.keyboard.press("Escape")
    assert tab.page.evaluate(wide) == pytest.approx(before, abs=1)


def test_the_edition_is_chosen_and_kept(tab: Tab, page) -> None:
    """The edition changes at once and is still there after a reload."""
    tab.page.goto(page.address)
    paper = "getComputedStyle(document.body).backgroundColor"
    day = tab.page.evaluate(paper)
    button = tab.page.locator("[data-edition-switch]")
    button.click()
    assert tab.page.evaluate(paper) == day
    button.click()
    night = tab.page.evaluate(paper)
    assert night != day
    tab.page.reload()
    assert tab.page.evaluate(paper) == night


def test_a_server_that_goes_away_is_told_and_text_is_kept(tab: Tab, own: small_match.Made) -> None:
    """Without its server the page says so and keeps what was typed; it goes on by itself."""
    from served import serve

    first = serve(own)
    place = next(first)
    tab.page.goto(f"{place.address}{place.match}?frame={own.frames[30]}")
    tab.line("9r celebrates", enter=False)
    next(first, None)
    tab.page.wait_for_selector("[data-gone]:not([hidden])", timeout=60_000)
    tab.page.keyboard.press("Enter")
    assert tab.page.input_value("#line") == "9r celebrates"
    again = serve(own, port=place.port)
    next(again)
    tab.page.wait_for_selector("[data-gone]", state="hidden", timeout=60_000)
    tab.page.keyboard.press("Enter")
    tab.page.wait_for_selector(".capt h3")
    tab.trouble.clear()
    tab.page.goto("about:blank")
    next(again, None)


def test_hostile_names_run_nothing(tab: Tab, own_page) -> None:
    """Names with markup appear as they are typed, on the page and in the line, and run nothing."""
    add_sheet(
        Workspace.open(own_page.made.folder),
        own_page.made.match,
        small_match.hostile_sheet(),
        small_match.LATER,
    )
    tab.page.on("dialog", lambda dialog: tab.trouble.append(dialog.message))
    tab.page.goto(f"{own_page.address}{own_page.match}?frame={own_page.made.frames[30]}")
    for shirt in ("9r", "7r", "4r", "10r", "11r", "1g"):
        tab.line(f"{shirt} celebrates", enter=False)
        tab.page.wait_for_selector(".bit.name, .bit.wrong")
        tab.page.fill("#line", "")
    tab.line("9r celebrates")
    tab.page.wait_for_selector(".capt h3, .bit.wrong")
    assert tab.page.locator("img[src=x]").count() == 0


@pytest.mark.parametrize("edition", ["light", "dark"])
def test_no_page_breaks_the_guidelines(chromium, page, edition: str) -> None:
    """axe finds no violation of WCAG 2.2 AA on any page, in either edition, wide or narrow."""
    from axe_playwright_python.sync_playwright import Axe

    axe, found = Axe(), {}
    rules = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
    opened = f"{page.match}?frame={page.made.frames[73]}"
    everywhere = ("/", opened, f"{page.match}/desk", f"{page.match}/before", "/fixtures/new",
                  "/doctor", "/x")  # fmt: skip
    for size, paths in (
        (WIDE, everywhere if edition == "light" else (opened, f"{page.match}/desk")),
        (PHONE, (opened, f"{page.match}/before") if edition == "light" else ("/",)),
    ):
        tab = Tab(chromium, viewport=size, color_scheme=edition)
        for path in paths:
            tab.page.goto(page.address + path)
            result = axe.run(tab.page, options=rules)
            for violation in result.response["violations"]:
                nodes = [n["html"][:160] for n in violation["nodes"][:3]]
                found[f"{path} {violation['id']}"] = nodes
        tab.context.close()
    assert found == {}


@pytest.mark.parametrize("view", [{"width": 360, "height": 740}, {"width": 720, "height": 450}])
def test_nothing_is_wider_than_a_small_window(chromium, page, view: dict[str, int]) -> None:
    """At 360 px, and at 200 % zoom of a laptop's window, no page scrolls sideways."""
    tab = Tab(chromium, viewport=view)
    frame = page.made.frames[73]
    match = page.match
    for path in ("/", match, f"{match}?frame={frame}", f"{match}/desk", f"{match}/before"):
        tab.page.goto(page.address + path)
        width = tab.page.evaluate("document.documentElement.scrollWidth")
        assert width <= view["width"], path
    tab.context.close()


def test_the_focus_is_always_seen(tab: Tab, page) -> None:
    """Every stop of the Tab key shows an outline or the line's own mark."""
    tab.page.goto(page.address + page.match)
    seen = set()
    for _ in range(25):
        tab.page.keyboard.press("Shift+Tab")
        mark = tab.page.evaluate(
            "(e => [e.outerHTML, e === document.body || e.id === 'line'"
            " || getComputedStyle(e).outlineStyle !== 'none'])(document.activeElement)"
        )
        seen.add(mark[0])
        assert mark[1], mark[0]
    assert len(seen) > 10


def test_a_screen_reader_hears_minute_frame_and_place(page, tab: Tab) -> None:
    """Headings give the minutes, groups their passage, frames their place, decision and caption."""
    tab.page.goto(f"{page.address}{page.match}?frame={page.made.frames[73]}")
    assert tab.page.get_by_role("heading", name="74' 2–1").count() == 1
    assert tab.page.get_by_role("article", name="Frame A-0074, 74' 2–1").count() == 1
    assert tab.page.get_by_role("group", name="Passage at 89': 26 frames").count() == 1
    label = tab.page.get_by_role("link", name="Frame A-0071, 74' 2–1, spiked").first
    assert label.count() == 1
    assert tab.page.get_by_role("list", name="Check").count() == 1


def test_a_screen_reader_hears_what_the_check_found(tab: Tab, own_page) -> None:
    """A finding is an item of the list called Check, its grade in words; what is said is live."""
    frame = own_page.made.frames[73]
    own_page.post(f"{own_page.match}/line", {"line": "withdraw 4", "frame": frame})
    tab.page.goto(f"{own_page.address}{own_page.match}?frame={frame}")
    found = tab.page.get_by_role("list", name="Check").get_by_role("listitem")
    heard = [" ".join(text.split()) for text in found.all_inner_texts()]
    assert any("wrong" in text and "The log gives" in text for text in heard), heard
    assert tab.page.locator("[data-said]").get_attribute("role") == "log"


def test_who_wants_no_motion_gets_none(chromium, page) -> None:
    """With reduced motion asked for nothing on any page moves by itself; else links may fade."""
    moving = (
        "() => [...document.querySelectorAll('*')].filter((e) => { const s = getComputedStyle(e);"
        " return parseFloat(s.transitionDuration) > 0 || parseFloat(s.animationDuration) > 0"
        " || s.scrollBehavior === 'smooth'; }).length"
    )
    seen = {}
    for wish in ("reduce", "no-preference"):
        tab = Tab(chromium, reduced_motion=wish)
        for path in ("/", page.match, f"{page.match}/before", f"{page.match}/desk", "/doctor"):
            tab.page.goto(page.address + path)
            seen[wish] = seen.get(wish, 0) + tab.page.evaluate(moving)
        tab.context.close()
    assert seen["reduce"] == 0
    assert seen["no-preference"] > 0
