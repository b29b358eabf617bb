"""What cannot be is refused in our own words: the browser's bubbles are coloured, and curt."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.painter import Painter
from tests.browser.serving import Server
from tests.browser.watching import Windows


@pytest.fixture(scope="module")
def begun(chromium: Browser, workshop: Server) -> str:
    """The key of a painting that was just begun."""
    windows = Windows(chromium, workshop)
    painter = Painter(windows.open())
    painter.begin()
    windows.close()
    return painter.painting


@pytest.fixture
def page(windows: Windows, begun: str) -> Page:
    page = windows.open()
    Painter(page).go(begun, "light")
    windows.forgive("status of 400")
    return page


def test_a_lamp_that_cannot_be_is_refused_in_words(page: Page) -> None:
    page.get_by_label("Temperature", exact=False).fill("100")
    page.get_by_role("button", name="Take it out").click()
    notice = page.get_by_text("The lamp's temperature in kelvin cannot be 100; give 1000 to 40000.")
    expect(notice).to_be_visible()
    assert Painter(page).state["light"]["method"] == "as-shot"


def test_a_lightness_that_cannot_be_is_refused_in_words(page: Page) -> None:
    page.get_by_label("Something grey of known lightness").click()
    page.get_by_label("Its lightness, L*").fill("2")
    page.keyboard.press("Tab")
    expect(page.get_by_text("Its lightness, L*, runs from 5")).to_be_visible()


def test_a_canvas_that_cannot_be_is_refused_in_words(page: Page) -> None:
    Painter(page).walk("Look")
    page.get_by_role("button", name="Canvas").click()
    page.get_by_label("Width").fill("60")
    page.get_by_role("button", name="Set", exact=True).click()
    notice = page.get_by_text("The canvas's height in centimetres must be a number from 1 to 2000.")
    expect(notice).to_be_visible()
    assert Painter(page).state["canvas"] is None


def test_a_title_as_long_as_can_be_typed_is_kept(page: Page) -> None:
    title = page.get_by_label("Title of the painting")
    title.fill("")
    title.press_sequentially("late pears " * 12)
    page.keyboard.press("Enter")
    Painter(page).saved()
    assert Painter(page).state["title"].startswith("late pears late pears")
