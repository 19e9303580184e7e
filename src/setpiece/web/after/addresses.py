"""The addresses of the time after the match: the page, the debrief, its style and its PDF."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response

from setpiece.plan.debrief.page import Linked, debrief_css, debrief_html
from setpiece.web.after.cuttings import add_cuttings, clips
from setpiece.web.after.page import after
from setpiece.web.answered import NO_STORE
from setpiece.web.desk_room import EDITIONS, WebDesk
from setpiece.web.mast import kits_of, mast
from setpiece.work.debrief.page import work_out
from setpiece.work.debrief.pdf import debrief_pdf


def add_after(app: FastAPI, desk: WebDesk) -> None:
    """Adds the pages that stand after the match."""

    @app.get("/match/{folder}/after")
    def after_page(request: Request, folder: str) -> Response:
        day = desk.standing.of(folder)
        now, words = desk.now(), desk.words
        values = {
            "mast": mast(day, now, words),
            "after": after(day, now, words),
            "clips": clips(desk.space, words),
        }
        return desk.page(request, "after.html", values=values)

    add_cuttings(app, desk)

    @app.get("/match/{folder}/debrief")
    def debrief_page(request: Request, folder: str) -> Response:
        made = work_out(desk.standing.of(folder))
        chosen = request.cookies.get("edition", "")
        home = f"/match/{folder}"
        links = Linked(
            f"{home}/debrief.css", f"{home}/after", desk.words("page.after"),
            chosen if chosen in EDITIONS else "",
        )  # fmt: skip
        return HTMLResponse(debrief_html(made, links), headers=NO_STORE)

    @app.get("/match/{folder}/debrief.css")
    def debrief_style(folder: str) -> Response:
        kits = kits_of(desk.standing.of(folder).sheet)
        return Response(
            debrief_css((kits.home, kits.away)),
            media_type="text/css",
            headers={"cache-control": "no-cache"},
        )

    @app.get("/match/{folder}/debrief.pdf")
    def debrief_paper(folder: str) -> Response:
        day = desk.standing.of(folder)
        data = debrief_pdf(work_out(day), day.fixture.kick_off)
        name = f'inline; filename="{folder}-debrief.pdf"'
        return Response(data, media_type="application/pdf",
                        headers={**NO_STORE, "content-disposition": name})  # fmt: skip
