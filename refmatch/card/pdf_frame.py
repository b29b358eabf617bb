"""One page of the frame: markers, windows with their bars and parts, a place for the grey."""

from __future__ import annotations

from refmatch.card.compose import GAP_MM
from refmatch.card.layout import Card, Frame, PaintWindow, Window
from refmatch.card.markers import black_runs
from refmatch.card.page import INNER_MM, MARGIN_MM, beside_words
from refmatch.card.place import Place
from refmatch.sheet.blocks import Text, safe
from refmatch.sheet.fonts import BOLD, fitted
from refmatch.sheet.pen import INK, LINE, MM, SOFT, Area, Pen

CROSS_MM = 4.0
GREY_WORDS = "Lay it flat here, so that no part of the cross shows."
HEAD = (
    "Tape this frame flat over primed canvas paper. Paint each dab through its window, flat and "
    "hiding, and draw it out over the black bar. Keep the white clean."
)


def draw(pen: Pen, card: Card, page: int) -> None:
    """Draw one page of the calibration card."""
    draw_markers(pen, card, page)
    draw_head(pen, card, f"Calibration card{of_pages(card, page)}: {card.box_name}", HEAD)
    named: set[str] = set()
    for window in card.windows_on(page):
        _draw_window(pen, window)
        if window.tube not in named:
            _draw_name(pen, window)
            named.add(window.tube)
    draw_grey(pen, card, page)


def area_of(place: Place) -> Area:
    """Return a place in points."""
    return Area(place.x_mm * MM, place.y_mm * MM, place.width_mm * MM, place.height_mm * MM)


def draw_markers(pen: Pen, card: Frame[Window], page: int) -> None:
    """Draw each marker as one path: rectangles filled one by one show seams on screens."""
    pen.canvas.setFillGray(INK)
    for marker in card.markers_on(page):
        path = pen.canvas.beginPath()
        for run in map(area_of, black_runs(marker.number, marker.place)):
            path.rect(run.x, pen.height - run.bottom, run.width, run.height)
        pen.canvas.drawPath(path, stroke=0, fill=1)


def of_pages(card: Frame[Window], page: int) -> str:
    """Return ", page 1 of 2", or nothing where there is but one."""
    return f", page {page} of {card.pages}" if card.pages > 1 else ""


def draw_head(pen: Pen, card: Frame[Window], title: str, words: str) -> None:
    """Print what a page is, and in a few words how it is used."""
    left, top = INNER_MM * MM, MARGIN_MM * MM
    room = beside_words(card.paper)[0].x_mm * MM - left - 6.0
    pen.word(left, top + 9.0, fitted(title, BOLD, 11.0, room), 11.0, BOLD)
    Text(safe(words), room, 8.5).draw(pen, left, top + 14.0)


def _draw_name(pen: Pen, window: PaintWindow) -> None:
    """Print the tube's name over its first window."""
    area = area_of(window.place)
    room = (3.0 * window.place.width_mm + 2.0 * GAP_MM) * MM
    name = fitted(window.tube, BOLD, 9.5, room)
    pen.word(area.x, area.y - 16.0, name, 9.5, BOLD)


def _draw_window(pen: Pen, window: PaintWindow) -> None:
    area = area_of(window.place)
    pen.word(area.x, area.y - 4.0, window.parts_in_words, 8.5)
    draw_opening(pen, window)


def draw_opening(pen: Pen, window: Window) -> None:
    """Draw the line to cut along, and the bar."""
    area, bar = area_of(window.place), area_of(window.bar)
    pen.frame(area, 0.5)
    pen.grey(bar, INK)
    middle = area.x + area.width / 2.0
    pen.word_middle(middle, area.y + area.height / 2.0 + 2.5, "cut out", 7.0, level=LINE)


def draw_grey(pen: Pen, card: Frame[Window], page: int, said: str = GREY_WORDS) -> None:
    """Draw the cross that the grey card covers, and say so beside it."""
    place = card.grey_on(page).place
    area = area_of(place)
    pen.frame(area, 0.5)
    inner = area_of(place.inset(2.0))
    pen.rule(inner.x, inner.y, inner.right, inner.bottom, CROSS_MM * MM)
    pen.rule(inner.x, inner.bottom, inner.right, inner.y, CROSS_MM * MM)
    left = area.right + 4.0 * MM
    room = beside_words(card.paper)[1].x_mm * MM - left - 6.0
    pen.word(left, area.y + 9.0, f"Grey card, L* {card.neutral_value:g}", 9.5, BOLD)
    words = Text(
        safe(said),
        room,
        8.5,
        level=SOFT,
    )
    words.draw(pen, left, area.y + 13.0)
