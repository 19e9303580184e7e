"""The clock card as one page that works without a network: its parts in one file."""

from __future__ import annotations

from importlib.resources import files


def card_page() -> str:
    """The page's HTML, styles and scripts inside."""
    parts = files("setpiece.work.clocks") / "card"
    code = (parts / "code.js").read_text("utf-8").replace("export function", "function")
    script = f"{code}\n{(parts / 'card.js').read_text('utf-8')}"
    page = (parts / "card.html").read_text("utf-8")
    return page.replace("{css}", (parts / "card.css").read_text("utf-8")).replace("{js}", script)
