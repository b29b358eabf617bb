"""The whole job by keyboard alone: no test here touches the mouse."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import expect
from pypdf import PdfReader

from tests.browser.keyboard import MIDDLE, Keyboard
from tests.browser.painter import CARD, FOUR, PLACES
from tests.browser.truth import check_colours, content
from tests.browser.watching import Windows


def test_the_whole_job_by_keyboard(windows: Windows, tmp_path: Path) -> None:
    painter = Keyboard(windows.open())
    begin(painter)
    before = content(painter.state)
    take_the_card(painter)
    punch_four(painter)
    hold_a_tube_out(painter)
    download(painter, tmp_path / "sheet.pdf")
    done = content(painter.state)
    painter.page.reload()
    painter.arrived("print")
    assert content(painter.state) == done
    undo_all(painter)
    assert content(painter.state) == before


def begin(painter: Keyboard) -> None:
    painter.tab_to(painter.page.get_by_role("button", name=re.compile("^Garden table")))
    painter.press("Enter")
    painter.arrived("light")


def take_the_card(painter: Keyboard) -> None:
    page = painter.page
    painter.tab_to(page.get_by_role("radio", name="Something neutral"))
    painter.press("ArrowDown")
    painter.press("ArrowDown")
    lightness = page.get_by_label("Its lightness, L*")
    painter.tab_to(lightness)
    painter.write(str(CARD["lstar"]))
    painter.tab_to(painter.photo, "Shift+Tab")
    painter.go_to(CARD, MIDDLE)
    painter.press("Enter")
    result = page.locator(".result-room")
    expect(result).to_contain_text(
        re.compile(r"Warm light, half taken out.*about 3\d00 K", re.DOTALL)
    )
    painter.tab_to(page.get_by_role("slider", name="Part of the light to keep"))
    painter.press("Home")
    expect(result).to_contain_text("Warm light, taken out")
    painter.saved()


def punch_four(painter: Keyboard) -> None:
    painter.walk("Look")
    painter.tab_to(painter.photo)
    start = MIDDLE
    for number, label in enumerate(FOUR, 1):
        painter.go_to(PLACES[label], start)
        painter.press("Enter")
        expect(painter.holes).to_have_count(number)
        start = painter.state["holes"][-1]
    for number, label in enumerate(FOUR, 1):
        hole = painter.page.get_by_role("button", name=re.compile(f"^Hole {number}: "))
        painter.tab_to(hole)
        painter.nudge(painter.state["holes"][number - 1], PLACES[label])
    for number in (1, 4):
        name(painter, number, FOUR[number - 1])
    painter.saved()
    check_colours(painter.state)


def name(painter: Keyboard, number: int, label: str) -> None:
    hole = painter.page.get_by_role("button", name=re.compile(f"^Hole {number}: "))
    painter.tab_to(hole, "Shift+Tab")
    painter.press("F2")
    expect(painter.page.get_by_label(f"Name of hole {number}")).to_be_focused()
    painter.check_focus()
    painter.write(label)
    painter.press("Enter")
    expect(hole).to_have_accessible_name(re.compile(label))
    expect(hole).to_be_focused()


def hold_a_tube_out(painter: Keyboard) -> None:
    painter.walk("Mix")
    page = painter.page
    slip = page.get_by_role("article", name=f"Slip 4, {FOUR[3]}")
    out = next(tube for tube in painter.used() if "white" not in tube)
    painter.tab_to(slip.locator(".tubes-of summary"))
    painter.press("Enter")
    ways = slip.get_by_role("radiogroup", name=out)
    painter.tab_to(ways.get_by_label("free"))
    painter.press("ArrowRight")
    expect(slip.locator(".lines")).not_to_contain_text(out)
    painter.saved()
    painter.check_focus()
    assert painter.state["holes"][3]["without"] == [out]


def download(painter: Keyboard, path: Path) -> None:
    painter.walk("Print")
    painter.tab_to(painter.page.get_by_role("link", name="Download the sheet (PDF)"))
    with painter.page.expect_download() as coming:
        painter.press("Enter")
    coming.value.save_as(path)
    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    assert FOUR[0] in text
    assert FOUR[3] in text


def undo_all(painter: Keyboard) -> None:
    for _ in range(40):
        what = painter.state["undo"]
        if what is None:
            return
        painter.press("Control+z")
        expect(painter.page.get_by_role("button", name=f"Redo {what}")).to_be_visible()
    raise AssertionError("more steps than were done")
