"""At 375 pixels, and enlarged to 200 %, nothing is lost: WCAG 2.2, 1.4.4, 1.4.10, 2.5.5 and 2.5.8.

A page enlarged twofold has half the CSS pixels, twice as large; so 200 % on a laptop of 1280 by
800 is a page of 640 by 400.
"""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.views import VIEWS, show
from tests.browser.watching import PHONE, Windows

ENLARGED = {"viewport": {"width": 640, "height": 400}, "device_scale_factor": 2}
NARROW = {"viewport": {"width": 320, "height": 700}}
SCREENS = {"phone": PHONE, "enlarged": ENLARGED, "narrowest": NARROW}
FINGER_PX, POINTER_PX = 44, 24
"""Success criteria 2.5.5 (which is more than AA asks) and 2.5.8."""
LEAST_PX = {"phone": FINGER_PX, "enlarged": POINTER_PX, "narrowest": POINTER_PX}

CONTROLS = "a[href], button, input, select, textarea, summary, [tabindex='0']"
MEASURE = """(controls) => {
    const shown = (element) => element.checkVisibility({ visibilityProperty: true })
        && !element.closest(".unseen, .skip") && element.getClientRects().length > 0;
    const told = (element) => (element.getAttribute("aria-label") || element.textContent
        || element.closest("label")?.textContent || element.className).trim().slice(0, 40);
    const cut = (element) => element.scrollWidth > element.clientWidth + 1
        && getComputedStyle(element).overflowX !== "visible" && !element.matches("input");
    return [...document.querySelectorAll(controls)].filter(shown).map((element) => {
        const target = element.closest("label") ?? element;
        const box = target.getBoundingClientRect();
        return { told: `${element.tagName} ${told(element)}`, left: box.left, right: box.right,
            width: box.width, height: box.height, cut: cut(element),
            inText: element.matches("p a, li a") && getComputedStyle(element).display === "inline",
            placed: element.matches(
                ".hole, .mark, .ladder-number, .bench-ring, .check-ring, .check-window") };
    });
}"""


def controls(page: Page) -> list[dict[str, Any]]:
    found = page.evaluate(MEASURE, CONTROLS)
    assert len(found) > 5
    return found


@pytest.mark.parametrize("screen", SCREENS)
def test_nothing_is_lost(windows: Windows, laid_out: str, screen: str) -> None:
    page = windows.open(device=SCREENS[screen])
    width = SCREENS[screen]["viewport"]["width"]
    for view in VIEWS:
        show(page, laid_out, view)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, f"{view} scrolls sideways"
        found = controls(page)
        off = [each for each in found if each["left"] < -1 or each["right"] > width + 1]
        assert not off, f"{view}: beyond the edge"
        assert not [each for each in found if each["cut"]], f"{view}: words are cut off"
        small = [each for each in found if not each["inText"] and is_small(each, screen)]
        assert not small, f"{view}: too small to hit"


def is_small(control: dict[str, Any], screen: str) -> bool:
    """Say whether a finger or pointer hardly hits it; what marks a place has to be small."""
    least = POINTER_PX if control["placed"] else LEAST_PX[screen]
    return min(control["width"], control["height"]) < least - 0.5
