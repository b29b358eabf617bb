"""The picture as it goes onto the canvas: what of it the canvas shows, and the lines to draw by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from refmatch.canvas.compare import part_shown
from refmatch.errors import UsageError
from refmatch.painting.model import Painting
from refmatch.plan.amounts import CM_PER_INCH, Canvas
from refmatch.say.sheet import study_words
from refmatch.sheet.content import GridLine, Study

GRIDS = ("", "thirds", "cm", "in", "none")
"""The lines there may be; "" for those of the canvas where one is known, else none."""

MOST_SQUARES = 10
"""Along the longer side: more are no help to the eye (our own choice)."""

SQUARES = {"cm": (1.0, 2.0, 2.5, 5.0, 10.0, 20.0, 25.0, 50.0), "in": (0.5, 1, 2, 3, 4, 6, 12, 24)}
"""Sides of squares that are easily measured off, in their unit."""

THIRDS: tuple[GridLine, ...] = (GridLine(1.0 / 3.0, "⅓"), GridLine(2.0 / 3.0, "⅔"))

CM_IN = {"cm": 1.0, "in": CM_PER_INCH}


def check_grid(grid: str, canvas: Canvas | None) -> None:
    """Refuse lines that cannot be drawn.

    Raises:
        UsageError: there is no such grid, or its squares are of a canvas of no known size.
    """
    if grid not in GRIDS:
        raise UsageError("no_such_grid", grid=grid)
    if grid in CM_IN and canvas is None:
        raise UsageError("grid_without_canvas")


def study_of(painting: Painting, grid: str) -> Study | None:
    """Return the study of a painting for its canvas, or its photo's own shape where none is known.

    None where no lines are wanted.
    """
    canvas = painting.asked.canvas
    if grid == "none" or (not grid and canvas is None):
        return None
    frame = painting.frame
    canvas = canvas and _as_the_photo_lies(canvas, frame.width_px >= frame.height_px)
    own = frame.width_px / frame.height_px
    aspect = canvas.width_cm / canvas.height_cm if canvas else own
    left, top, width, height = part_shown(own, canvas)
    across = down = THIRDS
    square = ""
    if canvas is not None and grid != "thirds":
        unit = grid or ("in" if canvas.in_inches else "cm")
        side = _square(canvas, unit)
        across = tuple(_lines(canvas.width_cm / CM_IN[unit], side))
        down = tuple(_lines(canvas.height_cm / CM_IN[unit], side))
        square = f"{side:g} {unit}"
    return Study(
        left=left,
        top=top,
        width=width,
        height=height,
        aspect=aspect,
        across=across,
        down=down,
        words=study_words(canvas, square, 1.0 - width * height),
    )


def _as_the_photo_lies(canvas: Canvas, is_wide: bool) -> Canvas:
    """Return the canvas turned as the photo lies: in the trade "16 x 20" goes either way."""
    if canvas.width_cm != canvas.height_cm and (canvas.width_cm > canvas.height_cm) != is_wide:
        return replace(canvas, width_cm=canvas.height_cm, height_cm=canvas.width_cm)
    return canvas


def _square(canvas: Canvas, unit: str) -> float:
    """Return the side of a square in the unit: as it was asked for, else one easily measured."""
    if canvas.grid_cm is not None:
        return canvas.grid_cm / CM_IN[unit]
    longer = max(canvas.width_cm, canvas.height_cm) / CM_IN[unit]
    sides = SQUARES[unit]
    return next((side for side in sides if longer / side <= MOST_SQUARES + 0.01), sides[-1])


def _lines(side: float, square: float) -> Iterator[GridLine]:
    count = 1
    while count * square < side - 1e-6:
        yield GridLine(count * square / side, f"{count * square:g}")
        count += 1
