"""The launch token is good once, and is traded for a cookie that no script and no site can use."""

from __future__ import annotations

import re

import pytest

from tests.web.asking import COOKIE, Browser, cookie_parts


def test_a_token_opens_the_door(stranger: Browser) -> None:
    assert stranger.get("/").status_code == 403
    assert stranger.come_in().status_code == 200
    assert stranger.get("/").status_code == 200


def test_the_cookie_is_kept_from_scripts_and_from_other_sites(stranger: Browser) -> None:
    """RFC 6265bis 5.6.6 (HttpOnly), 5.6.7 (SameSite); OWASP, "Session Management Cheat Sheet":
    64 bits of randomness at least, and no lifetime beyond the session.
    """
    value, attributes = cookie_parts(stranger.come_in())
    assert attributes == {"httponly", "samesite=strict", "path=/"}
    assert len(value) >= 43  # 256 bits in base64


def test_the_cookie_is_not_the_token(stranger: Browser) -> None:
    token = stranger.keys.new_token()
    value, _ = cookie_parts(stranger.ask("GET", f"/enter?token={token}"))
    assert value != token
    assert not stranger.keys.knows(token)
    assert stranger.keys.trade(value) is None


def test_the_cookies_name_tells_ports_apart(stranger: Browser) -> None:
    """RFC 6265, 8.5: cookies are not kept apart by port."""
    assert stranger.come_in().headers["set-cookie"].startswith(f"{COOKIE}=")


def test_it_goes_on_by_itself_rather_than_by_a_redirect(stranger: Browser) -> None:
    """A redirect that a foreign page began would not carry a Strict cookie (RFC 6265bis, 5.2)."""
    answer = stranger.come_in()
    assert answer.status_code == 200
    assert re.search(r'http-equiv="refresh" content="0; url=/"', answer.text)
    assert 'href="/"' in answer.text


def test_it_goes_on_to_the_painting_asked_for(stranger: Browser) -> None:
    answer = stranger.ask("GET", f"/enter?painting=ab12&token={stranger.keys.new_token()}")
    assert 'content="0; url=/#/ab12"' in answer.text


def test_where_it_goes_on_to_cannot_be_made_another_site(stranger: Browser) -> None:
    odd = '"><script>alert(1)</script>'
    answer = stranger.ask(
        "GET", "/enter", params={"painting": odd, "token": stranger.keys.new_token()}
    )
    assert "<script" not in answer.text
    (onward,) = re.findall(r"url=(.*?)\"", answer.text)
    assert onward.startswith("/#/")


def test_a_token_is_good_once(stranger: Browser) -> None:
    token = stranger.keys.new_token()
    assert stranger.ask("GET", f"/enter?token={token}").status_code == 200
    stranger.forget()
    again = stranger.ask("GET", f"/enter?token={token}")
    assert again.status_code == 403
    assert "set-cookie" not in again.headers
    assert "Enter" in again.text


def test_who_is_in_already_is_let_on_with_an_old_link(stranger: Browser) -> None:
    token = stranger.keys.new_token()
    stranger.ask("GET", f"/enter?token={token}")
    again = stranger.ask("GET", f"/enter?token={token}")
    assert again.status_code == 200
    assert "set-cookie" not in again.headers


@pytest.mark.parametrize("query", ["", "?token=", "?token=x", "?token=%00%ff", "?token=é"])
def test_what_is_no_token_opens_nothing(stranger: Browser, query: str) -> None:
    stranger.keys.new_token()
    assert stranger.ask("GET", f"/enter{query}").status_code == 403
    assert stranger.get("/").status_code == 403


@pytest.mark.parametrize(
    ("method", "headers"),
    [("HEAD", {}), ("GET", {"sec-purpose": "prefetch;prerender"})],
)
def test_looking_at_a_link_ahead_does_not_use_it_up(
    stranger: Browser, method: str, headers: dict[str, str]
) -> None:
    token = stranger.keys.new_token()
    assert stranger.ask(method, f"/enter?token={token}", headers).status_code == 403
    assert stranger.ask("GET", f"/enter?token={token}").status_code == 200


def test_tokens_are_long_and_never_the_same(stranger: Browser) -> None:
    tokens = {stranger.keys.new_token() for _ in range(200)}
    assert len(tokens) == 200
    assert min(map(len, tokens)) >= 43  # 256 bits in base64
