"""Damaged files on the start: a painting is rescued, a box is put away, and the rest works."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.painter import PLACES, Painter
from tests.browser.serving import Server
from tests.browser.watching import Windows


def test_a_painting_is_rescued_and_a_box_put_away(windows: Windows, fresh: Server) -> None:
    painter = Painter(windows.open())
    page = painter.page
    painter.begin()
    place = PLACES["lying pear"]
    painter.change("punch", **{key: place[key] for key in ("x_px", "y_px", "diameter_px")})
    (saved,) = fresh.paintings.glob("*/painting.json")
    saved.write_text("{", "utf-8")
    tubes = [{"pigment": "PW6", "name": "chalk"}]
    painter.ask("POST", "boxes", {"name": "Orchard", "tubes": tubes})
    box = fresh.paintings / "boxes" / "orchard.toml"
    box.write_text("format = ", "utf-8")

    page.goto(f"{page.url.partition('#')[0]}#/")
    page.reload()
    boxes = page.get_by_role("region", name="Damaged boxes")
    expect(boxes).to_contain_text(re.compile("orchard.toml.*Mend its file, or put it away"))
    boxes.get_by_role("button", name="Put orchard.toml away").click()
    expect(boxes).to_have_count(0)
    assert not box.exists()
    assert (fresh.paintings / "put-away" / "boxes" / "orchard.toml").exists()

    damaged = page.get_by_role("region", name="Damaged paintings")
    expect(damaged).to_contain_text("not whole JSON")
    damaged.get_by_role("button", name="Rescue").click()
    painter.arrived("light")
    expect(page.get_by_role("region", name="Your first painting")).to_have_count(0)
    painter.go(painter.painting, "look")
    expect(painter.holes).to_have_count(1)
    assert saved.with_name("painting.damaged.json").read_text("utf-8") == "{"
    page.goto(f"{page.url.partition('#')[0]}#/")
    expect(page.get_by_role("region", name="Your paintings")).to_be_visible()
    expect(damaged).to_have_count(0)
