"""A page in a real browser, worked by keyboard alone."""

from __future__ import annotations

import pytest

IS_CALLED = """n => {
  const e = document.activeElement;
  return [e.name, e.id, e.textContent.trim(), e.getAttribute('href')].includes(n);
}"""


class Keyboard:
    """Keys into one tab, and waits for what the page shows. `trouble` are its script's errors."""

    def __init__(self, browser) -> None:
        self.context = browser.new_context(viewport={"width": 1440, "height": 900})
        self.tab = self.context.new_page()
        self.tab.set_default_timeout(60_000)
        self.trouble: list[str] = []
        self.tab.on("pageerror", lambda error: self.trouble.append(str(error)))

    def press(self, *keys: str) -> None:
        """Presses keys one after the other."""
        for key in keys:
            self.tab.keyboard.press(key)

    def tab_to(self, name: str) -> None:
        """Tabs until what has the focus carries that name."""
        for _ in range(150):
            self.press("Tab")
            if self.tab.evaluate(IS_CALLED, name):
                return
        pytest.fail(f"no Tab leads to {name}")

    def type(self, text: str) -> None:
        """Types, as pasted for many lines."""
        if "\n" in text:
            self.tab.keyboard.insert_text(text)
        else:
            self.tab.keyboard.type(text)

    def fill(self, **fields: str) -> None:
        """Goes from field to field."""
        for name, text in fields.items():
            self.tab_to(name)
            self.type(text)

    def line(self, text: str) -> None:
        """One line, and Enter; waits until it is taken."""
        self.type(text)
        self.press("Enter")
        self.until("document.querySelector('#line').value === ''", None, text)

    def until(self, expression: str, argument: object = None, about: str = "") -> None:
        """Waits until that is true in the page."""
        for _ in range(2400):
            if self.tab.evaluate(expression, argument):
                return
            self.tab.wait_for_timeout(25)
        heard = self.tab.inner_text("form.line") + self.tab.inner_text("aside")
        pytest.fail(f"never true: {expression} {argument or ''} {about}; the line: {heard}")

    def said(self, text: str) -> None:
        """Waits until the page says that."""
        self.until("t => document.querySelector('[data-said]').textContent.includes(t)", text)
