"""The job once more in the other browsers that painters have, each the system's own.

Firefox does the whole job, by WebDriver BiDi (`stock_firefox`). WebKit, which `playwright` drives
only as it patches it itself, goes the whole road by its own driver (`webkit`).
"""

from __future__ import annotations

import shlex
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright

from tests.browser.painter import CARD, PLACES
from tests.browser.serving import Server, studio
from tests.browser.test_whole_job import whole_job
from tests.browser.watching import Windows
from tests.browser.webkit import WebKit, lacking, webkit

FIREFOX = ("firefox-esr", "firefox")
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def firefox(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Browser]:
    """Firefox, with a profile that is new and thrown away."""
    path = next(filter(None, map(shutil.which, FIREFOX)), None)
    if path is None:
        pytest.skip(
            "The whole job was not run in Firefox: none of " + ", ".join(FIREFOX) + " is here."
        )
    words = shlex.join([sys.executable, "-m", "tests.browser.stock_firefox", path])
    between = tmp_path_factory.mktemp("firefox") / "firefox"
    between.write_text(f'#!/bin/sh\ncd {shlex.quote(str(ROOT))}\nexec {words} "$@"\n', "utf-8")
    between.chmod(0o755)
    playwright: Playwright = request.getfixturevalue("driver")
    browser = playwright.firefox.launch(channel="moz-firefox", executable_path=between)
    yield browser
    browser.close()


def test_the_whole_job_in_firefox(firefox: Browser, fresh: Server, tmp_path: Path) -> None:
    windows = Windows(firefox, fresh)
    # Firefox asks for a page's icon before the page has said where it is, and shows a PDF itself
    windows.forgive(r"favicon\.ico|Invalid absolute docBaseUrl")
    whole_job(windows, fresh, tmp_path)
    windows.close()


@pytest.mark.skipif(bool(lacking()), reason=f"The road was not walked in WebKit: no {lacking()}.")
def test_the_whole_road_in_webkit(tmp_path_factory: pytest.TempPathFactory) -> None:
    """From the sample to the pages of the sheet and to Check; the mix is a mix."""
    with studio(tmp_path_factory) as server, webkit() as page:
        page.go(server.use_link())
        page.until("return document.querySelector('.start')")
        page.run("addEventListener('error', ({ message }) => { document.title = message; });")
        page.press(".cards button", "Garden table")
        arrived(page, "light")
        page.press("label", "A grey card")
        on_photo(page, CARD)
        page.until("return /Warm light, half taken out/.test(document.body.innerText)")
        for word in ("Look", "Tubes", "Mix", "Plan", "Print", "Check"):
            page.press(".road a", word)
            arrived(page, word.lower())
            page.until(SHOWN.get(word, "return true"))
            if word == "Look":
                on_photo(page, PLACES["lying pear"])
                page.until("return document.querySelectorAll('.slip.open .lines li').length > 1")
        assert "Garden table" in page.run("return document.title"), "an error in the page"


SHOWN = {
    "Mix": "return document.querySelector('.slip .number')",
    "Plan": "return document.querySelector('.plan-work li')",
    "Print": "return /Page 1 of \\d/.test(document.body.innerText)",
    "Check": "return /not looked at yet/.test(document.body.innerText)",
}
"""What stands in a view once it has come."""


def arrived(page: WebKit, view: str) -> None:
    page.until(
        "return document.body.dataset.view === arguments[0] && document.querySelector('main h1')",
        view,
    )


def on_photo(page: WebKit, place: dict[str, float]) -> None:
    """Click a place of the sample photo, once it lies still."""
    wide, high = 1920, 1280
    before, now = None, page.until(WHERE)
    while before != now:
        time.sleep(0.5)
        before, now = now, page.until(WHERE)
    left, top, width, height = now
    page.click(left + width * place["x_px"] / wide, top + height * place["y_px"] / high)


WHERE = (
    "const image = document.querySelector('.stage .surface .sheet img');"
    "if (!image?.complete || !image.naturalWidth) return null;"
    "scrollTo(0, 0);"
    "const box = document.querySelector('.stage .surface .sheet').getBoundingClientRect();"
    "return [box.x, box.y, box.width, box.height];"
)
