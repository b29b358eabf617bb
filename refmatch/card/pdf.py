"""A card as PDF: a page that says how, then each page of the frame."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from refmatch.card import pdf_frame, pdf_how
from refmatch.card.layout import Card, Frame, Window
from refmatch.sheet.fonts import PLAIN, register, visible
from refmatch.sheet.pen import MM, Pen


@dataclass(frozen=True)
class Drawing:
    """How a card is drawn: what it is and whose, its first page, and each page of its frame."""

    kind: str
    name: str
    how: Callable[[Pen], None]
    page: Callable[[Pen, int], None]


def write(card: Card) -> bytes:
    """Return the calibration card as PDF; the same card gives the same bytes on one machine."""
    drawing = Drawing(
        "Calibration card",
        card.box_name,
        lambda pen: pdf_how.draw(pen, pdf_how.of_calibration(card)),
        lambda pen, page: pdf_frame.draw(pen, card, page),
    )
    return printed(card, drawing)


def printed(card: Frame[Window], drawing: Drawing) -> bytes:
    """Return a card as PDF."""
    register()
    size = (card.width_mm * MM, card.height_mm * MM)
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=size, invariant=1, initialFontName=PLAIN)
    canvas.setTitle(visible(f"{drawing.kind}: {drawing.name}"))
    canvas.setSubject(drawing.kind)
    canvas.setCreator("refmatch")
    drawing.how(Pen(canvas, *size))
    canvas.showPage()
    for page in range(1, card.pages + 1):
        drawing.page(Pen(canvas, *size), page)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()
