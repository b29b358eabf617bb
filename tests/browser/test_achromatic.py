"""The page is grey: nothing on it has chroma but the photo and the paint.

Coloured surroundings falsify the judgement of colour; ISO 3664:2009 (4.2.5 and 5.5) asks for a
neutral surround. C* 2 is what this project allows, and hardly seen.
"""

from __future__ import annotations

import base64
import io

import numpy as np
import pytest
from colour import XYZ_to_Lab, sRGB_to_XYZ
from PIL import Image
from playwright.sync_api import Page

from tests.browser.views import OVER, SURROUNDS, VIEWS, set_surround, show, show_over, take_surround
from tests.browser.watching import Windows

MOST_CHROMA = 2.0
MOST_TOLD = 10
PHOTO_AND_PAINT = """
    img[src^="/api/"] { visibility: hidden !important; }
    [data-fits] { background: none !important; fill: none !important; }
    .card .ground.toned { fill: none !important; }
"""
"""What may have chroma: pictures of the photo, paint, and the card's toned ground."""

HIDE = """(rules) => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(rules);
    document.adoptedStyleSheets = [sheet];
}"""
SELECT_ALL = "getSelection().selectAllChildren(document.body)"
SELECT_NONE = "getSelection().removeAllRanges()"
EVERY_CONTROL = ":is(a, button, input, select, textarea, label, summary, [tabindex], dialog *)"


def chroma_of(colours: np.ndarray) -> np.ndarray:
    """Return C* of 8-bit sRGB colours, by a library of others (colour-science)."""
    lab = XYZ_to_Lab(sRGB_to_XYZ(colours / 255.0))
    return np.hypot(lab[..., 1], lab[..., 2])


class Seen:
    """A page looked at pixel by pixel, with photo and paint hidden once it is said."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.tools = page.context.new_cdp_session(page)
        self.tools.send("DOM.enable")
        self.tools.send("CSS.enable")

    def hide_photo_and_paint(self) -> None:
        self.page.evaluate(HIDE, PHOTO_AND_PAINT)

    def force(self, *states: str) -> None:
        """Put every control into a state at once, such as focus or being pressed."""
        root = self.tools.send("DOM.getDocument", {"depth": 0})["root"]["nodeId"]
        asked = {"nodeId": root, "selector": EVERY_CONTROL}
        for node in self.tools.send("DOM.querySelectorAll", asked)["nodeIds"]:
            self.tools.send(
                "CSS.forcePseudoState", {"nodeId": node, "forcedPseudoClasses": list(states)}
            )

    def coloured(self) -> list[str]:
        """Return what has too much chroma: how many pixels of which colour, and where."""
        red, green, blue = np.moveaxis(self._pixels().astype(np.int32), 2, 0)
        rows, columns = np.nonzero((red != green) | (green != blue))
        packed = (red << 16 | green << 8 | blue)[rows, columns]
        found, first, counts = np.unique(packed, return_index=True, return_counts=True)
        colours = np.stack([found >> 16, found >> 8 & 255, found & 255], axis=1)
        return [
            f"{counts[i]} pixels of {colours[i]}, first at {columns[first[i]]}, {rows[first[i]]}"
            for i in np.flatnonzero(chroma_of(colours) > MOST_CHROMA)[:MOST_TOLD]
        ]

    def _pixels(self) -> np.ndarray:
        """Return the whole page, [row, column, channel], however far it has to be scrolled."""
        size = self.tools.send("Page.getLayoutMetrics")["cssContentSize"]
        asked = {
            "captureBeyondViewport": True,
            "optimizeForSpeed": True,
            "clip": {**size, "scale": 1},
        }
        shot = base64.b64decode(self.tools.send("Page.captureScreenshot", asked)["data"])
        return np.asarray(Image.open(io.BytesIO(shot)).convert("RGB"))


def test_the_measure_tells_grey_from_nearly_grey() -> None:
    chroma = chroma_of(np.array([[128, 128, 128], [128, 128, 134], [0, 0, 238]]))
    assert chroma[0] < 0.1
    assert chroma[1] > MOST_CHROMA
    assert chroma[2] > 100


@pytest.mark.parametrize(
    ("states", "rule"),
    [
        ((), "a { color: #1b1bd8 !important; }"),
        (("focus", "focus-visible"), ":focus-visible { outline: 3px solid #1b1bd8 !important; }"),
        (("hover",), "button:hover { background: #fff0f0 !important; }"),
        (("active",), "button:active { background: #f0fff0 !important; }"),
    ],
)
def test_colour_is_found_in_every_state(
    windows: Windows, laid_out: str, states: tuple[str, ...], rule: str
) -> None:
    page = windows.open()
    show(page, laid_out, "print")
    seen = Seen(page)
    page.evaluate(HIDE, PHOTO_AND_PAINT + rule)
    seen.force(*states)
    assert seen.coloured()


STATES = ((), ("focus", "focus-visible", "hover", "visited"), ("active",))


def test_no_view_has_colour_of_its_own(windows: Windows, laid_out: str) -> None:
    """Each view in each state; which surround goes with which state changes from view to view."""
    page = windows.open()
    for turn, view in enumerate(VIEWS):
        show(page, laid_out, view)
        seen = Seen(page)
        if not turn:
            assert seen.coloured(), "photo and paint should be seen"
            seen.hide_photo_and_paint()
        for number, states in enumerate(STATES):
            surround = SURROUNDS[(turn + number) % len(SURROUNDS)]
            seen.force(*states)
            take_surround(page, surround)
            page.evaluate(SELECT_ALL if "focus" in states else SELECT_NONE)
            assert not seen.coloured(), (view, surround, states)


@pytest.mark.parametrize("turn", range(len(OVER)), ids=list(OVER))
def test_nor_has_what_stands_open_over_a_view(windows: Windows, laid_out: str, turn: int) -> None:
    page = windows.open()
    show_over(page, laid_out, list(OVER)[turn])
    seen = Seen(page)
    seen.hide_photo_and_paint()
    surround = SURROUNDS[turn % len(SURROUNDS)]
    set_surround(page, surround)
    assert not seen.coloured(), surround
