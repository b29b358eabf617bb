"""Nothing under an open slip or the loupe jumps while mixes and places are compared."""

from __future__ import annotations

from playwright.sync_api import Locator, expect

from tests.browser.painter import PLACES, Painter
from tests.browser.views import show
from tests.browser.watching import Windows


def height(part: Locator) -> float:
    box = part.bounding_box()
    assert box
    return box["height"]


def test_an_open_slip_keeps_its_height_whichever_way_is_chosen(
    windows: Windows, laid_out: str
) -> None:
    page = windows.open()
    show(page, laid_out, "mix")
    slip, painter = page.locator(".slip.open"), Painter(page)
    ways = slip.locator(".others input")
    tallest, changes = height(slip), 0
    for number in [*range(ways.count()), 0]:
        if not ways.nth(number).is_checked():
            ways.nth(number).check(force=True)
            painter.saved()
            changes += 1
        now = height(slip)
        assert now >= tallest - 0.5, "it may grow for a longer recipe, and then keeps that"
        tallest = max(tallest, now)
    assert changes > 1
    for _ in range(changes):
        painter.ask("POST", f"paintings/{laid_out}/undo", {"revision": painter.state["revision"]})


def test_the_loupe_keeps_its_height_wherever_the_pointer_is(
    windows: Windows, laid_out: str
) -> None:
    page = windows.open()
    show(page, laid_out, "look")
    painter, reading = Painter(page), page.locator(".reading")
    before = height(reading)
    for place in list(PLACES.values())[:3]:
        page.mouse.move(*painter.spot(place))
        expect(reading.locator(".mini-recipe li").first).to_be_visible()
        assert height(reading) == before
    page.mouse.move(5, 5)
    assert height(reading) == before
