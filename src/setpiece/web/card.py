"""The clock card as a page of this server: the same parts, none of them inline."""

from __future__ import annotations

from importlib.resources import files

from setpiece.errors import NotFound

_PARTS = files("setpiece.work.clocks") / "card"
_STYLE = "<style>\n{css}</style>"
_SCRIPT = '<script type="module">\n{js}</script>'


def card_html() -> str:
    """The page; this computer's clock is the match's, so its codes are taken as they are."""
    return _card("/clock-card", 'data-offset-ms="0"')


def phone_card_html() -> str:
    """The page on a phone, which asks this computer for its time and allows for the difference."""
    return _card("/phone/clock-card", 'data-time-url="/phone/time"')


def _card(folder: str, clock: str) -> str:
    page = _PARTS.joinpath("card.html").read_text("utf-8")
    page = page.replace(_STYLE, f'<link rel="stylesheet" href="{folder}/card.css">')
    page = page.replace(_SCRIPT, f'<script type="module" src="{folder}/card.js"></script>')
    return page.replace("<main data-clock-card>", f"<main data-clock-card {clock}>")


def card_part(name: str) -> tuple[str, str]:
    """The style or the script of the page, and its kind. Raises NotFound for anything else."""
    if name == "card.css":
        return _PARTS.joinpath(name).read_text("utf-8"), "text/css"
    if name == "card.js":
        code = _PARTS.joinpath("code.js").read_text("utf-8").replace("export function", "function")
        return f"{code}\n{_PARTS.joinpath(name).read_text('utf-8')}", "text/javascript"
    raise NotFound("the clock card has no such part", thing=name)
