"""The page's own modules, one by one, in a real browser."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

pytestmark = pytest.mark.browser

Run = Callable[[str, str], object]


@pytest.fixture(scope="module")
def run(chromium, page) -> Iterator[Run]:
    """Runs a body over a module's exports, `m`, and gives what it returns."""
    tab = chromium.new_page()
    tab.goto(page.address + "/x")

    def body(module: str, code: str) -> object:
        return tab.evaluate(f"import('/static/js/{module}.js').then(async m => {{ {code} }})")

    yield body
    tab.close()


def test_editions_follow_each_other(run: Run) -> None:
    """The switch goes from the system to day to night and back."""
    code = "return ['auto', 'day', 'night', 'other'].map(m.nextEdition)"
    assert run("edition", code) == ["day", "night", "auto", "auto"]


def test_elapsed_time_is_written_in_minutes_and_seconds(run: Run) -> None:
    """Seconds are cut, minutes go past sixty, and nothing is negative."""
    code = "return [0, 59.9, 61, 3605, -3].map(m.elapsedText)"
    assert run("clock", code) == ["00:00", "00:59", "01:01", "60:05", "00:00"]


def test_the_grey_word_is_what_is_left_of_the_likeliest(run: Run) -> None:
    """It is shown at the end of the line only, and only where what was typed begins it."""
    code = """
      const next = { text: 'celebrates', start: 3, end: 6 };
      return [
        m.remainder(next, '9r cel', 6),
        m.remainder(next, '9r CEL', 6),
        m.remainder(next, '9r cel', 2),
        m.remainder({ text: 'ngozi adembe', start: 0, end: 3 }, 'ade', 3),
        m.remainder(undefined, 'x', 1),
        m.remainder({ text: ' right', start: 3, end: 3 }, '11r', 3),
      ]"""
    assert run("line", code) == ["ebrates", "ebrates", "", "", "", " right"]


def test_what_was_fetched_is_kept_until_forgotten(run: Run) -> None:
    """An address is asked once; a failure is asked again; the oldest goes when there are many."""
    code = """
      const asked = [];
      const fetcher = async (a) => {
        asked.push(a);
        if (a === 'bad') throw new Error(a);
        return a;
      };
      const kept = new m.Kept(fetcher, 2);
      await kept.get('a'); await kept.get('a');
      await kept.get('bad').catch(() => {}); await kept.get('bad').catch(() => {});
      await kept.get('b'); await kept.get('c'); await kept.get('a');
      kept.forget(); await kept.get('c');
      return asked"""
    assert run("fragments", code) == ["a", "bad", "bad", "b", "c", "a", "c"]


def test_fetched_markup_runs_nothing(run: Run) -> None:
    """A script or a handler in fetched markup is never run."""
    code = """
      window.ran = false;
      const script = '<script>window.ran = true</script>';
      const image = '<img src=x onerror="window.ran = true">';
      document.body.append(m.parsed(`${script}${image}<b class=mine>ok</b>`));
      await new Promise((done) => setTimeout(done, 150));
      return [window.ran, document.querySelector('b.mine').textContent]"""
    assert run("fragments", code) == [False, "ok"]


def test_keys_change_places(run: Run) -> None:
    """A key given to another act leaves its old act the key that became free."""
    code = """
      const store = new Map();
      const like = {
        getItem: (k) => store.get(k) ?? null,
        setItem: (k, v) => store.set(k, v),
        removeItem: (k) => store.delete(k),
      };
      const keys = new m.Keys(like);
      keys.change('use', 'F8');
      const again = new m.Keys(like);
      const press = (key) => again.actOf({ key });
      return [press("F8"), press("F2"), new Set(Object.values(again.map)).size]"""
    assert run("keys", code) == ["use", "spike", 11]


def test_a_spoilt_store_gives_the_first_keys(run: Run) -> None:
    """What cannot be read in the browser's store is left aside."""
    code = """
      const keys = new m.Keys({ getItem: () => 'no json', setItem() {}, removeItem() {} });
      return keys.map.keys"""
    assert run("keys", code) == "F1"


def test_acts_are_taken_back_last_first(run: Run) -> None:
    """The last act comes back first, and only the newest fifty are kept."""
    code = """
      const store = new Map();
      const like = { getItem: (k) => store.get(k) ?? null, setItem: (k, v) => store.set(k, v) };
      const undoing = new m.Undoing('x', like);
      for (let i = 0; i < 60; i += 1) undoing.push({ i });
      const [kept, last, before] = [undoing.acts.length, undoing.pop().i, undoing.pop().i];
      return [kept, last, before, new m.Undoing('x', like).acts.length]"""
    assert run("undo", code) == [50, 59, 58, 48]


def test_a_form_is_sent_as_its_fields(run: Run) -> None:
    """A form's values are texts by name; a box that is not ticked is not among them."""
    code = """
      const form = document.createElement('form');
      form.innerHTML = '<input name="a" value="1"><input type="checkbox" name="b">'
        + '<input type="checkbox" name="c" checked>';
      return m.valuesOf(form)"""
    assert run("forms", code) == {"a": "1", "c": "on"}


def test_a_crop_stays_within_its_picture(run: Run) -> None:
    """Shaped, moved, sized or dragged, a crop keeps its shape and lies inside the picture."""
    code = """
      const picture = { width: 6000, height: 4000 };
      const wrong = [];
      let box = m.shaped('4:5', [0.8, 0.8, 0.2, 0.2], picture);
      const look = (what) => {
        const [x, y, w, h] = box;
        if (x < -1e-9 || y < -1e-9 || x + w > 1 + 1e-9 || y + h > 1 + 1e-9) wrong.push([what, box]);
        if (Math.abs(w * 6000 / (h * 4000) - 0.8) > 1e-6) wrong.push([what, 'shape', box]);
      };
      look('shaped');
      for (let i = 0; i < 40; i += 1) { box = m.moved(box, 0.07, -0.05); look('moved'); }
      for (let i = 0; i < 90; i += 1) { box = m.sized(box, i % 3 ? 1.3 : 0.5); look('sized'); }
      for (const c of ['nw', 'ne', 'sw', 'se']) {
        for (const [x, y] of [[-1, -1], [2, 2], [0.5, 0.1], [0.2, 0.9]]) {
          box = m.dragged(box, c, x, y, box[2] / box[3]); look(c);
        }
      }
      return wrong"""
    assert run("crop", code) == []


def test_a_crop_is_written_as_the_line_reads_it(run: Run) -> None:
    """Shares are written with four places and never outside the picture."""
    assert run("crop", "return m.written([0.1, 0, 1.00001, 0.33333])") == (
        "0.1000,0.0000,1.0000,0.3333"
    )


def test_the_phones_clock_is_set_by_the_quickest_exchange(run: Run) -> None:
    """The offset comes from the exchange that took least time, halfway through it."""
    code = """
      return m.offsetOf([
        { sent: 1000, took: 400, server: 9000 },
        { sent: 2000, took: 20, server: 5010 },
      ])"""
    assert run("phone_queue", code) == 3000


def test_the_phone_makes_the_lines_of_the_log(run: Run) -> None:
    """What was pressed becomes the line that the log reads, with or without a number."""
    code = """
      const sides = [{ letter: 'r', players: [] }, { letter: 'b', players: [] }];
      return [
        { what: 'whistle' },
        { what: 'goal', side: 0, first: '9r' },
        { what: 'goal', side: 1, first: '4r', way: 'own goal' },
        { what: 'goal', side: 0, first: '' },
        { what: 'sub', side: 1, first: '17b', second: '8b' },
        { what: 'penalty', side: 0, how: 'awarded' },
        { what: 'penalty', side: 0, how: 'scored', first: '9r' },
        { what: 'penalty', side: 1, how: 'saved', first: '10b' },
      ].map((a) => [m.nextStep(a), m.lineOf(a, sides)])"""
    assert run("phone_steps", code) == [
        ["done", "whistle"],
        ["done", "goal 9r"],
        ["done", "goal 4r own goal"],
        ["done", "goal r"],
        ["done", "sub 17b for 8b"],
        ["done", "penalty awarded r"],
        ["done", "goal 9r penalty"],
        ["done", "penalty saved 10b"],
    ]
