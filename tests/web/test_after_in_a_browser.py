"""After and the debrief in a real browser: the guidelines, the content policy, small windows."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser

PATHS = ("after", "debrief")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


@pytest.mark.parametrize("edition", ["light", "dark"])
def test_after_and_debrief_keep_to_the_guidelines(chromium, page, edition: str) -> None:
    """axe finds no violation of WCAG 2.2 AA on either page, by day and by night."""
    from axe_playwright_python.sync_playwright import Axe

    context = chromium.new_context(color_scheme=edition, bypass_csp=True)
    tab, found = context.new_page(), {}
    for path in PATHS:
        tab.goto(f"{page.address}{page.match}/{path}")
        for violation in Axe().run(tab, options=RULES).response["violations"]:
            found[f"{path} {violation['id']}"] = [n["html"][:160] for n in violation["nodes"][:3]]
    context.close()
    assert found == {}


def test_the_policy_lets_their_styles_through_and_nothing_is_too_wide(chromium, page) -> None:
    """At 360 px neither page scrolls sideways, the browser complains of nothing, and is styled."""
    context = chromium.new_context(viewport={"width": 360, "height": 740})
    tab, said = context.new_page(), []
    tab.on("console", lambda message: said.append(message.text))
    tab.on("pageerror", lambda error: said.append(str(error)))
    for path in PATHS:
        tab.goto(f"{page.address}{page.match}/{path}")
        assert tab.evaluate("document.documentElement.scrollWidth <= innerWidth")
        family = tab.evaluate("getComputedStyle(document.querySelector('h1')).fontFamily")
        assert "Palatino" in family
    context.close()
    assert said == []
