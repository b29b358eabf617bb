"""The calibration card as PDF: a page that says how, then each page of the frame."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from refmatch.card import pdf_frame, pdf_how
from refmatch.card.layout import Card
from refmatch.sheet.fonts import PLAIN, register, visible
from refmatch.sheet.pen import MM, Pen


def write(card: Card) -> bytes:
    """Return the card as PDF; the same card gives the same bytes on one machine."""
    register()
    size = (card.width_mm * MM, card.height_mm * MM)
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=size, invariant=1, initialFontName=PLAIN)
    canvas.setTitle(visible(f"Calibration card: {card.box_name}"))
    canvas.setSubject("Calibration card")
    canvas.setCreator("refmatch")
    pdf_how.draw(Pen(canvas, *size), card)
    canvas.showPage()
    for page in range(1, card.pages + 1):
        pdf_frame.draw(Pen(canvas, *size), card, page)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()
