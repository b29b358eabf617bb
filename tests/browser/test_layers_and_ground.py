"""What lies under the paint: a medium and its care, the dry passage, the canvas's ground."""

from __future__ import annotations

from dataclasses import replace

from playwright.sync_api import expect

from refmatch.dabs.spot import DRY
from refmatch.painting.record import with_round
from refmatch.painting.store import read_painting, save
from tests.browser.axe import wrong
from tests.browser.own_dabs import folder_of
from tests.browser.painter import Painter
from tests.browser.serving import Server
from tests.browser.watching import Windows
from tests.painting.rounds_example import look, round_of


def test_layer_passage_and_ground_are_said_on_the_page(windows: Windows, fresh: Server) -> None:
    page = windows.open()
    painter = Painter(page)
    painter.begin()
    painter.lay_out()
    page.reload()
    expect(page.locator(".slip")).to_have_count(4)
    if not page.locator(".slip.open").count():
        page.locator(".slip-row").first.click()
    slip = page.locator(".slip.open")
    fold = slip.locator(".layer-of > summary")
    fold.click()
    expect(slip.get_by_role("link", name="Check")).to_be_visible()
    slip.locator(".layer-of select").last.select_option("linseed")
    slip.get_by_text("Care with mediums").click()
    expect(slip.locator(".care")).to_contain_text("can catch fire by themselves")

    folder = folder_of(fresh.paintings, painter.painting)
    painting, seen = read_painting(folder), replace(look(1), state=DRY)
    save(folder, with_round(painting, seen, round_of(painting, 0, seen)))
    page.reload()
    fold.click()
    slip.get_by_role("button", name="Meet it, not the photo").click()
    back = slip.get_by_role("button", name="Go back to the photo")
    expect(back).to_be_visible()
    assert painter.state["holes"][0]["dry"] is not None
    back.click()
    expect(slip.get_by_role("button", name="Meet it, not the photo")).to_be_visible()

    page.get_by_role("button", name="Canvas", exact=True).click()
    page.get_by_label("Ground").select_option("toned")
    expect(page.locator(".canvas-ground")).to_contain_text("on a toned ground of value")
    assert not wrong(page)
    assert painter.state["undo"] == "change the ground"
