"""The slider of the light that is kept: whatever it stands at last is drawn, all gone too."""

from __future__ import annotations

from playwright.sync_api import Route, expect

from tests.browser.painter import CARD, Painter
from tests.browser.watching import Windows

MOVE = """(slider, percent) => {
    slider.value = percent;
    slider.dispatchEvent(new InputEvent("input", { bubbles: true }));
}"""


def test_all_gone_is_drawn_though_another_picture_is_under_way(windows: Windows) -> None:
    painter = Painter(windows.open())
    painter.begin(view="light")
    page = painter.page
    spot = {key: CARD[key] for key in ("x_px", "y_px", "diameter_px", "lstar")}
    page.wait_for_load_state("networkidle")  # pictures of a light that has gone are not there
    painter.change("light", method="neutral", keep_light_percent=50, set_exposure=True, **spot)
    slider = page.get_by_role("slider", name="Part of the light to keep")
    expect(slider).to_have_value("50")

    def meanwhile(route: Route) -> None:
        slider.evaluate(MOVE, 0)
        route.continue_()

    page.route("**/keeping-20.jpg", meanwhile)
    with page.expect_request("**/keeping-0.jpg"):
        slider.evaluate(MOVE, 20)
