"""What a page of somebody else's gets from the studio, in the browser that holds its cookie.

The foreign page is the hardest one there is: served from this very machine, so that for the
browser it is the same site, and cookies go along (RFC 6265, 8.5; "same-site" in Fetch Metadata).
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.serving import Server

ASK = """async ([method, address]) => {
  try {
    return (await fetch(address, { method, mode: "no-cors", credentials: "include" })).type;
  } catch (error) { return error.name; }
}"""
SHOW = """(address) => new Promise((done) => {
  const image = new Image();
  image.onload = () => done("shown");
  image.onerror = () => done("refused");
  image.src = address;
})"""
FRAME = """(address) => new Promise((done) => {
  const frame = document.createElement("iframe");
  frame.onload = () => done(frame.contentDocument ? "readable" : "closed");
  frame.src = address;
  document.body.append(frame);
})"""
SEND = """(address) => {
  const form = document.createElement("form");
  Object.assign(form, { method: "post", action: address });
  document.body.append(form);
  form.submit();
}"""


class Plain(BaseHTTPRequestHandler):
    """A page with nothing on it."""

    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("content-type", "text/html")
        self.end_headers()
        self.wfile.write(b"<!doctype html><title>Foreign</title><h1>Foreign</h1>")

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def elsewhere() -> Iterator[str]:
    """The address of somebody else's server."""
    with ThreadingHTTPServer(("127.0.0.1", 0), Plain) as other:
        thread = threading.Thread(target=other.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{other.server_port}/"
        other.shutdown()
        thread.join()


@pytest.fixture(scope="module")
def inside(chromium: Browser, fresh: Server) -> Iterator[BrowserContext]:
    """A browser that came in."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(fresh.use_link())
    page.wait_for_url(fresh.address)
    page.close()
    yield context
    context.close()


@pytest.fixture
def own(inside: BrowserContext, fresh: Server) -> Iterator[Page]:
    page = inside.new_page()
    page.goto(fresh.address)
    yield page
    page.close()


@pytest.fixture
def foreign(inside: BrowserContext, elsewhere: str) -> Iterator[Page]:
    page = inside.new_page()
    page.goto(elsewhere)
    yield page
    page.close()


def paintings(page: Page) -> int:
    return page.evaluate("async () => (await (await fetch('/api/start')).json()).paintings.length")


def test_the_cookie_would_go_along(foreign: Page, fresh: Server) -> None:
    """Else the tests below would prove nothing."""
    assert foreign.context.cookies(fresh.address)


def test_it_can_begin_no_painting(foreign: Page, own: Page, fresh: Server) -> None:
    address = f"{fresh.address}api/paintings?sample=garden-table"
    assert foreign.evaluate(ASK, ["POST", address]) == "TypeError"
    foreign.evaluate(SEND, address)
    foreign.wait_for_url(address)
    assert "answers only its own page" in foreign.inner_text("body")
    assert paintings(own) == 0


def test_it_reads_nothing(foreign: Page, fresh: Server) -> None:
    assert foreign.evaluate(ASK, ["GET", f"{fresh.address}api/start"]) == "TypeError"
    assert foreign.evaluate(SHOW, f"{fresh.address}api/samples/garden-table.jpg") == "refused"


def test_it_cannot_put_the_page_in_a_frame(foreign: Page, fresh: Server) -> None:
    assert foreign.evaluate(FRAME, fresh.address) == "closed"


def test_our_own_page_may(own: Page) -> None:
    assert own.evaluate(SHOW, "/api/samples/garden-table.jpg") == "shown"
    answer = "fetch('/api/paintings?sample=dab-board', { method: 'POST' }).then((a) => a.status)"
    before = paintings(own)
    assert own.evaluate(answer) == 200
    assert paintings(own) == before + 1


@pytest.mark.parametrize(
    "attempt",
    [
        "document.body.innerHTML = '<b>x</b>'",
        "document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=alert(1)>')",
        "document.write('<b>x</b>')",
        "window.setTimeout('window.ran = true')",
        "document.body.setAttribute('onclick', 'window.ran = true')",
    ],
)
def test_text_cannot_become_markup_or_script(own: Page, attempt: str) -> None:
    """W3C Trusted Types: with ``trusted-types 'none'`` no text is taken for either."""
    said = own.evaluate(
        f"() => {{ try {{ {attempt}; return 'done'; }} catch (e) {{ return e.name; }} }}"
    )
    assert said == "TypeError"


def test_a_style_in_the_page_is_not_taken(own: Page) -> None:
    """CSP 3: without 'unsafe-inline' an element's own text is no style, whoever put it there."""
    own.evaluate("""() => {
      const style = document.createElement("style");
      style.append("body { outline: 7px solid; }");
      document.body.append(style);
    }""")
    assert own.evaluate("() => getComputedStyle(document.body).outlineWidth") != "7px"
