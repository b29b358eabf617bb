"""The page looked at pixel by pixel: what of it has chroma.

Coloured surroundings falsify the judgement of colour; ISO 3664:2009 (4.2.5 and 5.5) asks for a
neutral surround. C* 2 is what this project allows, and hardly seen.
"""

from __future__ import annotations

import base64
import io

import numpy as np
from colour import XYZ_to_Lab, sRGB_to_XYZ
from PIL import Image
from playwright.sync_api import Page

MOST_CHROMA = 2.0
MOST_LISTED = 10
PHOTO_AND_PAINT = """
    img[src^="/api/"] { visibility: hidden !important; }
    [data-fits] { background: none !important; fill: none !important; }
    .card .ground.toned { fill: none !important; }
"""
"""What may have chroma: pictures of the photo, paint, and the card's toned ground."""

ADOPT = """(rules) => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(rules);
    document.adoptedStyleSheets = [sheet];
}"""
EVERY_CONTROL = ":is(a, button, input, select, textarea, label, summary, [tabindex], dialog *)"


def chroma_of(colours: np.ndarray) -> np.ndarray:
    """Return C* of 8-bit sRGB colours, by a library of others (colour-science)."""
    lab = XYZ_to_Lab(sRGB_to_XYZ(colours / 255.0))
    return np.hypot(lab[..., 1], lab[..., 2])


class Screen:
    """What a window shows, the whole page however far it has to be scrolled."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.tools = page.context.new_cdp_session(page)
        self.tools.send("DOM.enable")
        self.tools.send("CSS.enable")
        self._root = self.tools.send("DOM.getDocument", {"depth": 0})["root"]["nodeId"]
        self._forced: set[int] = set()  # asking for the root anew would number all nodes anew

    def hide_photo_and_paint(self, more: str = "") -> None:
        """Hide what may have chroma; ``more`` are rules beside it."""
        self.page.evaluate(ADOPT, PHOTO_AND_PAINT + more)

    def show_all(self) -> None:
        """Show photo and paint again."""
        self.page.evaluate(ADOPT, "")

    def force(self, *states: str) -> None:
        """Put every control into a state at once, such as focus or being pressed; or into none."""
        asked = {"nodeId": self._root, "selector": EVERY_CONTROL}
        controls = set(self.tools.send("DOM.querySelectorAll", asked)["nodeIds"])
        for node in controls if states else controls & self._forced:
            self.tools.send(
                "CSS.forcePseudoState", {"nodeId": node, "forcedPseudoClasses": list(states)}
            )
        self._forced = controls if states else set()

    def coloured(self) -> list[str]:
        """Return what has too much chroma: how many pixels of which colour, and where."""
        red, green, blue = np.moveaxis(self._pixels().astype(np.int32), 2, 0)
        rows, columns = np.nonzero((red != green) | (green != blue))
        packed = (red << 16 | green << 8 | blue)[rows, columns]
        found, first, counts = np.unique(packed, return_index=True, return_counts=True)
        colours = np.stack([found >> 16, found >> 8 & 255, found & 255], axis=1)
        return [
            f"{counts[i]} pixels of {colours[i]}, first at {columns[first[i]]}, {rows[first[i]]}"
            for i in np.flatnonzero(chroma_of(colours) > MOST_CHROMA)[:MOST_LISTED]
        ]

    def _pixels(self) -> np.ndarray:
        """Return the whole page, [row, column, channel]."""
        size = self.tools.send("Page.getLayoutMetrics")["cssContentSize"]
        asked = {
            "captureBeyondViewport": True,
            "optimizeForSpeed": True,
            "clip": {**size, "scale": 1},
        }
        shot = base64.b64decode(self.tools.send("Page.captureScreenshot", asked)["data"])
        return np.asarray(Image.open(io.BytesIO(shot)).convert("RGB"))
