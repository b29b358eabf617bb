"""A second photo on the page: added, punched, chosen by its slip, taken away and brought back."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.painter import SAMPLES, Painter
from tests.browser.watching import Windows


def test_a_second_photo_has_its_own_holes(windows: Windows) -> None:
    page = windows.open()
    painter = Painter(page)
    painter.begin()
    painter.change("punch", x_px=983.0, y_px=896.0)
    expect(page.locator(".hole")).to_have_count(1)
    page.locator(".add-photo input").set_input_files(SAMPLES / "orchard-shade.jpg")
    shown = page.get_by_role("group", name="Photo shown")
    orchard = shown.get_by_role("button", name="orchard shade")
    expect(orchard).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".hole")).to_have_count(0)
    expect(page.locator(".slip")).to_have_count(1)
    stage = page.locator(".stage-room").bounding_box()
    assert stage
    page.mouse.click(stage["x"] + 0.5 * stage["width"], stage["y"] + 0.3 * stage["height"])
    expect(page.locator(".hole")).to_have_count(1)
    expect(page.locator(".slip")).to_have_count(2)
    assert [hole["photo"] for hole in painter.state["holes"]] == ["", "orchard shade"]
    page.locator(".slip-row").first.click()
    expect(orchard).to_have_attribute("aria-pressed", "false")
    expect(page.locator(".hole")).to_have_attribute(
        "aria-label", "Hole 1: value 6½, orange, strong"
    )
    orchard.click()
    page.get_by_role("button", name="Remove “orchard shade”").click()
    expect(page.locator(".slip")).to_have_count(1)
    expect(shown).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(shown).to_be_visible()
    assert len(painter.state["holes"]) == 2
