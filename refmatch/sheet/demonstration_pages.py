"""Demonstrations as PDF: each strip with its expected colours, the parts, and a row to paint."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from refmatch.dabs.card import size_mm
from refmatch.disk import check_folder_of, write_whole
from refmatch.errors import UsageError
from refmatch.painting.outputs import check_replaceable
from refmatch.plan.demonstrations import Demonstrated, Demonstration
from refmatch.plan.strips import Strip
from refmatch.say.demonstrations import (
    INTRO,
    NO_MIX,
    SPOILT,
    effect_words,
    paint_words,
    see_words,
    step_value_words,
    strip_words,
    title_words,
)
from refmatch.say.sentence import sentence_of
from refmatch.sheet.blocks import Block, BlocksPage, Stack, Text, safe, strong
from refmatch.sheet.pdf import MARGIN
from refmatch.sheet.pen import (
    BOLD,
    GROUND,
    LINE,
    MM,
    PLAIN,
    SOFT,
    Area,
    Pen,
    fitted,
    register,
    visible,
)
from refmatch.sheet.slip import WarningRow

NAMES_MM, RIM = 31.0, 6.0
"""Width of the names at the left; points of grey rim."""

FORMS = ((16.0, 20.0), (13.0, 10.0))
"""Height of colours and of places to paint in mm, and points between demonstrations; the second
where it saves a page."""

ROW, SMALL_ROW, GAP = 13.0, 10.0, 4.0
"""Points for a row of parts, for one of words, and between rows."""

WIDEST_MM = 22.0
"""The most that a step is wide: a few steps are not drawn across the page."""


@dataclass(frozen=True, eq=False)
class StripBlock:
    """A strip: the colours edge to edge on grey, what to mix below each, and places to paint.

    ``high`` is how high the colours are, in points. ``first`` is the place of the first of so
    many ``columns``, the same for the strips of one demonstration, so that like values stand below
    each other.
    """

    strip: Strip
    width: float
    columns: int
    first: int
    high: float

    @property
    def height(self) -> float:
        """Height in points."""
        parts = ROW * len(self.strip.paints)
        return self._swatch + GAP + parts + 2.0 * SMALL_ROW + GAP + self.high

    @property
    def _swatch(self) -> float:
        return self.high + 2.0 * RIM

    @property
    def _step_width(self) -> float:
        across = (self.width - NAMES_MM * MM - 2.0 * RIM) / self.columns
        return min(across, WIDEST_MM * MM)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the colours, the figures below, and the empty places."""
        across, places = self._step_width, [step.place for step in self.strip.steps]
        left = x + NAMES_MM * MM + RIM - self.first * across
        long = (max(places) - min(places) + 1) * across + 2.0 * RIM
        pen.grey(Area(left + min(places) * across - RIM, y, long, self._swatch), GROUND)
        bottom = y + self._swatch + GAP
        self._draw_names(pen, x, bottom)
        for place in set(range(min(places), max(places))) - set(places):
            middle = left + (place + 0.5) * across
            pen.word_middle(middle, y + self._swatch / 2.0 + 2.5, NO_MIX, 7.0)
        for step in self.strip.steps:
            column = left + step.place * across
            pen.paint(Area(column, y + RIM, across, self.high), step.lab)
            middle, line = column + across / 2.0, bottom + ROW - 3.0
            for part in step.parts:
                figure = str(part) if part else "–"
                pen.word_middle(middle, line, figure, 11.0, BOLD if part else PLAIN)
                line += ROW
            line += SMALL_ROW - ROW
            pen.word_middle(middle, line, step_value_words(step), 7.5, level=SOFT)
            word = fitted(effect_words(step), BOLD, 7.5, across - 2.0)
            pen.word_middle(middle, line + SMALL_ROW, word, 7.5, BOLD)
            place_to_paint = y + self.height - self.high
            pen.frame(Area(column, place_to_paint, across, self.high), 0.5, LINE)

    def _draw_names(self, pen: Pen, x: float, y: float) -> None:
        room = NAMES_MM * MM - 4.0
        for line, paint in enumerate(self.strip.paints, start=1):
            name = fitted(paint_words(paint), PLAIN, 8.5, room)
            pen.word(x, y + line * ROW - 3.0, name, 8.5)
        below = y + ROW * len(self.strip.paints) + 2.0 * SMALL_ROW + GAP
        pen.word(x, below + self.high / 2.0 + 3.0, "yours", 8.5, level=SOFT)


def demonstration_block(
    shown: Demonstration, of: Demonstrated, width: float, swatch_mm: float
) -> Stack:
    """Return all that is shown of one demonstration: claim, what to see, strips, cautions."""
    places = [step.place for strip in shown.strips for step in strip.steps]
    first, columns = min(places), max(places) - min(places) + 1
    blocks: list[Block] = [
        Text(strong(title_words(shown, of.portions)), width, 13.0, most_lines=2),
        Text(safe(see_words(shown)), width, 9.5, most_lines=3),
    ]
    for strip in shown.strips:
        label = Text(safe(strip_words(strip)), width, 9.0, BOLD, most_lines=2)
        drawn = StripBlock(strip, width, columns, first, swatch_mm * MM)
        blocks.append(Stack((label, drawn), gap=GAP))
    blocks += [WarningRow(sentence_of(flag), width, 8.5) for flag in shown.flags]
    return Stack(tuple(blocks), gap=8.0)


def closing_block(of: Demonstrated, width: float) -> Stack:
    """Return what is not shown and why, and the cautions of the whole."""
    hidden = [shown for shown in of.demonstrations if not shown.strips]
    blocks: list[Block] = []
    if hidden:
        blocks.append(Text(strong("Not shown"), width, 11.0))
    for shown in hidden:
        why = " ".join(sentence_of(flag) for flag in shown.flags)
        blocks.append(Text(safe(f"{title_words(shown, of.portions)}: {why}"), width, 9.0))
    blocks += [WarningRow(sentence_of(flag), width, 8.5) for flag in of.flags]
    return Stack(tuple(blocks), gap=4.0)


def pages_of(blocks: Sequence[Block], room: float, between: float) -> list[list[Block]]:
    """Share blocks over pages in their order, each whole."""
    pages: list[list[Block]] = [[]]
    left = room
    for block in blocks:
        if pages[-1] and block.height > left:
            pages.append([])
            left = room
        pages[-1].append(block)
        left -= block.height + between
    return pages


def _shared(
    of: Demonstrated, width: float, room: float, form: tuple[float, float]
) -> list[list[Block]]:
    """Return what is printed in one form, by pages."""
    shown = [one for one in of.demonstrations if one.strips]
    blocks: list[Block] = [demonstration_block(one, of, width, form[0]) for one in shown]
    blocks.append(closing_block(of, width))
    return pages_of([block for block in blocks if block.height > 0.0], room, form[1])


def write(of: Demonstrated, paper: str = "a4") -> bytes:
    """Return the demonstrations as PDF; the same ones give the same bytes on one machine.

    Raises:
        UsageError: no such paper.
    """
    width, height = (side * MM for side in size_mm(paper))
    register()
    area = Area(0.0, 0.0, width, height).inset(MARGIN)
    intro = Text(safe(f"{INTRO} {SPOILT}"), area.width, 8.5, level=SOFT)
    forms = [
        (_shared(of, area.width, BlocksPage.room(area, intro, form[1]), form), form[1])
        for form in FORMS
    ]
    shared, between = min(forms, key=lambda form: len(form[0]))
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(width, height), invariant=1, initialFontName=PLAIN)
    title = f"Demonstrations: {of.box.name}"
    canvas.setTitle(visible(title))
    canvas.setSubject("Demonstrations")
    canvas.setCreator("refmatch")
    for number, blocks in enumerate(shared, start=1):
        place = f"page {number} of {len(shared)}"
        page = BlocksPage(tuple(blocks), intro, area, title, place, between)
        page.draw(Pen(canvas, width, height))
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def write_to(out: Path, of: Demonstrated, paper: str = "a4", *, replace: bool = False) -> None:
    """Write the demonstrations to a file.

    Raises:
        UsageError: not a .pdf, or no such paper. OutputError: it cannot be written, or what is
            there must stay.
    """
    if out.suffix.lower() != ".pdf":
        raise UsageError("demonstrations_are_pdf", name=out.with_suffix(".pdf").name)
    check_folder_of(out)
    check_replaceable(out, replace=replace)
    write_whole(out, write(of, paper))
