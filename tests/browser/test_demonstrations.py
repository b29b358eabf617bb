"""A tutor's strips on the page: asked for, shown on another tube, printed."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect
from pypdf import PdfReader

from refmatch.paint.box_file import built_in_box
from refmatch.plan.demonstrations import demonstrate
from refmatch.sheet.demonstration_pages import write
from tests.browser.painter import Painter
from tests.browser.serving import Server
from tests.browser.watching import Windows


def test_a_tutor_sees_the_strips_and_prints_the_same(
    windows: Windows, fresh: Server, tmp_path: Path
) -> None:
    painter = Painter(windows.open())
    page = painter.page
    painter.begin()
    painter.go(painter.painting, "tubes")
    step = page.get_by_role("region", name="To show a class")
    step.get_by_role("button", name="Show the strips").click()
    of = demonstrate((), built_in_box())
    for one in of.demonstrations:
        expect(step.locator(f"[aria-labelledby='strips-{one.name}'] table")).to_have_count(
            len(one.strips)
        )
    step.get_by_label("Shown on").select_option("ultramarine")
    expect(step).to_contain_text("Ultramarine, greyed by its complement, burnt umber")
    expect(step).to_contain_text("This colour is dark already")
    step.get_by_label("Paper").select_option("Letter")
    with page.expect_download() as coming:
        step.get_by_role("link", name="Print the strips (PDF)").click()
    path = tmp_path / "strips.pdf"
    coming.value.save_as(path)
    assert path.read_bytes() == write(demonstrate(["ultramarine=1"], built_in_box()), "letter")
    assert PdfReader(path).pages[0].mediabox.width == 612
    step.screenshot(path=tmp_path / "strips.png")
    assert fresh.is_running
