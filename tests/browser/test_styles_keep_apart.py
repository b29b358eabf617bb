"""A view looks the same wherever one comes from: no style sheet reaches into another view.

Each view and part brings its own sheet when it is first shown, and none is ever taken away.
"""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.painter import Painter
from tests.browser.views import all_there, settle, show
from tests.browser.watching import Windows

ROAD = ("Light", "Look", "Tubes", "Mix", "Plan", "Print", "Check", "Canvas")
LOOK_OF_ALL = """() => [...document.querySelectorAll("main *, header *")]
    .filter((element) => element.checkVisibility() && !element.closest("[data-fits], .stage *"))
    .map((element) => {
        const { width, height } = element.getBoundingClientRect();
        const style = getComputedStyle(element);
        return [element.tagName, element.className.toString(), element.textContent.slice(0, 30),
            Math.round(width), Math.round(height),
            style.color, style.backgroundColor, style.fontSize, style.padding, style.margin]
            .join(" | ");
    })"""

AWAITED = re.compile(r"\s…\s*$")
"""Where an answer of the server is waited for, the words end so."""
STILL, STILL_MS = 2, 60
"""So many looks alike, so long after each other, show that nothing moves any more."""


def looks(page: Page) -> list[Any]:
    page.mouse.move(0, 0)
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    expect(page.locator("main :is(p, li):visible").filter(has_text=AWAITED)).to_have_count(0)
    settle(page)
    found = at_rest(page)
    assert len(found) > 30
    return found


def at_rest(page: Page) -> list[Any]:
    """Return the look of all once it has been the same for a while."""
    found: list[Any] = page.evaluate(LOOK_OF_ALL)
    same = 0
    while same < STILL:
        page.wait_for_timeout(STILL_MS)
        now: list[Any] = page.evaluate(LOOK_OF_ALL)
        same = same + 1 if now == found else 0
        found = now
    return found


def test_a_view_looks_alike_wherever_one_comes_from(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    fresh = {word: looks(_alone(page, laid_out, word)) for word in ROAD}
    _alone(page, laid_out, ROAD[0])
    for word in ROAD:
        Painter(page).walk(word)
        settle(page)
    for word in ROAD:
        Painter(page).walk(word)
        all_there(page, word.lower())
        assert [each for each in looks(page) if each not in fresh[word]] == [], word


def _alone(page: Page, key: str, word: str) -> Page:
    """Open a view in a document that has shown no other."""
    address = f"{page.url.partition('#')[0]}#/{key}/{word.lower()}"
    page.goto("about:blank")
    page.goto(address)
    show(page, key, word.lower())
    return page
