"""Who is answered: one check for each way that a foreign page has been known to come in.

Sources: W3C Fetch Metadata Request Headers; OWASP Cheat Sheet Series, "Cross-Site Request
Forgery Prevention" (verifying origin with standard headers, SameSite); RFC 9110, 7.2 (Host)
and 9.2.1 (safe methods); DNS rebinding as in Jackson et al., "Protecting Browsers from DNS
Rebinding Attacks", 2007 (the server checks Host).
"""

from __future__ import annotations

import asyncio

import pytest

from refmatch.web.guard import LONGEST_ADDRESS
from tests.web.asking import HOST, Browser, policy

OWN = f"http://{HOST}"


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8731",
        "127.0.0.1",
        "127.0.0.1:80",
        "127.0.0.1.evil.example:8731",
        "127.0.0.2:8731",
        "localhost",
        "0.0.0.0:8731",
        "[::1]:8731",
        "",
    ],
)
@pytest.mark.parametrize("path", ["/", "/enter?token=x", "/api/start", "/static/app.js"])
def test_a_name_that_only_leads_here_is_refused(browser: Browser, host: str, path: str) -> None:
    assert browser.ask("GET", path, {"host": host}).status_code == 421


@pytest.mark.parametrize("host", [HOST, "localhost:8731", "LOCALHOST:8731"])
def test_the_servers_own_names_are_answered(browser: Browser, host: str) -> None:
    assert browser.ask("GET", "/api/start", {"host": host, "cookie": cookie(browser)}).is_success


def test_a_rebound_name_does_not_use_up_a_token(stranger: Browser) -> None:
    token = stranger.keys.new_token()
    assert not stranger.ask("GET", f"/enter?token={token}", {"host": "evil.example"}).is_success
    assert stranger.ask("GET", f"/enter?token={token}").is_success


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": f"https://{HOST}"},
        {"origin": "http://127.0.0.1:9000"},
        {"origin": f"http://{HOST}.evil.example"},
        {"origin": OWN, "sec-fetch-site": "cross-site"},
        {"origin": OWN, "sec-fetch-site": "same-site"},
        {"referer": "http://evil.example/api"},
        {"referer": f"http://evil.example/{OWN}"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "none"},
        {},
    ],
)
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS"])
def test_what_may_change_something_must_come_from_our_own_page(
    browser: Browser, method: str, headers: dict[str, str]
) -> None:
    answer = browser.ask(method, "/api/paintings?sample=garden-table", headers)
    assert answer.status_code == 403
    assert "own page" in answer.json()["error"]
    assert browser.shelf.paintings() == []


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": OWN},
        {"origin": OWN, "sec-fetch-site": "same-origin"},
        {"referer": f"{OWN}/"},
        {"sec-fetch-site": "same-origin"},
    ],
)
def test_our_own_page_may_change_things(browser: Browser, headers: dict[str, str]) -> None:
    answer = browser.ask("POST", "/api/paintings?sample=no-such", headers)
    assert answer.status_code == 404
    assert "sample" in answer.json()["error"]


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_other_pages_read_nothing(browser: Browser, site: str) -> None:
    """Another program on this machine is the same site but not the same origin."""
    assert browser.ask("GET", "/api/start", {"sec-fetch-site": site}).status_code == 403


def test_a_link_from_elsewhere_may_lead_to_the_page(browser: Browser) -> None:
    """The page itself tells nothing, and its own requests bring what it needs."""
    assert browser.ask("GET", "/", {"sec-fetch-site": "cross-site"}).is_success


@pytest.mark.parametrize(
    "path", ["/", "/static/app.js", "/api/start", "/api/paintings/x", "/no-such", "/enter/", "//"]
)
def test_no_token_no_answer(stranger: Browser, path: str) -> None:
    answer = stranger.get(path)
    assert answer.status_code == 403
    assert "link" in answer.text


def test_the_refusal_can_be_read(stranger: Browser) -> None:
    page, told = stranger.get("/"), stranger.get("/api/start")
    assert page.headers["content-type"].startswith("text/html")
    assert "<h1>" in page.text
    assert told.json()["error"].endswith(".")


@pytest.mark.parametrize("path", ["/enter%3f", "/%65nter/../api/start", "/enter/../", "/ENTER"])
def test_only_the_way_in_needs_no_cookie(stranger: Browser, path: str) -> None:
    assert stranger.get(path).status_code == 403


def test_a_cookie_of_ones_own_making_is_not_known(stranger: Browser) -> None:
    for value in ("", "x", stranger.keys.new_token()):
        assert stranger.get("/", cookie=f"{stranger.keys.cookie}={value}").status_code == 403


def test_a_web_socket_is_closed_at_once(browser: Browser) -> None:
    sent = []

    async def send(message: dict[str, object]) -> None:
        sent.append(message)

    async def receive() -> dict[str, object]:
        return {"type": "websocket.connect"}

    asyncio.run(browser._app({"type": "websocket", "headers": []}, receive, send))
    assert [message["type"] for message in sent] == ["websocket.close"]


def test_a_long_address_is_refused(browser: Browser) -> None:
    assert browser.get(f"/api/start?{'x' * LONGEST_ADDRESS}").status_code == 414


def test_the_policy_lets_nothing_in_but_our_own(browser: Browser) -> None:
    """Content Security Policy Level 3; OWASP, "Content Security Policy": no 'unsafe-', no '*'."""
    said = policy(browser.get("/"))
    assert said["default-src"] == ["'none'"]
    for directive in ("script-src", "style-src", "connect-src"):
        assert said[directive] == ["'self'"]
    assert said["img-src"] == ["'self'", "blob:", "data:"]
    for directive in ("frame-ancestors", "base-uri", "font-src"):
        assert said[directive] == ["'none'"]
    assert said["form-action"] == ["'self'"]
    assert said["require-trusted-types-for"] == ["'script'"]
    everything = " ".join(" ".join(sources) for sources in said.values())
    assert "unsafe" not in everything
    assert "*" not in everything


@pytest.mark.parametrize(
    "path", ["/", "/static/app.js", "/api/start", "/api/paintings/none", "/no-such", "/enter"]
)
@pytest.mark.parametrize("inside", [True, False])
def test_every_answer_protects_itself(stranger: Browser, path: str, inside: bool) -> None:
    """Headers as in OWASP, "HTTP Security Response Headers Cheat Sheet"."""
    if inside:
        stranger.come_in()
    headers = stranger.get(path).headers
    assert policy(stranger.get(path))["default-src"] == ["'none'"]
    assert policy(stranger.get(path))["frame-ancestors"] == ["'none'"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-opener-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "access-control-allow-origin" not in headers
    if path.startswith("/api"):
        assert headers["cache-control"] == "no-store"


def test_what_goes_wrong_inside_is_told_behind_the_same_guard(
    browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fall(*_: object) -> None:
        raise RuntimeError("with a secret in it")

    monkeypatch.setattr(browser.shelf, "new_from_sample", fall)
    answer = browser.post("/api/paintings?sample=garden-table")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert answer.json()["error"].endswith(".")
    assert policy(answer)["default-src"] == ["'none'"]


def cookie(browser: Browser) -> str:
    """The cookie by hand, for a host that the jar does not send it to."""
    return f"{browser.keys.cookie}={browser.keys.trade(browser.keys.new_token())}"
