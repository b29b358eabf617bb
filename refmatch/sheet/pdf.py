"""The mixing sheet as PDF: cover, slips, then the photo and its card at one scale."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from refmatch.errors import UsageError
from refmatch.sheet import pdf_card, pdf_cover, pdf_slips
from refmatch.sheet.content import Content
from refmatch.sheet.fonts import PLAIN, register, visible
from refmatch.sheet.pen import MM, Area, Pen

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in millimetres (ISO 216; ANSI/ASME Y14.1)."""

MARGIN = 12.0 * MM
"""What the usual printers leave white, and a little more."""


def write(content: Content, paper: str = "a4") -> bytes:
    """Return the sheet as PDF; the same content gives the same bytes on one machine.

    Raises:
        UsageError: no such paper.
    """
    if paper not in PAPERS:
        raise UsageError(f"There is no paper '{paper}'; choose one of {', '.join(PAPERS)}.")
    register()
    width, height = (side * MM for side in PAPERS[paper])
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(width, height), invariant=1, initialFontName=PLAIN)
    canvas.setTitle(visible(content.title))
    canvas.setSubject("Mixing sheet")
    canvas.setCreator("refmatch")
    upright = Area(0.0, 0.0, width, height).inset(MARGIN)
    slips = pdf_slips.pages(content, upright)
    pdf_cover.draw(Pen(canvas, width, height), content, upright)
    canvas.showPage()
    for page in slips:
        page.draw(Pen(canvas, width, height))
        canvas.showPage()
    pdf_card.draw(canvas, content, (width, height), MARGIN)
    canvas.save()
    return stream.getvalue()
