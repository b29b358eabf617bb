"""What the screen shows against the Lab that it stands for, by colour-science.

Chromium's screenshots are sRGB (the screen it takes itself to be without one), whatever profile
a picture carries.
"""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
from colour import RGB_COLOURSPACES, RGB_to_XYZ, XYZ_to_Lab, XYZ_to_xy
from colour.difference import delta_E_CIE2000
from colour.models import eotf_sRGB
from PIL import Image
from playwright.sync_api import Page

from refmatch.colorimetry.viewing import ICC_WHITE
from tests.browser.painter import Painter
from tests.browser.views import settle, show
from tests.browser.watching import Windows

WHITE = XYZ_to_xy(ICC_WHITE)
JUST_SEEN = 1.0
"""dE00: about what is just seen side by side. Rounding to 8 bits and JPEG make half of it."""


def pixels(data: bytes) -> np.ndarray:
    """Return a screenshot in linear light, 0 to 1."""
    return eotf_sRGB(np.asarray(Image.open(io.BytesIO(data)).convert("RGB")) / 255.0)


def lab(linear: np.ndarray) -> np.ndarray:
    """Return the Lab of linear sRGB, adapted to D50 by Bradford."""
    xyz = RGB_to_XYZ(linear, RGB_COLOURSPACES["sRGB"], WHITE, "Bradford")
    return XYZ_to_Lab(xyz, WHITE)


def away(shown: np.ndarray, hole: dict[str, Any], scale: float) -> np.ndarray:
    """Return each pixel's distance from a hole's middle, in radii of the hole."""
    rows, columns = np.indices(shown.shape[:2]) + 0.5
    distance = np.hypot(columns - hole["x_px"] * scale, rows - hole["y_px"] * scale)
    return distance / (hole["diameter_px"] * scale / 2.0)


@pytest.fixture
def look(windows: Windows, laid_out: str) -> Page:
    """Look, where nothing lies over the photo."""
    page = windows.open()
    show(page, laid_out, "look")
    page.evaluate("document.querySelector('.holes').style.setProperty('visibility', 'hidden')")
    return page


def photo_of(page: Page) -> tuple[np.ndarray, float]:
    """Return the photo as it is on the screen, and its scale."""
    settle(page)
    photo = page.locator(".stage .surface .sheet")
    box = photo.bounding_box()
    assert box
    return pixels(photo.screenshot()), box["width"] / Painter(page).state["photo"]["width_px"]


def test_the_photo_under_a_hole_has_the_colour_that_was_read(look: Page) -> None:
    shown, scale = photo_of(look)
    off = []
    for hole in Painter(look).state["holes"]:
        inside = away(shown, hole, scale) < 0.85
        assert inside.sum() > 20
        found = lab(shown[inside].mean(axis=0))
        off.append(delta_E_CIE2000(found, hole["colour"]["lab"]))
    print("photo on the screen, dE00:", np.round(off, 2))
    assert max(off) < JUST_SEEN


def test_the_card_hides_all_but_the_holes(look: Page) -> None:
    look.locator(".photo-tools select").select_option("grey card")
    shown, scale = photo_of(look)
    holes = Painter(look).state["holes"]
    outside = np.min([away(shown, hole, scale) for hole in holes], axis=0) > 1.2
    assert np.ptp(shown[outside].reshape(-1, 3), axis=0).max() == 0.0
    ground = lab(shown[outside][0])
    assert delta_E_CIE2000(ground, [50.0, 0.0, 0.0]) < JUST_SEEN


def test_photo_and_mix_are_shown_as_they_are_told(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    show(page, laid_out, "mix")
    off = []
    for hole in Painter(page).state["holes"]:
        slip = page.locator(f"#slip-{hole['key']}")
        if closed := slip.locator("button[aria-expanded=false]").all():
            closed[0].click()
        pair = slip.locator(".slip-pair .halves")
        pair.scroll_into_view_if_needed()
        settle(page)
        row = pixels(pair.screenshot())[60]
        for colour, seen in ((hole["colour"], row[8]), (hole["recipes"][0]["colour"], row[-8])):
            assert colour["fits"] == "srgb"
            off.append(delta_E_CIE2000(lab(seen), colour["lab"]))
    print("halves of the slips on the screen, dE00:", np.round(off, 2))
    assert max(off) < JUST_SEEN


def test_each_number_stands_at_its_value_on_the_ladder(look: Page) -> None:
    """Value v lies in the middle of the v-th of eleven greys."""
    greys = look.locator(".ladder-greys").bounding_box()
    assert greys
    for hole in Painter(look).state["holes"]:
        number = look.get_by_role("button", name=f"Hole {hole['number']}, {hole['heading']}: value")
        box = number.bounding_box()
        assert box
        along = (box["x"] + box["width"] / 2.0 - greys["x"]) / greys["width"]
        assert 11.0 * along - 0.5 == pytest.approx(hole["munsell_value"], abs=0.05)
