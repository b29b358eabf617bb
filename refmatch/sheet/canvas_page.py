"""The page of the canvas beside its reference: both, their values, and what is off."""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image
from reportlab.pdfgen.canvas import Canvas as Paper

from refmatch.dabs.card import size_mm
from refmatch.sheet.blocks import Row, Stack, Text, draw_head, safe, strong
from refmatch.sheet.content import CanvasRow, CanvasShown
from refmatch.sheet.pen import LINE, MM, PLAIN, SOFT, Area, Pen, register, visible

HEAD, GAP, CAPTION = 20.0, 8.0, 13.0
"""Points for the line at the top, between pictures, and for the words over a pair of them."""

SWATCH = 9.0


@dataclass(frozen=True, eq=False)
class CanvasPage:
    """Pairs of pictures, what is said, and a line for each mass and hole."""

    canvas: CanvasShown
    area: Area
    title: str

    def draw(self, pen: Pen) -> None:
        """Draw the head, the pictures as large as the words leave them room, and the words."""
        area = self.area
        draw_head(pen, area, self.title, "the canvas against its reference")
        words = self._words()
        table = _table(self.canvas.rows, area.width)
        room = area.height - HEAD - words.height - table.height - 2.0 * GAP
        y = self._pairs(pen, area.y + HEAD, room) + GAP
        words.draw(pen, area.x, y)
        table.draw(pen, area.x, y + words.height + GAP)

    def _words(self) -> Stack:
        across = self.area.width
        said = (Text(safe(line), across, 9.5) for line in self.canvas.words)
        return Stack((Text(strong(self.canvas.heading), across, 10.5), *said), gap=2.0)

    def _pairs(self, pen: Pen, y: float, room: float) -> float:
        """Draw the pairs one below the other; return where they end."""
        area, pairs = self.area, self.canvas.pictures
        if not pairs:
            return y
        with Image.open(io.BytesIO(pairs[0][1])) as picture:
            aspect = picture.width / picture.height
        across = (area.width - GAP) / 2.0
        high = min(across / aspect, room / len(pairs) - CAPTION - 2.0)
        wide = high * aspect
        left = area.x + (area.width - 2.0 * wide - GAP) / 2.0
        for words, reference, canvas in pairs:
            pen.word(left, y + 9.0, f"reference, {words}", 8.0, level=SOFT)
            pen.word(left + wide + GAP, y + 9.0, "canvas", 8.0, level=SOFT)
            pen.picture(Area(left, y + CAPTION, wide, high), reference)
            pen.picture(Area(left + wide + GAP, y + CAPTION, wide, high), canvas)
            y += CAPTION + high + 2.0
        return y


class _Swatches:
    """The reference's colour and the canvas', edge to edge."""

    height = SWATCH + 2.0

    def __init__(self, row: CanvasRow) -> None:
        self.row = row

    def draw(self, pen: Pen, x: float, y: float) -> None:
        pen.paint(Area(x, y + 1.0, 1.6 * SWATCH, SWATCH), self.row.target)
        pen.paint(Area(x + 1.6 * SWATCH, y + 1.0, 1.6 * SWATCH, SWATCH), self.row.seen)
        pen.frame(Area(x, y + 1.0, 3.2 * SWATCH, SWATCH), 0.3, LINE)


def _table(rows: tuple[CanvasRow, ...], width: float) -> Stack:
    columns = (0.0, 36.0, 0.42 * width, 0.49 * width, 0.57 * width)

    def line(cells: tuple[str, str, str, str], lead: _Swatches | None) -> Row:
        ends = (*columns[2:], width)
        texts = tuple(
            (at, Text(safe(words), ends[number] - at - 4.0, 8.5, most_lines=2))
            for number, (at, words) in enumerate(zip(columns[1:], cells, strict=True))
        )
        return Row(((0.0, lead), *texts) if lead else texts)

    head = line(("", "value", "canvas", ""), None)
    lines = (
        line((row.label, row.value, row.canvas_value, row.verdict), _Swatches(row)) for row in rows
    )
    return Stack((head, *lines), gap=1.0)


def pages(canvas: CanvasShown | None, title: str, area: Area) -> tuple[CanvasPage, ...]:
    """Return the page; none where the canvas was never looked at."""
    return () if canvas is None else (CanvasPage(canvas, area, title),)


def write(canvas: CanvasShown, title: str, paper: str = "a4") -> bytes:
    """Return the page by itself as PDF.

    Raises:
        UsageError: no such paper.
    """
    width, height = (side * MM for side in size_mm(paper))
    register()
    stream = io.BytesIO()
    sheet = Paper(stream, pagesize=(width, height), invariant=1, initialFontName=PLAIN)
    sheet.setTitle(visible(title))
    sheet.setSubject("The canvas against its reference")
    sheet.setCreator("refmatch")
    for page in pages(canvas, title, Area(0.0, 0.0, width, height).inset(12.0 * MM)):
        page.draw(Pen(sheet, width, height))
        sheet.showPage()
    sheet.save()
    return stream.getvalue()
