"""What the sheet tells of the canvas: the last sitting, in words, a table and pictures."""

from __future__ import annotations

from collections.abc import Mapping

from refmatch.canvas.compare import STEP
from refmatch.colorimetry.hues import munsell_value
from refmatch.painting.canvas import CANVAS, REFERENCE, changes_at, seen_at
from refmatch.painting.model import Painting
from refmatch.say.canvas import judged_by, named, sentences, verdict_words
from refmatch.say.sentence import capital
from refmatch.say.sheet import day
from refmatch.sheet.content import CanvasRow, CanvasShown

ROWS: tuple[tuple[str, str], ...] = (
    ("", "as it is to be painted"),
    ("-3", "in three values"),
    ("-5", "in five values"),
)
"""The pairs of pictures, by the ending of their names, and what stands over them."""

MOST_ROWS = 22
"""Masses and holes in the table; what is smaller is left to the prompt."""


def shown(painting: Painting, pictures: Mapping[str, bytes]) -> CanvasShown | None:
    """Return what the page tells of the last sitting, None where there was none."""
    if not painting.canvases or CANVAS not in pictures:
        return None
    look, sitting = painting.canvases[-1], len(painting.canvases)
    regions = seen_at(look)
    parts = [one for one in regions if one.region.kind != STEP]
    parts.sort(key=lambda one: -one.region.share)
    return CanvasShown(
        heading=f"Sitting {sitting}, {day(look.date)}, {judged_by(look.way)}",
        words=sentences(regions, *changes_at(painting, sitting)),
        rows=tuple(
            CanvasRow(
                capital(named(one).removeprefix("the ")),
                one.region.target_lab,
                one.lab,
                f"{float(munsell_value(one.region.target_lab)):.1f}",
                f"{float(munsell_value(one.lab)):.1f}",
                verdict_words(one),
            )
            for one in parts[:MOST_ROWS]
        ),
        pictures=tuple(
            (words, pictures[REFERENCE + ending], pictures[CANVAS + ending])
            for ending, words in ROWS
            if REFERENCE + ending in pictures and CANVAS + ending in pictures
        ),
    )
