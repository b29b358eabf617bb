"""The job on a phone, by fingers: tap, rest and aim, drag, pinch; and nothing scrolls sideways."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from playwright.sync_api import CDPSession, Locator, expect
from pypdf import PdfReader

from tests.browser.painter import CARD, FOUR, PLACES, Painter, Point
from tests.browser.truth import check_colours, content
from tests.browser.watching import PHONE, Windows

REST_MS = 500
"""Longer than a finger rests before it aims."""


class Fingers(Painter):
    """A painter who has only fingers."""

    @property
    def screen(self) -> CDPSession:
        return self.page.context.new_cdp_session(self.page)

    def walk(self, word: str) -> None:
        self.road(word).tap()
        self.arrived(word.lower())
        self.check_width()

    def tap_on(self, label_or_place: dict[str, float]) -> None:
        self.page.locator(".stage").scroll_into_view_if_needed()
        self.page.touchscreen.tap(*self.spot(label_or_place))

    def touch(self, path: Iterable[list[Point]], rest_ms: int = 0) -> None:
        """Put fingers down where the path begins, move them along it, lift them."""
        screen, kind = self.screen, "touchStart"
        for points in path:
            told = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(points)]
            screen.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": told})
            if kind == "touchStart" and rest_ms:
                self.page.wait_for_timeout(rest_ms)
            kind = "touchMove"
        screen.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        screen.detach()

    def check_width(self) -> None:
        """See that nothing scrolls sideways."""
        wide = self.page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        assert wide[0] <= wide[1], wide


def test_the_whole_job_on_a_phone(windows: Windows, tmp_path: Path) -> None:
    painter = Fingers(windows.open(device=PHONE))
    page = painter.page
    page.get_by_role("button", name=re.compile("^Garden table")).tap()
    painter.arrived("light")
    before = content(painter.state)
    take_the_card(painter)
    punch_four(painter)
    hold_a_tube_out(painter)
    painter.walk("Print")
    with page.expect_download() as coming:
        page.get_by_role("link", name="Download the sheet (PDF)").tap()
    coming.value.save_as(tmp_path / "sheet.pdf")
    assert "about 3900 K" in PdfReader(tmp_path / "sheet.pdf").pages[0].extract_text()
    done = content(painter.state)
    page.reload()
    painter.arrived("print")
    assert content(painter.state) == done
    undo_all(painter)
    assert content(painter.state) == before


def take_the_card(painter: Fingers) -> None:
    page = painter.page
    painter.check_width()
    page.get_by_label("Something grey of known lightness").tap()
    page.get_by_label("Its lightness, L*").fill(str(CARD["lstar"]))
    painter.tap_on(CARD)
    result = page.locator(".result-room")
    expect(result).to_contain_text(
        re.compile(r"Warm light, half taken out.*about 3\d00 K", re.DOTALL)
    )
    page.get_by_role("slider", name="Part of the light to keep").press("Home")
    expect(result).to_contain_text("Warm light, taken out")


def punch_four(painter: Fingers) -> None:
    """Three by a tap, the fourth by resting and aiming; then one is chosen and dragged."""
    painter.walk("Look")
    beside = {**PLACES[FOUR[0]], "x_px": PLACES[FOUR[0]]["x_px"] + 160}
    for number, place in enumerate([beside, *(PLACES[label] for label in FOUR[1:3])], 1):
        painter.tap_on(place)
        expect(painter.holes).to_have_count(number)
    linen = painter.spot(PLACES[FOUR[3]])
    aim = [[Point(linen.x - way, linen.y - way / 2)] for way in (30, 20, 10, 4, 0)]
    painter.touch(aim, rest_ms=REST_MS)
    expect(painter.holes).to_have_count(4)
    painter.tap_on(beside)
    here, there = painter.spot(beside), painter.spot(PLACES[FOUR[0]])
    painter.touch([[Point(here.x + (there.x - here.x) * i / 5, here.y)] for i in range(6)])
    painter.saved()
    check_colours(painter.state)


def hold_a_tube_out(painter: Fingers) -> None:
    painter.walk("Mix")
    slip = painter.page.locator(".slip.open")
    out = next(tube for tube in painter.used() if "white" not in tube)
    slip.locator(".tubes-of summary").tap()
    slip.get_by_role("radiogroup", name=out).get_by_text("hold out").tap()
    expect(slip.locator(".lines")).not_to_contain_text(out)
    painter.check_width()


def undo_all(painter: Fingers) -> None:
    button = painter.page.get_by_role("group", name="Steps").get_by_role("button").first
    while (what := painter.state["undo"]) is not None:
        button.tap()
        expect(button).not_to_have_accessible_name(f"Undo {what}")


def test_two_fingers_zoom(windows: Windows, laid_out: str) -> None:
    painter = Fingers(windows.open(f"/{laid_out}/look", PHONE))
    photo: Locator = painter.page.locator(".stage .surface .sheet")
    photo.wait_for()
    before = photo.bounding_box()
    middle = painter.spot(PLACES["pear, blush"])
    fingers = [
        [Point(middle.x - 20 - way, middle.y), Point(middle.x + 20 + way, middle.y)]
        for way in (0, 10, 20, 30, 40)
    ]
    painter.touch(fingers)
    painter.page.wait_for_timeout(100)
    after = photo.bounding_box()
    assert before
    assert after
    assert 2 < after["width"] / before["width"] < 4
    painter.check_width()
    assert len(painter.state["holes"]) == len(FOUR), "a pinch punches nothing"
