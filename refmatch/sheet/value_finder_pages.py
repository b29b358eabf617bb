"""The value finder as PDF: a page that says how, then the steps, to photograph and to punch."""

from __future__ import annotations

from refmatch.dabs.value_finder import ValueFinder, between_place, strip_place
from refmatch.sheet.blocks import Stack, Text, safe, strong
from refmatch.sheet.card_pages import (
    Drawing,
    How,
    Step,
    area_of,
    draw_grey,
    draw_head,
    draw_how,
    draw_markers,
    printed,
)
from refmatch.sheet.pen import LINE, MM, SOFT, Area, Pen
from refmatch.sheet.value_strip import draw_figure, draw_hole, grey_of

KIND = "Value finder"

HEAD = "Print at 100 % on the paper you will use, with the settings you will use again."
USE = (
    "Cut the strip out along its frame and punch the circles. Hold it over the photo, the palette "
    "or the canvas, squint, and go along until a hole melts into its step: that step is the value, "
    "0 black to 10 white."
)
PLAIN = (
    "These are the greys as they are sent. A printer prints them darker or lighter, and no printer "
    "reaches 0 or 10: photograph this page, before you cut it, to be told what its steps truly are."
)
CORRECTED = (
    "Made for the printer that was photographed: each step is what is written on it. The two ends "
    "are the darkest it prints, and its paper."
)

BETWEEN = "Greys between the steps: leave them in the photo, they are not cut out."

STEPS: tuple[Step, ...] = (
    ("Print", HEAD),
    (
        "Let it dry",
        "Fresh ink is darker and shines. Lay white paper under the print, so that no table shows "
        "through.",
    ),
    (
        "Grey card",
        "Lay a grey card of L* {grey} flat over the cross, so that no part of it shows. If you "
        "have a 24-patch chart, lay it beside the page, in the same light: it is found by itself.",
    ),
    (
        "Light",
        "Light the page from both sides at 45 degrees, with lamps alike, or by a window at the "
        "side. No flash. No sun on one half. No shine on the ink: turn or lift the light until it "
        "is gone.",
    ),
    (
        "Photograph",
        "Photograph from straight above. Every marker must be in the picture, and the page must "
        "fill it. Use no filter, and keep the file as the camera made it.",
    ),
    (
        "Learn your printer",
        "Give the photo to refmatch: it tells the true value of every step, and makes a finder for "
        "your printer, whose steps are what is written on them.",
    ),
    ("Punch", USE),
)


def write(card: ValueFinder) -> bytes:
    """Return the finder as PDF; the same finder gives the same bytes on one machine."""
    return printed(
        card,
        Drawing(
            KIND,
            "for this printer" if is_corrected(card) else "values 0 to 10",
            lambda pen: draw_how(pen, how(card)),
            lambda pen, page: _draw(pen, card, page),
        ),
    )


def is_corrected(card: ValueFinder) -> bool:
    """Say whether other greys are sent than are written on the steps."""
    return any(window.value != window.sent for window in card.strip)


def how(card: ValueFinder) -> How:
    """Return what the first page says."""
    grey = f"{card.neutral_value:g}"
    return How(
        title=KIND,
        lead="Grey steps with holes find a value by eye; a photo tells what your printer made.",
        steps=tuple((name, words.format(grey=grey)) for name, words in STEPS),
        over_window="",
        draws_dab=False,
    )


def _draw(pen: Pen, card: ValueFinder, page: int) -> None:
    draw_markers(pen, card, page)
    draw_head(pen, card, KIND, HEAD)
    for window in card.strip:
        area, below = area_of(window.place), area_of(window.bar)
        pen.paint(Area(area.x, area.y, area.width, below.bottom - area.y), grey_of(window.sent))
        middle = area.x + area.width / 2.0
        draw_figure(pen, middle, below.y + 10.0, window.value, 11.0)
        draw_hole(pen, middle, below.y + 22.0 * MM)
    strip = area_of(strip_place(card.paper))
    pen.frame(strip, 0.5, LINE)
    between = area_of(between_place(card.paper))
    for window in card.windows:
        if window.between:
            pen.paint(area_of(window.place), grey_of(window.sent))
    pen.word(between.x, between.y - 5.0, BETWEEN, 8.5, level=SOFT)
    words = (CORRECTED if is_corrected(card) else PLAIN, USE)
    across = strip.width
    Stack(
        (
            Text(strong("For this printer" if is_corrected(card) else "As sent"), across, 11.0),
            *(Text(safe(text), across, 9.5) for text in words),
        ),
        gap=4.0,
    ).draw(pen, strip.x, between.bottom + 5.0 * MM)
    draw_grey(pen, card, page)
