"""The road is always in sight, however far down a page one is, and lies over all of it."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.painter import Painter
from tests.browser.views import show
from tests.browser.watching import DESKTOP, PHONE, Windows

TABLET = {"viewport": {"width": 820, "height": 1180}, "has_touch": True}
ROAD = ("Light", "Look", "Tubes", "Mix", "Plan", "Print", "Check", "Canvas")
SCREENS = {"desktop": DESKTOP, "tablet": TABLET, "phone": PHONE}
HIDDEN = """() => [...document.querySelectorAll("nav[aria-label='The road'] a")]
    .filter((link) => {
        const { left, top, right, bottom } = link.getBoundingClientRect();
        const inSight = left >= 0 && top >= 0 && right <= innerWidth && bottom <= innerHeight;
        const over = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
        return !inSight || !link.contains(over);
    }).map((link) => link.textContent)"""
"""The words of the road that are out of sight, or covered by something.

Look is as high as the screen where photo and slips stand side by side.
"""


@pytest.mark.parametrize("screen", SCREENS)
def test_the_road_stays_in_sight(windows: Windows, laid_out: str, screen: str) -> None:
    page = windows.open(device=SCREENS[screen])
    for view in ("light", "look", "tubes", "mix", "check"):
        show(page, laid_out, view)
        expect(Painter(page).road("")).to_have_text(list(ROAD))
        reached = page.evaluate("scrollTo(0, 700), scrollY")
        assert reached > 300 or view == "look", f"{view} is too short to try it"
        assert page.evaluate(HIDDEN) == [], view
