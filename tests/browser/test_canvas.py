"""The canvas against its reference at the page, as a painter goes about it."""

from __future__ import annotations

import json

from playwright.sync_api import expect

from tests.browser.axe import wrong
from tests.browser.painter import CARD, SAMPLES, Painter
from tests.browser.views import settle
from tests.browser.watching import Windows

TRUTH = json.loads((SAMPLES / "garden-canvas.json").read_text("utf-8"))
PATIENCE_MS = 60_000
"""The photo is opened, the canvas found and judged: some seconds on a machine with other work."""


def test_a_canvas_is_looked_at_and_both_are_compared(windows: Windows) -> None:
    page = windows.open()
    painter = Painter(page)
    painter.begin()
    spot = {key: CARD[key] for key in ("x_px", "y_px", "diameter_px", "lstar")}
    painter.change("light", method="neutral", keep_light_percent=20, set_exposure=True, **spot)
    painter.walk("Canvas")
    page.get_by_label("Choose a photo").set_input_files(SAMPLES / "garden-canvas.jpg")
    photo = page.locator(".canvas-photo")
    photo.locator("img").wait_for(timeout=PATIENCE_MS)
    settle(page)
    expect(page.get_by_text("judged beside each other alone")).to_be_visible()

    x_px, y_px, _ = map(float, TRUTH["neutral"]["place"].split(","))
    width, height = TRUTH["size_px"]
    box = photo.bounding_box()
    assert box
    at = {"x": box["width"] * x_px / width, "y": box["height"] * y_px / height}
    photo.click(position=at)
    expect(page.get_by_text("The grey card is marked.")).to_be_visible()

    page.get_by_role("button", name="Look at the canvas").click()
    said = page.locator(".canvas-words li")
    expect(said.first).to_have_text("The shadows are one value too light.", timeout=PATIENCE_MS)
    assert said.count() <= 7
    expect(photo.locator(".canvas-ring")).to_have_count(5)  # the card, and the corners as found

    expect(page.get_by_label("Three values")).to_be_checked()  # values first
    both = page.locator(".canvas-sides")
    page.get_by_label("Reference left, canvas right").fill("20")
    assert both.evaluate("it => it.style.getPropertyValue('--parted')") == "20%"
    settle(page)
    assert not wrong(page)
    blink = page.get_by_role("button", name="Blink", exact=True)
    blink.click()
    expect(both).to_have_class("canvas-sides canvas-blinks canvas-off")
    page.get_by_role("button", name="Stop blinking").click()
    expect(blink).to_have_attribute("aria-pressed", "false")

    page.reload()  # what was said is in the painting's record
    expect(said.first).to_have_text("The shadows are one value too light.", timeout=PATIENCE_MS)


def test_corners_are_marked_all_four_or_none(windows: Windows) -> None:
    page = windows.open()
    painter = Painter(page)
    painter.begin()
    painter.walk("Canvas")
    page.get_by_label("Choose a photo").set_input_files(SAMPLES / "garden-canvas.jpg")
    photo = page.locator(".canvas-photo")
    photo.locator("img").wait_for(timeout=PATIENCE_MS)
    settle(page)
    page.get_by_label("A corner").check()
    photo.click(position={"x": 30, "y": 60})
    expect(page.get_by_text("3 more corners to mark.")).to_be_visible()
    look = page.get_by_role("button", name="Look at the canvas")
    expect(look).to_have_attribute("aria-disabled", "true")
    page.get_by_role("button", name="Take the marks away").click()
    expect(look).to_have_attribute("aria-disabled", "false")
