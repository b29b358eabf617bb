"""Two pages at one scale: the photo, and the card whose holes isolate the same colours."""

from __future__ import annotations

import math
from typing import Any

from refmatch.sheet.blocks import Text, safe
from refmatch.sheet.content import Content
from refmatch.sheet.cover import Ring, beside
from refmatch.sheet.pen import BOLD, INK, LINE, MM, SOFT, Area, Pen, fitted

PUNCH_MM = 5.0
"""The smallest hole that a common hand punch makes cleanly (common practice, no source)."""

RIM_MM = 4.0
"""Width of the rim on which the dab goes."""

SCALE_BAR_MM = 50.0
HEAD, FOOT = 36.0, 26.0

PHOTO_WORDS = (
    "The photo in its balanced light. Print this page and the next at 100 %, not fitted to "
    "the paper: both bars are then 50 mm long, and card and photo agree."
)
CARD_WORDS = (
    "The card, on stiff paper, grey or toned if you have it. Cut along the frame, punch the "
    "circles, dab each mix on its rim, and hold it over the photo or the canvas."
)


def draw(canvas: Any, content: Content, paper: tuple[float, float], margin: float) -> None:
    """Draw both pages on ``canvas``, lying down where the photo is wider than high."""
    short, long = sorted(paper)
    size = (long, short) if content.aspect > 1.0 else (short, long)
    area = Area(0.0, 0.0, *size).inset(margin)
    frame = frame_on_page(content.aspect, area)
    for page in (_photo_page, _card_page):
        canvas.setPageSize(size)
        page(Pen(canvas, *size), content, area, frame)
        canvas.showPage()


def frame_on_page(aspect: float, area: Area) -> Area:
    """Return where the photo lies, on its own page and on the card's alike."""
    room = Area(area.x, area.y + HEAD, area.width, area.height - HEAD - FOOT).inset(10.0)
    wide = min(room.width, room.height * aspect)
    high = wide / aspect
    return Area(room.x + (room.width - wide) / 2.0, room.y + (room.height - high) / 2.0, wide, high)


def punches(content: Content, frame: Area) -> tuple[list[Ring], list[Ring]]:
    """Return the circles to punch and the rims around them, in points.

    A hole is as large as it was on the photo, or as the punch; near neighbours
    make it smaller than the punch, never smaller than it was, and narrow the rims.
    """
    centres = [(frame.x + m.x * frame.width, frame.y + m.y * frame.height) for m in content.marks]
    holes, rims = [], []
    for mark, (x, y) in zip(content.marks, centres, strict=True):
        true = mark.diameter * frame.width / 2.0
        near = min((math.dist((x, y), c) for c in centres if c != (x, y)), default=math.inf)
        radius = max(min(PUNCH_MM * MM / 2.0, 0.4 * near), true, 1.0)
        holes.append(Ring(x, y, radius))
        rims.append(Ring(x, y, max(min(radius + RIM_MM * MM, 0.49 * near), radius + 1.0)))
    return holes, rims


def _photo_page(pen: Pen, content: Content, area: Area, frame: Area) -> None:
    _draw_words(pen, content.title, PHOTO_WORDS, area)
    pen.picture(frame, content.photo)
    _draw_corners(pen, frame)
    _draw_scale_bar(pen, area)


def _card_page(pen: Pen, content: Content, area: Area, frame: Area) -> None:
    _draw_words(pen, content.title, CARD_WORDS, area)
    pen.frame(frame, 0.5)
    _draw_corners(pen, frame)
    holes, rims = punches(content, frame)
    with pen.within(frame):
        for rim in rims:
            pen.ring(rim.x, rim.y, rim.radius, 0.4, LINE)
        for hole in holes:
            pen.ring(hole.x, hole.y, hole.radius, 0.7)
            pen.rule(hole.x - 2.0, hole.y, hole.x + 2.0, hole.y, 0.3)
            pen.rule(hole.x, hole.y - 2.0, hole.x, hole.y + 2.0, 0.3)
    plates = beside(rims, (14.0, 11.0), frame)
    for mark, plate in zip(content.marks, plates, strict=True):
        pen.word_middle(plate.x + plate.width / 2.0, plate.y + 9.0, str(mark.number), 10.0, BOLD)
    _draw_scale_bar(pen, area)


def _draw_words(pen: Pen, title: str, words: str, area: Area) -> None:
    pen.word(area.x, area.y + 9.0, fitted(title, BOLD, 10.0, area.width), 10.0, BOLD)
    Text(safe(words), area.width, 8.5).draw(pen, area.x, area.y + 13.0)


def _draw_corners(pen: Pen, frame: Area) -> None:
    """Draw marks outside the four corners, the same on both pages, to lay one on the other."""
    for x, outward in ((frame.x, -1.0), (frame.right, 1.0)):
        for y, upward in ((frame.y, -1.0), (frame.bottom, 1.0)):
            pen.rule(x + 3.0 * outward, y, x + 10.0 * outward, y, 0.4)
            pen.rule(x, y + 3.0 * upward, x, y + 10.0 * upward, 0.4)


def _draw_scale_bar(pen: Pen, area: Area) -> None:
    long = SCALE_BAR_MM * MM
    y = area.bottom - 6.0
    pen.rule(area.x, y, area.x + long, y, 0.8)
    for x in (area.x, area.x + long):
        pen.rule(x, y - 3.0, x, y + 3.0, 0.8)
    pen.word(area.x + long + 6.0, y + 3.0, f"{SCALE_BAR_MM:.0f} mm", 8.5, level=SOFT)
    pen.word_right(area.right, y + 3.0, "cut, punch, dab, compare, correct", 8.5, level=INK)
