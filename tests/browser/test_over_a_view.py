"""What may stand open over a view: axe-core finds nothing wrong, and it has no chroma of its own.

Each is opened once for both, on one surround, which changes from one to the next; all in one
window, whose document is new each time.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.axe import wrong
from tests.browser.pixels import Screen
from tests.browser.serving import Server
from tests.browser.views import OVER, SURROUNDS, set_surround, show_over
from tests.browser.watching import Windows


@pytest.fixture(scope="module")
def shared(chromium: Browser, exhibition: Server, laid_out: str) -> Iterator[Windows]:
    """Windows for this module."""
    windows = Windows(chromium, exhibition)
    yield windows
    windows.close()


@pytest.fixture(scope="module")
def page(shared: Windows) -> Page:
    """The one window."""
    return shared.open()


@pytest.mark.parametrize("turn", range(len(OVER)), ids=list(OVER))
def test_what_stands_open_over_a_view(
    shared: Windows, page: Page, laid_out: str, turn: int
) -> None:
    page.goto(shared.server.address)
    page.reload()
    show_over(page, laid_out, list(OVER)[turn])
    surround = SURROUNDS[turn % len(SURROUNDS)]
    set_surround(page, surround)
    assert wrong(page) == [], surround
    screen = Screen(page)
    screen.hide_photo_and_paint()
    assert not screen.coloured(), surround
    shared.expect_no_fault()
