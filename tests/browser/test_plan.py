"""The plan on the page: the key, switched on and off, the work as a tree, tubes and amounts."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.painter import FOUR, PLACES, Painter
from tests.browser.views import show
from tests.browser.watching import Windows


def test_the_plan_is_seen_switched_and_follows_the_painting(windows: Windows) -> None:
    page = windows.open()
    painter = Painter(page)
    painter.begin()
    painter.lay_out()
    show(page, painter.painting, "plan")
    for label in FOUR:
        expect(page.get_by_text(f"“{label}”").first).to_be_visible()
        expect(page.locator(".plan-ladder").first).to_contain_text(label)
    expect(page.locator(".plan-reach circle")).to_have_count(len(FOUR))
    aim = page.locator("#plan-aim")
    expect(aim).to_contain_text("On: the puddles of this plan aim at the keyed colours")
    page.get_by_label("Key the values").uncheck()
    expect(page.get_by_role("heading", name="The key, off")).to_be_visible()
    expect(aim).to_contain_text("Off: the puddles of this plan aim at the photo’s own")
    page.get_by_label("Tubes to lay out").select_option("3")
    expect(page.locator(".plan-tubes > li")).to_have_count(3)
    page.get_by_role("button", name="Mix by this plan").click()
    expect(page.locator(".plan-taking")).to_contain_text("are mixed by this plan")
    state = painter.state
    assert state["plan"] == {"keyed": False, "tubes": 3}
    recipes = [recipe for hole in state["holes"] for recipe in hole["recipes"]]
    assert len({portion["tube"] for each in recipes for portion in each["portions"]}) <= 3
    page.get_by_role("button", name="Mix each colour alone").click()
    expect(page.get_by_role("button", name="Mix by this plan")).to_be_visible()
    expect(page.get_by_role("link", name="say it in Look")).to_be_visible()
    painter.change("canvas", width_cm=30, height_cm=20)
    expect(page.locator(".plan-tubes").first).to_contain_text(re.compile(r"\d cm squeezed"))
    painter.walk("Print")
    page.get_by_label("Mixed by the plan").check()
    download = page.get_by_role("link", name="Download the sheet")
    expect(download).to_have_attribute("href", re.compile("plan=as-shot"))
    expect(page.get_by_role("img", name="Page 1 of the mixing sheet")).to_be_visible()


def test_the_plan_does_without_what_is_put_away_on_the_page(windows: Windows) -> None:
    page = windows.open()
    painter = Painter(page)
    painter.begin(view="mix")
    painter.change("punch", **{key: PLACES["lying pear"][key] for key in ("x_px", "y_px")})
    expect(page.locator(".slip")).to_have_count(1)  # else the page would ask which is meant
    page.get_by_label("Easy on black").check()
    painter.saved()
    assert painter.state["options"]["easy_on_black"] is True
    names = page.locator(".plan-tubes > li b")
    show(page, painter.painting, "plan")
    first = names.all_inner_texts()
    (away,) = [name for name in first if "yellow" in name][:1]
    show(page, painter.painting, "mix")
    page.locator(".tubes").get_by_label(away).uncheck()
    painter.saved()
    assert [tube["tube"] for tube in painter.state["box"]["tubes"] if tube["away"]] == [away]
    show(page, painter.painting, "plan")
    expect(names.first).to_be_visible()
    assert away not in names.all_inner_texts()
