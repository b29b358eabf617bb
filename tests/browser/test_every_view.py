"""Every view on every surround: axe-core finds nothing wrong, and nothing but photo and paint
has chroma. Each view is opened once for both."""

from __future__ import annotations

import numpy as np

from tests.browser.axe import ALL, CONTRAST, wrong
from tests.browser.pixels import MOST_CHROMA, Screen, chroma_of
from tests.browser.views import SURROUNDS, VIEWS, show, take_surround
from tests.browser.watching import PHONE, Windows

STATES = ((), ("focus", "focus-visible", "hover", "visited"), ("active",))
SELECT_ALL = "getSelection().selectAllChildren(document.body)"
SELECT_NONE = "getSelection().removeAllRanges()"

COLOURED = {
    (): "a { color: #1b1bd8 !important; }",
    ("focus", "focus-visible"): ":focus-visible { outline: 3px solid #1b1bd8 !important; }",
    ("hover",): "button:hover { background: #fff0f0 !important; }",
    ("active",): "button:active { background: #f0fff0 !important; }",
}
"""Rules that give the page colour in one state."""


def test_each_view_on_each_surround(windows: Windows, laid_out: str) -> None:
    """Which surround goes with which state of the controls changes from view to view."""
    page = windows.open()
    for turn, view in enumerate(VIEWS):
        show(page, laid_out, view)
        for surround in SURROUNDS:
            take_surround(page, surround)
            found = wrong(page, ALL if surround == SURROUNDS[0] else CONTRAST)
            assert not found, (view, surround)
        screen = Screen(page)
        if not turn:
            assert screen.coloured(), "photo and paint should be seen"
        screen.hide_photo_and_paint()
        for number, states in enumerate(STATES):
            surround = SURROUNDS[(turn + number) % len(SURROUNDS)]
            screen.force(*states)
            take_surround(page, surround)
            page.evaluate(SELECT_ALL if "focus" in states else SELECT_NONE)
            assert not screen.coloured(), (view, surround, states)
        page.evaluate(SELECT_NONE)
        screen.force()
        screen.show_all()


def test_each_view_on_a_phone(windows: Windows, laid_out: str) -> None:
    page = windows.open(device=PHONE)
    for view in VIEWS:
        show(page, laid_out, view)
        assert not wrong(page), view


def test_axe_would_find_what_is_wrong(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    show(page, laid_out, "print")
    page.evaluate("document.querySelector('main').append(document.createElement('button'))")
    assert any(fault.startswith("button-name") for fault in wrong(page))


def test_colour_is_found_in_every_state(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    show(page, laid_out, "print")
    screen = Screen(page)
    for states, rule in COLOURED.items():
        screen.force(*states)
        screen.hide_photo_and_paint()
        assert not screen.coloured(), states
        screen.hide_photo_and_paint(rule)
        assert screen.coloured(), states


def test_the_measure_tells_grey_from_nearly_grey() -> None:
    chroma = chroma_of(np.array([[128, 128, 128], [128, 128, 134], [0, 0, 238]]))
    assert chroma[0] < 0.1
    assert chroma[1] > MOST_CHROMA
    assert chroma[2] > 100
