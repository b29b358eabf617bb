"""Print: which pages, how the slips look, and a value finder that a photo tells the truth of."""

from __future__ import annotations

import re
from pathlib import Path

import pymupdf
from playwright.sync_api import Page, expect

from refmatch.dabs.value_finder import compose
from tests.browser.axe import wrong
from tests.browser.declared import Declared
from tests.browser.painter import Painter
from tests.browser.views import show
from tests.browser.watching import Windows
from tests.virtual_studio.printer import another_printer, jpeg_of


def pages(page: Page) -> int:
    """Return how many pages the sheet has that is shown."""
    words = page.locator(".turning [role=status]")
    expect(words).to_have_text(re.compile(r"^Page 1 of \d+$"))
    return int(words.inner_text().rpartition(" ")[2])


def taken(page: Page, link: str, path: Path) -> pymupdf.Document:
    with page.expect_download() as coming:
        page.get_by_role("link", name=link).click()
    coming.value.save_as(path)
    return pymupdf.open(path)


def test_pages_and_slips_are_chosen(windows: Windows, laid_out: str, tmp_path: Path) -> None:
    page = windows.open()
    show(page, laid_out, "print")
    everything = pages(page)
    page.get_by_label("Cover and easel page").check()
    expect(page.locator(".turning [role=status]")).to_have_text("Page 1 of 2")
    assert len(taken(page, "Download the sheet", tmp_path / "easel.pdf")) == 2
    expect(page.get_by_role("group", name="Slips")).to_be_hidden()
    page.get_by_label("All but the easel page").check()
    expect(page.get_by_role("group", name="Slips")).to_be_visible()
    download = page.get_by_role("link", name="Download the sheet")
    expect(download).to_have_attribute("href", re.compile("pages=slips&slips=full"))
    large = pages(page)
    page.get_by_label("Small, up to four a page").check()
    expect(download).to_have_attribute("href", re.compile("pages=slips&slips=compact"))
    assert 1 <= pages(page) <= large == everything - 1
    page.get_by_label("All of it").check()
    page.get_by_label("A page to transfer the drawing by").select_option("thirds")
    page.get_by_label("Full, up to two a page").check()
    expect(page.locator(".turning [role=status]")).to_have_text(f"Page 1 of {everything + 1}")


def test_a_value_finder_is_printed_measured_and_printed_anew(
    windows: Windows, laid_out: str, tmp_path: Path
) -> None:
    """What the photo tells is held to the printer's own law in tests/web/test_finder_routes.py."""
    page = windows.open()
    show(page, laid_out, "print")
    panel = page.get_by_role("region", name="A value finder")
    assert len(taken(page, "Print the value finder", tmp_path / "plain.pdf")) == 2
    photo = panel.get_by_label("Choose a photo of the value finder")
    windows.forgive("status of 400")
    photo.set_input_files(Path(__file__).parents[2] / "sample_images" / "orchard-shade.jpg")
    expect(panel.get_by_role("alert")).to_contain_text("orchard-shade.jpg")
    printed = tmp_path / "printed.jpg"
    printed.write_bytes(jpeg_of(another_printer(1), compose("a4")))
    photo.set_input_files(printed)
    expect(panel).to_contain_text(re.compile(r"This printer prints values from \d\.\d to \d\.\d"))
    expect(panel.get_by_role("alert")).to_have_count(0)
    expect(panel.locator(".finder-steps tbody tr")).to_have_count(11)
    assert not wrong(page)
    own = taken(page, "Print it for this printer", tmp_path / "own.pdf")
    assert "For this printer" in own[1].get_text()
    told = Painter(page).send("value-finder/photos?grey=49.5&name=a.jpg", printed.read_bytes())
    assert not Declared().faults(told, "FinderMeasured")
