"""What stands before every page."""

from __future__ import annotations

import pytest
from starlette.datastructures import Headers

from setpiece.web.security import host_name, refusal

HOSTS = frozenset({"127.0.0.1", "localhost", "::1", "laptop.local:8027"})


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("127.0.0.1:8000", "127.0.0.1"),
        ("LOCALHOST", "localhost"),
        ("[::1]:8000", "::1"),
        ("user@127.0.0.1", ""),
        ("[::1", ""),
        ("", ""),
    ],
)
def test_the_name_in_a_host_header_is_read_without_its_port(host: str, name: str) -> None:
    """A host header gives its name; a malformed one, or one with a user in it, gives none."""
    assert host_name(host) == name


def test_a_host_with_a_port_is_taken_with_that_port_only() -> None:
    """A host that was given with its port is answered on that port and no other."""
    assert refusal("GET", Headers({"host": "laptop.local:8027"}), HOSTS) == ""
    assert refusal("GET", Headers({"host": "laptop.local:80"}), HOSTS)
    assert refusal("GET", Headers({"host": "localhost:80"}), HOSTS) == ""


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "evil.example:80", ""])
def test_another_name_is_refused(host: str) -> None:
    """A name that the server was not started for is refused, for reading too."""
    assert refusal("GET", Headers({"host": host}), HOSTS)


@pytest.mark.parametrize(
    "origin",
    ["", "null", "http://evil.example", "http://127.0.0.1:9", "https://127.0.0.1", "file://"],
)
def test_a_change_from_elsewhere_is_refused(origin: str) -> None:
    """Anything but reading must carry the page's own origin."""
    headers = {"host": "127.0.0.1:8000", "content-length": "2", "origin": origin}
    assert refusal("POST", Headers(headers), HOSTS)


def test_a_change_from_the_page_itself_passes() -> None:
    """The page's own origin and a stated length let a change pass."""
    headers = {
        "host": "127.0.0.1:8000",
        "origin": "http://127.0.0.1:8000",
        "content-length": "2",
    }
    assert refusal("POST", Headers(headers), HOSTS) == ""
    assert refusal("POST", Headers(headers | {"content-length": "9999999"}), HOSTS)


def test_every_answer_carries_the_policy(page) -> None:
    """Pages, pictures, styles and refusals all forbid what is inline or from elsewhere."""
    kits = f"{page.match}/kits.css"
    for path in ("/", page.match, "/static/css/page.css", kits, "/nothing", "/match/x"):
        headers = page.ask(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
    refused = page.ask("/", headers={"host": "evil.example"})
    assert refused.status == 403
    assert "content-security-policy" in refused.headers


def test_no_page_has_anything_inline(page) -> None:
    """No page holds an inline script, style or handler, and none names another host."""
    for path in (
        "/",
        page.match,
        f"{page.match}?frame={page.made.frames[73]}",
        f"{page.match}/desk",
    ):
        text = page.ask(path).text.lower()
        assert "<style" not in text
        assert " style=" not in text
        assert "onload=" not in text
        assert "onclick=" not in text
        assert "<script>" not in text
        assert "http://" not in text.replace("http://www.w3.org/2000/svg", "")
        assert "https://" not in text
