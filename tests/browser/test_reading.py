"""The reading follows the pointer, and is the chosen hole's where nothing is pointed at."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.painter import PLACES, Painter
from tests.browser.watching import Windows


def test_the_reading_goes_back_to_the_chosen_hole(windows: Windows, laid_out: str) -> None:
    page = windows.open(f"/{laid_out}/look")
    painter = Painter(page)
    painter.arrived("look")
    value = f"{painter.state['holes'][0]['munsell_value']:.1f}"
    told = page.locator(".reading-words .figure")
    expect(told).to_have_text(value)
    page.mouse.move(*painter.spot(PLACES["plum"]))
    expect(told).not_to_have_text(value)
    page.get_by_role("link", name="Print").hover()
    expect(told).to_have_text(value)
    expect(page.locator(".mini-recipe li").first).to_have_text(re.compile(r"^\d"))
