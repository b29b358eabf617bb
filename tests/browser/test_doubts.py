"""What is not known is said where the painter decides, not in a corner."""

from __future__ import annotations

from playwright.sync_api import expect

from refmatch.recipe.doubt import GENERIC
from refmatch.say.sentence import sentence_of
from tests.browser.painter import Painter
from tests.browser.views import show
from tests.browser.watching import Windows


def test_generic_curves_are_told_beside_the_recipe(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    for view in ("look", "mix"):
        show(page, laid_out, view)
        recipe = page.locator(".slip.open .flags")
        expect(recipe).to_contain_text(sentence_of(GENERIC))
        expect(page.locator(".slip.open .slip-verdict")).to_contain_text("to be expected")


def test_generic_curves_are_told_before_the_sheet_is_taken(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    show(page, laid_out, "print")
    expect(page.locator(".print-sheet")).to_contain_text(sentence_of(GENERIC))


def test_a_grid_of_oblongs_says_so(windows: Windows) -> None:
    """Squares that are none would carry the drawing over distorted."""
    page = windows.open()
    painter = Painter(page)
    painter.begin()
    caution = page.locator(".photo-tools").get_by_text("oblong")
    painter.change("canvas", width_cm=30, height_cm=20, grid_cm=5)
    expect(page.get_by_role("button", name="Grid")).to_be_visible()
    expect(caution).to_be_hidden()
    painter.change("canvas", width_cm=30, height_cm=30, grid_cm=5)
    expect(caution).to_be_visible()
    page.get_by_role("button", name="Grid").click()
    expect(caution).to_be_hidden()


def test_a_guess_says_how_far_off_it_is(windows: Windows, laid_out: str) -> None:
    """docs/accuracy.md: 3 to 8 dE00 by the sample photos, whatever confidence is told."""
    page = windows.open()
    show(page, laid_out, "light")
    guesses = page.locator(".guesses")
    expect(guesses).to_contain_text("3 to 8 ΔE00 off")
    expect(guesses.locator(".guess-list")).to_contain_text("about 3600 K")
    expect(page.locator(".result")).to_contain_text("about 3900 K")
