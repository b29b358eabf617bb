"""A class on the page: begun with a painting, filled from a table, mixed and printed."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pymupdf
from playwright.sync_api import expect

from tests.browser.axe import wrong
from tests.browser.declared import Declared
from tests.browser.painter import CARD, PLACES, Painter
from tests.browser.serving import Server
from tests.browser.watching import DESKTOP, PHONE, Windows

TABLE = "Anna, PW6, PY3, PR101, PB29=my blue\nBen, garden-table\nCleo, student, PW6, PY43, PBk9"
SHOTS = os.environ.get("SHOTS_OF_THE_CLASS")


def test_a_class_from_the_start_to_its_prints(
    windows: Windows, fresh: Server, tmp_path: Path
) -> None:
    painter = Painter(windows.open())
    page = painter.page
    painter.begin()
    painter.change(
        "light",
        method="neutral",
        keep_light_percent=0,
        set_exposure=True,
        **{key: CARD[key] for key in ("x_px", "y_px", "diameter_px", "lstar")},
    )
    for label in ("lying pear", "jug in the light", "plum"):
        place = PLACES[label]
        painter.change("punch", **{key: place[key] for key in ("x_px", "y_px", "diameter_px")})
    page.goto(f"{page.url.partition('#')[0]}#/")
    painter.arrived("start")
    page.get_by_role("link", name="Teach a class").click()
    painter.arrived("class")
    page.get_by_label("A new class").fill("Tuesday")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Tuesday: 0 students")).to_be_visible()

    page.get_by_label(re.compile("^Add students")).fill("Eve, moonstone")
    page.get_by_role("button", name="Add", exact=True).click()
    windows.forgive("status of 400")
    expect(page.get_by_role("alert").filter(has_text="The box of 'Eve'")).to_be_visible()
    page.get_by_label(re.compile("^Add students")).fill(TABLE)
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_role("heading", name="Tuesday: 3 students")).to_be_visible()

    own = page.locator("form").filter(has_text="Or a student whose box is here")
    own.get_by_role("textbox").fill("Dora")
    own.get_by_label("Box").select_option(label="the usual twelve")
    own.get_by_role("button", name="Add with this box").click()
    expect(page.locator(".students")).to_contain_text("Dora a box of their own")
    expect(page.get_by_role("heading", name="Tuesday: 4 students")).to_be_visible()

    page.get_by_role("button", name="See what everybody mixes").click()
    expect(page.get_by_role("heading", name="What everybody mixes")).to_be_visible(timeout=60_000)
    expect(page.locator(".aim")).to_have_count(3)
    expect(page.locator(".mix")).to_have_count(3 * 5)
    expect(page.locator(".remark").filter(has_text="Borrow").first).to_be_visible()
    assert not wrong(page)

    (card,) = painter.ask("GET", "classes")["classes"]
    declared = Declared()
    sent = {
        "classes": "{ classes: ClassCard[] }",
        f"classes/{card['id']}": "ClassRoll",
        f"classes/{card['id']}/mixes": "ClassLesson",
    }
    for path, kind in sent.items():
        assert not declared.faults(painter.ask("GET", path), kind), path
    with page.expect_download() as coming:
        page.get_by_role("link", name="All hand-outs").click()
    coming.value.save_as(tmp_path / "all.pdf")
    assert len(pymupdf.open(tmp_path / "all.pdf")) == 4 * 4
    for name, device in (("desktop", DESKTOP), ("phone", PHONE)):
        page.set_viewport_size(device["viewport"])
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), name
        assert not wrong(page), name
        if SHOTS:
            page.screenshot(path=f"{SHOTS}/class-{name}.png", full_page=True)
