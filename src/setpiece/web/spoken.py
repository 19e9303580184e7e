"""The language of a page: as chosen on this computer, else as its browser asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextvars import ContextVar
from http.cookies import CookieError, SimpleCookie

from babel import Locale, negotiate_locale
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from setpiece.web.wording import ENGLISH, Wording, languages, wording

COOKIE = "language"
_now: ContextVar[str] = ContextVar("language", default=ENGLISH)


class Spoken(Wording):
    """The texts in the language of the request that is being answered, English outside of one."""

    def __init__(self) -> None:
        super().__init__(ENGLISH, {})

    @property
    def language(self) -> str:
        """The language of this request."""
        return _now.get()

    @property
    def texts(self) -> Mapping[str, str]:
        """The texts of that language."""
        return wording(self.language).texts


class Speaking:
    """Stands before the application and sets the language of each request."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes the request on in its language."""
        if scope["type"] == "http":
            headers = Headers(scope=scope)
            _now.set(language_of(headers.get("cookie", ""), headers.get("accept-language", "")))
        await self.app(scope, receive, send)


def language_of(cookies: str, accepted: str) -> str:
    """The language for a request's Cookie and Accept-Language headers."""
    try:
        chosen = SimpleCookie(cookies).get(COOKIE)
    except CookieError:
        chosen = None
    if chosen is not None and chosen.value in languages():
        return chosen.value
    return negotiate_locale(preferred(accepted), languages(), sep="-") or ENGLISH


def preferred(accepted: str) -> list[str]:
    """The language tags of an Accept-Language header, the most wanted first (RFC 9110, 12.5.4)."""
    wanted = []
    for part in accepted.split(","):
        tag, _, weight = part.partition(";")
        if tag.strip() and (quality := _quality(weight)) > 0:
            wanted.append((-quality, tag.strip()))
    return [tag for _, tag in sorted(wanted, key=lambda w: w[0])]


def _quality(weight: str) -> float:
    text = weight.strip().removeprefix("q=")
    try:
        return min(float(text), 1.0) if text else 1.0
    except ValueError:
        return 0.0


def own_names(codes: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Each language with what its speakers call it."""
    return tuple((code, str(Locale.parse(code).display_name).capitalize()) for code in codes)
