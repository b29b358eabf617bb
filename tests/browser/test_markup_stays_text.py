"""Whatever a painter writes stays text, on every view and in print, whoever reads it as markup."""

from __future__ import annotations

import io

import pytest
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from tests.browser.painter import PLACES, Painter
from tests.browser.serving import Server
from tests.browser.views import VIEWS, show
from tests.browser.watching import Windows

NAME = "<img src=x onerror=alert(1)>"
TITLE = "<b>Bold</b> & <script>alert(2)</script>"


@pytest.fixture(scope="module")
def marked_up(chromium: Browser, workshop: Server) -> str:
    """The key of a painting whose title, and a hole's name, look like markup."""
    windows = Windows(chromium, workshop)
    painter = Painter(windows.open())
    painter.begin()
    painter.change("title", title=TITLE)
    place = PLACES["plum"]
    made = painter.change("punch", x_px=place["x_px"], y_px=place["y_px"])["made"]
    painter.change("name", hole=made, label=NAME)
    windows.close()
    return painter.painting


def written(page: Page) -> str:
    """Return all that can be read or heard: text, labels, alternatives, what fields hold."""
    return page.evaluate("""() => [document.title, document.body.textContent,
        ...[...document.querySelectorAll("*")].flatMap((element) =>
            ["aria-label", "alt", "title", "placeholder", "download"].map((name) =>
                element.getAttribute(name)).concat(element.value)),
    ].filter(Boolean).join("\\n")""")


def test_on_each_view(windows: Windows, marked_up: str) -> None:
    page = windows.open()
    asked: list[str] = []
    page.on("dialog", lambda dialog: (asked.append(dialog.message), dialog.dismiss()))
    for view in VIEWS:
        show(page, marked_up, view)
        assert TITLE in written(page), view
        if view in ("look", "mix", "print", "check"):
            assert NAME in written(page), view
        assert page.locator("img[src='x'], main b:text-is('Bold'), body script").count() == 0
        assert not asked, view


def test_in_the_pdf(windows: Windows, marked_up: str) -> None:
    page = windows.open(f"/{marked_up}/print")
    with page.expect_download() as coming:
        page.get_by_role("link", name="Download the sheet (PDF)").click()
    pages = PdfReader(io.BytesIO(coming.value.path().read_bytes())).pages
    text = "".join(" ".join(page.extract_text().split()) for page in pages)
    assert NAME in text
    assert TITLE in text
    assert "/" not in coming.value.suggested_filename
    assert "<" not in coming.value.suggested_filename
