"""Light: what is not said is not assumed; and what the slider stands at last is drawn."""

from __future__ import annotations

import re

from playwright.sync_api import Page, Route, expect

from tests.browser.painter import CARD, PLACES, Painter
from tests.browser.views import settle
from tests.browser.watching import Windows

MOVE = """(slider, percent) => {
    slider.value = percent;
    slider.dispatchEvent(new InputEvent("input", { bubbles: true }));
}"""


def all_come(page: Page) -> None:
    """Wait for the pictures of the first light: those of a light that has gone are not there."""
    expect(page.locator(".guess img[src]")).to_have_count(3)
    settle(page)


def test_a_neutral_thing_sets_no_exposure_until_it_is_called_a_card(windows: Windows) -> None:
    """A white cup taken for a grey card would darken the photo by more than a stop."""
    painter = Painter(windows.open())
    painter.begin(view="light")
    page = painter.page
    result = page.locator(".result-room")
    page.locator(".stage .sheet img").first.wait_for()
    all_come(page)
    painter.click_on(PLACES["linen in the light"])
    expect(result).to_contain_text("arm light, half taken out")
    light = painter.state["light"]
    assert light["exposure_stops"] == 0.0
    assert light["keep_light_percent"] == 50.0
    figures = result.get_by_text(re.compile(r"about \d+ K"))
    expect(figures).to_be_hidden()
    result.get_by_text("Figures").click()
    expect(figures).to_be_visible()
    page.get_by_label("A grey card").check()
    expect(result).to_contain_text("The photo is darkened by")
    expect(figures).to_be_visible()


def test_all_gone_is_drawn_though_another_picture_is_under_way(windows: Windows) -> None:
    painter = Painter(windows.open())
    painter.begin(view="light")
    page = painter.page
    spot = {key: CARD[key] for key in ("x_px", "y_px", "diameter_px", "lstar")}
    all_come(page)
    painter.change("light", method="neutral", keep_light_percent=50, set_exposure=True, **spot)
    slider = page.get_by_role("slider", name="Part of the light to keep")
    expect(slider).to_have_value("50")

    def meanwhile(route: Route) -> None:
        slider.evaluate(MOVE, 0)
        route.continue_()

    page.route("**/keeping-20.jpg", meanwhile)
    with page.expect_request("**/keeping-0.jpg"):
        slider.evaluate(MOVE, 20)
