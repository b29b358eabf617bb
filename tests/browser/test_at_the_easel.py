"""A tablet leant on the easel: nothing lies over anything, nothing jumps, a swipe moves no hole."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.painter import PLACES, Point
from tests.browser.test_by_touch import REST_MS, Fingers
from tests.browser.views import show
from tests.browser.watching import Windows

SCREENS = {"small": (1024, 768), "large": (1180, 820), "upright": (820, 1180), "broad": (1301, 900)}
BESIDE = "wood in the light"
LEAST_TEXT_PX = 15
COVERED = """() => [...document.querySelectorAll(".head :is(a, button)")].filter((control) => {
    const { left, top, right, bottom } = control.getBoundingClientRect();
    return !control.contains(document.elementFromPoint((left + right) / 2, (top + bottom) / 2));
}).map((control) => control.textContent)"""
SMALL = """(least) => [...document.querySelectorAll("main .small, .head .saved")]
    .filter((text) => text.checkVisibility() && parseFloat(getComputedStyle(text).fontSize) < least)
    .map((text) => text.textContent)"""
AWAKE = """() => {
    window.asked = [];
    const lock = { released: false, release: async () => {
        lock.released = true;
        window.asked.push("off");
    } };
    Object.defineProperty(navigator, "wakeLock", { value: { request: async (kind) => {
        lock.released = false;
        window.asked.push(kind);
        return lock;
    } } });
}"""


def tablet(size: tuple[int, int]) -> dict[str, object]:
    return {"viewport": {"width": size[0], "height": size[1]}, "has_touch": True}


@pytest.mark.parametrize("screen", SCREENS)
def test_every_button_of_the_header_is_hit(windows: Windows, laid_out: str, screen: str) -> None:
    painter = Fingers(windows.open(f"/{laid_out}/look", tablet(SCREENS[screen])))
    before = painter.state
    assert painter.page.evaluate(COVERED) == []
    assert painter.page.evaluate(SMALL, LEAST_TEXT_PX) == []
    painter.walk("Check")
    after = painter.state
    assert (after["revision"], after["undo"]) == (before["revision"], before["undo"])


def test_photo_and_slip_stand_side_by_side_and_stay(windows: Windows) -> None:
    painter = Fingers(windows.open(device=tablet(SCREENS["small"])))
    page = painter.page
    painter.begin()
    for number, label in enumerate(("lying pear", "jug in the light", "plum", BESIDE), 1):
        painter.tap_on(PLACES[label])
        expect(painter.holes).to_have_count(number)
        slip = page.locator(".slip.open").bounding_box()
        photo = page.locator(".stage").bounding_box()
        assert slip
        assert photo
        assert slip["x"] >= photo["x"] + photo["width"], "beside the photo"
        assert slip["y"] + 200 < page.viewport_size["height"], "its pair is in sight"
        assert page.evaluate("scrollY") == 0, "punching scrolls nothing"
    painter.saved()
    swipes_move_no_hole(painter, page)


def swipes_move_no_hole(painter: Fingers, page: Page) -> None:
    """Swipe over a hole that is not chosen, then hold it: only the second moves it."""
    holes = painter.state["holes"]
    here = painter.spot(holes[0])
    way = [[Point(here.x + 12 * i, here.y - 6 * i)] for i in range(6)]
    painter.touch(way)
    painter.saved()
    assert painter.state["holes"] == holes
    expect(page.locator(".hole[aria-pressed='true'] .number")).to_have_text("4")
    painter.touch(way, rest_ms=REST_MS)
    expect(page.locator(".hole[aria-pressed='true'] .number")).to_have_text("1")
    painter.saved()
    moved = painter.state["holes"][0]
    assert moved["x_px"] > holes[0]["x_px"] + 20
    painter.tap_on(holes[2])
    expect(page.locator(".hole[aria-pressed='true'] .number")).to_have_text("3")
    assert len(painter.state["holes"]) == len(holes), "a tap on a hole chooses it"


def test_the_screen_stays_on_while_the_painter_wants_it(windows: Windows, laid_out: str) -> None:
    page = windows.open(device=tablet(SCREENS["small"]))
    page.add_init_script(f"({AWAKE})()")
    page.reload()
    show(page, laid_out, "look")
    switch = page.get_by_role("button", name="Stay on")
    expect(switch).to_have_attribute("aria-pressed", "true")
    assert page.evaluate("window.asked") == ["screen"]
    switch.tap()
    expect(switch).to_have_attribute("aria-pressed", "false")
    page.reload()
    expect(switch).to_have_attribute("aria-pressed", "false")
    assert page.evaluate("window.asked") == []
