"""The reach on the chart is that of the paint as it dries: matt darks are lighter and greyer."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.painter import Painter
from tests.browser.watching import Windows


def test_the_reach_follows_the_finish(windows: Windows) -> None:
    painter = Painter(windows.open())
    painter.begin(view="mix")
    place = {"x_px": 900.0, "y_px": 120.0, "diameter_px": 40.0}
    painter.change("punch", **place)
    reach = painter.page.locator(".outlines .whole")
    legend = painter.page.locator(".legend")
    expect(legend).to_contain_text("at value")
    glossy = reach.get_attribute("d")
    assert glossy
    painter.page.get_by_label("matt: sunk in").click()
    expect(reach).not_to_have_attribute("d", glossy)
