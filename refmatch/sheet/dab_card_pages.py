"""The dab card as PDF: a page that says how, then the windows, in black on white.

No target is printed: a printer's colours are no reference, and a patch beside the window would
lead the eye to them.
"""

from __future__ import annotations

import re

from refmatch.dabs.card import PaintWindow
from refmatch.dabs.dab_card import DabCard, TargetWindow, text_place
from refmatch.say.sentence import NBSP, listed
from refmatch.sheet import card_pages
from refmatch.sheet import card_pages as cards
from refmatch.sheet.blocks import Stack, Text, safe, strong
from refmatch.sheet.card_pages import (
    CUT,
    GREY_WORDS,
    HEAD,
    KEEP_CLEAN,
    LIGHT,
    PHOTOGRAPH,
    PRINT,
    TAPE,
    How,
    area_of,
    draw_grey,
    draw_head,
    draw_markers,
    draw_opening,
    of_pages,
)
from refmatch.sheet.pen import BOLD, SOFT, Area, Pen

KIND = "Dab card"
OR_CHART = "A 24-patch chart beside the card will do, too."
LET_DOWN = re.compile(r"1 to \d+ white")
NAME_SIZE, WORDS_SIZE, GAP, BESIDE_BADGE = 9.5, 8.0, 1.5, 5.0

PAINT = (
    "Paint",
    "Paint the dab of each puddle through the window of its number: flat with the knife, so thick "
    "that it hides, out to all four edges. Draw it down over the black bar; if the bar shows "
    "through, lay on more. Leave a window empty where you have no dab.",
)
KNOWN = (
    "Known paint",
    "Paint {paints} as squeezed in the lowest windows of every page. Their colour is known: they "
    "tell how your camera sees.",
)
WET_OR_DRY = (
    "Wet or dry",
    "Photograph the dabs wet if you judge your mixes wet, dry if dry, and say which when they are "
    "checked.",
)
GREY = (
    "Grey card or chart",
    "Lay a grey card of L* {grey} flat over the cross, so that no part of it shows. A 24-patch "
    "chart beside the card, in the same light, is found by itself; it can stand alone or help.",
)
CHECK = (
    "Check",
    "Have the photo checked against the painting: that tells how far off each dab is, and what to "
    "add to its puddle. For the next dabs print the frame afresh.",
)
NO_COLOUR = (
    "No colour is printed",
    "A printer's colours are no reference. Let your eye judge through the holes of the sheet's "
    "own card, not here.",
)


def write(card: DabCard) -> bytes:
    """Return the card as PDF; the same card gives the same bytes on one machine."""
    drawing = cards.Drawing(
        KIND,
        card.title,
        lambda pen: card_pages.draw_how(pen, how(card)),
        lambda pen, page: _draw_page(pen, card, page),
    )
    return cards.printed(card, drawing)


def how(card: DabCard) -> How:
    """Return what the first page says."""
    count, pages = len(card.targets), card_pages.pages_in_words(card.pages)
    dabs = f"{count} dab{'s' if count > 1 else ''}"
    photo = "one photo of each page" if card.pages > 1 else "one photo"
    fill = {
        "paints": listed([tube.name for tube in card.tubes]),
        "grey": f"{card.neutral_value:g}",
    }
    known = (KNOWN,) if card.tubes else ()
    steps = (
        *(PRINT, CUT, TAPE, PAINT),
        *known,
        *(KEEP_CLEAN, WET_OR_DRY, GREY, LIGHT, PHOTOGRAPH),
    )
    return How(
        title=f"{KIND}: {card.title}",
        lead=f"{dabs} on {pages}: {photo} tells how far off each is.",
        steps=tuple((name, words.format(**fill)) for name, words in steps),
        over_window="the dab of one puddle",
        notes=(CHECK, NO_COLOUR),
    )


def _draw_page(pen: Pen, card: DabCard, page: int) -> None:
    draw_markers(pen, card, page)
    draw_head(pen, card, f"{KIND}{of_pages(card, page)}: {card.title}", HEAD)
    for window in card.windows_on(page):
        draw_opening(pen, window)
        area = area_of(text_place(window.place, card.paper))
        if isinstance(window, TargetWindow):
            _draw_target(pen, area, window)
        else:
            _draw_paint(pen, area, window)
    draw_grey(pen, card, page, f"{GREY_WORDS} {OR_CHART}")


def _draw_target(pen: Pen, area: Area, window: TargetWindow) -> None:
    """Print a target's number, name and words, and the parts of its recipe as far as they go."""
    number = str(window.number)
    aside = pen.badge(area.x, area.y, number, NAME_SIZE, BOLD) + BESIDE_BADGE
    name = "" if window.target == number else window.target
    heading = Text(strong(name), area.width - aside, NAME_SIZE, most_lines=2)
    heading.draw(pen, area.x + aside, area.y - 1.0)
    top = area.y + max(heading.height, 1.35 * NAME_SIZE) + GAP
    words = Text(safe(window.words), area.width, WORDS_SIZE, level=SOFT, most_lines=2)
    words.draw(pen, area.x, top)
    top += words.height + GAP
    left = int((area.bottom - top) / (1.25 * WORDS_SIZE))
    recipe = _glued(window.recipe) or "no recipe"
    Text(safe(recipe), area.width, WORDS_SIZE, most_lines=max(left, 1)).draw(pen, area.x, top)


def _glued(recipe: str) -> str:
    """Keep each figure with what it counts, and let-downs whole: no line ends in a figure."""
    parts = (part.replace(" ", NBSP, 1) for part in recipe.split(" + "))
    return LET_DOWN.sub(lambda found: found[0].replace(" ", NBSP), " + ".join(parts))


def _draw_paint(pen: Pen, area: Area, window: PaintWindow) -> None:
    Stack(
        (
            Text(strong(window.tube), area.width, NAME_SIZE, most_lines=2),
            Text(safe(window.parts_in_words), area.width, WORDS_SIZE),
            Text(safe("Known paint, for the camera"), area.width, WORDS_SIZE, level=SOFT),
        ),
        GAP,
    ).draw(pen, area.x, area.y - 1.0)
