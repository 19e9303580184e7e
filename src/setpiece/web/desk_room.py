"""What every address of the application works with."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from setpiece.match.instants import Instant
from setpiece.store.workspace import Workspace
from setpiece.web.answered import NO_STORE
from setpiece.web.backstage import Backstage, Screen
from setpiece.web.desk.wrongs import Wrongs
from setpiece.web.spoken import Spoken, own_names
from setpiece.web.standing import Standing
from setpiece.web.steward import Steward
from setpiece.web.touchline.margin import Part, margin
from setpiece.web.wire import Wire
from setpiece.web.wording import Wording, languages
from setpiece.work.battery import Battery
from setpiece.work.matchday import Matchday

Clock = Callable[[], Instant]

EDITIONS = ("day", "night")
"""What the `edition` cookie may say; anything else leaves it to the system."""


class WebDesk:
    """The workspace, the clock, the matches as they stand, the wire, the jobs, the templates."""

    def __init__(self, space: Workspace, now: Clock, battery: Battery) -> None:
        self.space = space
        self.now = now
        self.words: Wording = Spoken()
        self.standing = Standing(space)
        self.wire = Wire(space)
        self.backstage = Backstage(space, self.wire, now, self.words, battery)
        self.steward = Steward(self.backstage)
        self.wire.on_news = self.backstage.on_end = self.steward.look_soon
        self.wrongs = Wrongs(space, self.wire)
        self.caller = Screen(now, lambda *_: None)
        self.pages = Environment(
            loader=PackageLoader("setpiece.web", "templates"),
            autoescape=select_autoescape(default=True, default_for_string=True),
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.pages.globals.update(
            t=self.words, n=self.words.count, languages=own_names(languages())
        )

    def margin(self, day: Matchday) -> tuple[Part, ...]:
        """The margin of a match's report."""
        return margin(day, self.wrongs.at_desks(day.match), self.now(), self.words)

    def close(self) -> None:
        """Ends what runs behind the pages."""
        self.steward.stop()
        self.backstage.close()

    def text(self, template: str, **values: Any) -> str:
        """A fragment's markup."""
        return self.pages.get_template(template).render(values)

    def page(
        self,
        request: Request,
        template: str,
        status: int = 200,
        *,
        values: Mapping[str, Any] | None = None,
        **more: Any,
    ) -> HTMLResponse:
        """A page or fragment. It is made for this moment, so nobody keeps it."""
        chosen = request.cookies.get("edition", "")
        edition = chosen if chosen in EDITIONS else ""
        text = self.text(template, **(values or {}), **more, edition=edition)
        return HTMLResponse(text, status, headers=NO_STORE)
