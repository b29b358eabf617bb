"""The road is always in sight, however far down a page one is, and lies over all of it."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.painter import Painter
from tests.browser.views import show
from tests.browser.watching import DESKTOP, PHONE, Windows

TABLET = {"viewport": {"width": 820, "height": 1180}, "has_touch": True}
SCREENS = {"desktop": DESKTOP, "tablet": TABLET, "phone": PHONE}
UNCOVERED = """(link) => {
    const { left, top, width, height } = link.getBoundingClientRect();
    return link.contains(document.elementFromPoint(left + width / 2, top + height / 2));
}"""


@pytest.mark.parametrize("screen", SCREENS)
def test_the_road_stays_in_sight(windows: Windows, laid_out: str, screen: str) -> None:
    page = windows.open(device=SCREENS[screen])
    for view in ("light", "look", "tubes", "mix", "check"):
        show(page, laid_out, view)
        reached = page.evaluate("scrollTo(0, 700), scrollY")
        assert reached > 300, f"{view} is too short to try it"
        for word in ("Light", "Look", "Tubes", "Mix", "Plan", "Print", "Check"):
            link = Painter(page).road(word)
            expect(link).to_be_in_viewport(ratio=1)
            assert link.evaluate(UNCOVERED), f"{word} is covered in {view}"
