"""The whole job by mouse, from the start page to the printed sheet, and all of it back again."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import expect
from pypdf import PdfReader

from tests.browser.painter import CARD, FOUR, PLACES, Painter
from tests.browser.serving import Server
from tests.browser.truth import check_colours, content
from tests.browser.watching import Windows


def test_the_whole_job_by_mouse(windows: Windows, fresh: Server, tmp_path: Path) -> None:
    whole_job(windows, fresh, tmp_path)


def whole_job(windows: Windows, fresh: Server, tmp_path: Path) -> None:
    """Do all of it in one browser's windows, on a studio with no painting yet."""
    painter = Painter(windows.open())
    begin(painter)
    before = content(painter.state)
    click_the_card(painter)
    punch_four(painter)
    out = hold_a_tube_out(painter)
    download(painter, tmp_path / "sheet.pdf", out)
    done = content(painter.state)

    painter.page.reload()
    find_everything(painter)
    undo_all(painter)
    assert content(painter.state) == before
    redo_all(painter)
    assert content(painter.state) == done

    fresh.kill()
    windows.forgive(
        "ERR_CONNECTION_REFUSED|ERR_EMPTY_RESPONSE|ERR_INCOMPLETE_CHUNKED|status of 403"
    )
    fresh.start()
    windows.come_in(painter.page)
    painter.page.get_by_role("link", name=re.compile("^Garden table")).click()
    assert content(painter.state) == done
    find_everything(painter)


def begin(painter: Painter) -> None:
    page = painter.page
    expect(page.get_by_role("heading", name="Begin with a photo")).to_be_visible()
    page.get_by_role("button", name=re.compile("^Garden table")).click()
    painter.arrived("light")
    expect(page.get_by_label("Title of the painting")).to_have_value("Garden table")


def click_the_card(painter: Painter) -> None:
    page = painter.page
    result = page.locator(".result-room")
    expect(result).to_contain_text("As shot")
    page.get_by_label("Something grey of known lightness").click()
    lightness = page.get_by_label("Its lightness, L*")
    lightness.press("ControlOrMeta+a")  # by keys: what fills a field at once adds to it in Firefox
    lightness.press_sequentially(str(CARD["lstar"]))
    painter.click_on(CARD)
    expect(result).to_contain_text(
        re.compile(r"Warm light, half taken out.*about 3\d00 K", re.DOTALL)
    )
    expect(page.get_by_role("slider", name="Part of the light to keep")).to_have_value("50")
    page.get_by_role("slider", name="Part of the light to keep").press("Home")
    expect(result).to_contain_text("Warm light, taken out")
    light = painter.state["light"]
    assert light["method"] == "neutral"
    assert light["asked"]["lstar"] == CARD["lstar"]


def punch_four(painter: Painter) -> None:
    painter.walk("Look")
    page = painter.page
    for number, label in enumerate(FOUR, 1):
        painter.click_on(PLACES[label])
        expect(painter.holes).to_have_count(number)
        expect(page.locator(".slip.open .lines li").first).to_be_visible()
        page.get_by_label(f"Name of hole {number}").fill(label)
        page.keyboard.press("Enter")
        expect(painter.holes.last).to_have_accessible_name(re.compile(label))
    painter.saved()
    check_colours(painter.state)


def hold_a_tube_out(painter: Painter) -> str:
    """Hold a tube out of the first recipe; return its name."""
    painter.walk("Mix")
    page = painter.page
    page.get_by_role("button", name=f"1 {FOUR[0]}").click()
    slip = page.get_by_role("article", name=f"Slip 1, {FOUR[0]}")
    before = painter.used()
    out = next(tube for tube in before if "white" not in tube)
    slip.get_by_text("Tubes for this mix").click()
    slip.get_by_role("radiogroup", name=out).get_by_text("hold out").click()
    expect(slip.locator(".lines")).not_to_contain_text(out)
    painter.saved()
    hole = painter.state["holes"][0]
    assert hole["without"] == [out]
    assert painter.used() != before
    assert all(out not in line["words"] for line in hole["recipes"][0]["lines"])
    return out


def download(painter: Painter, path: Path, out: str) -> None:
    painter.walk("Print")
    page = painter.page
    expect(page.get_by_text(re.compile(r"^Page 1 of \d"))).to_be_visible()
    with page.expect_download() as coming:
        page.get_by_role("link", name="Download the sheet (PDF)").click()
    coming.value.save_as(path)
    assert coming.value.suggested_filename == "Garden table.pdf"
    text = plain(" ".join(page.extract_text() for page in PdfReader(path).pages))
    assert "Garden table" in text
    assert "about 3900 K" in text
    first = text.index("slips, page 1")  # the page for the easel before it has its own order
    slips = [text.index(f"{i} {label} value", first) for i, label in enumerate(FOUR, 1)]
    for hole, begins, ends in zip(painter.state["holes"], slips, [*slips[1:], None], strict=True):
        slip = text[begins:ends]
        for line in hole["recipes"][hole["chosen"]]["lines"]:
            assert plain(f"{line['parts']} {line['words']}") in slip
    assert out not in text[slips[0] : slips[1]]


def plain(text: str) -> str:
    """Return text with plain single spaces."""
    return " ".join(text.split())


def find_everything(painter: Painter) -> None:
    """See that the page shows all that was done."""
    page = painter.page
    for view, what in (("Light", "Warm light, taken out"), ("Look", FOUR[0]), ("Mix", FOUR[3])):
        painter.walk(view)
        expect(page.locator("main")).to_contain_text(what) if view == "Light" else expect(
            page.get_by_label(re.compile(what)).first
        ).to_be_attached()
    expect(page.get_by_role("article")).to_have_count(len(FOUR))
    painter.saved()


def undo_all(painter: Painter) -> None:
    painter.walk("Look")
    button = painter.page.get_by_role("group", name="Steps").get_by_role("button").first
    while (what := painter.state["undo"]) is not None:
        expect(button).to_have_accessible_name(f"Undo {what}")
        button.click()
        expect(button).not_to_have_accessible_name(f"Undo {what}")
    expect(painter.holes).to_have_count(0)


def redo_all(painter: Painter) -> None:
    button = painter.page.get_by_role("group", name="Steps").get_by_role("button").last
    while (what := painter.state["redo"]) is not None:
        expect(button).to_have_accessible_name(f"Redo {what}")
        button.click()
        expect(button).not_to_have_accessible_name(f"Redo {what}")
    expect(painter.holes).to_have_count(len(FOUR))
