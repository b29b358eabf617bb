"""The mixing sheet as PDF: cover, plan, slips, nudges, then photo and card at one scale."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from refmatch.sheet import pdf_card, pdf_cover, pdf_lessons, pdf_plan, pdf_slips
from refmatch.sheet.content import Content
from refmatch.sheet.fonts import PLAIN, register, visible
from refmatch.sheet.paper import size_mm
from refmatch.sheet.pen import MM, Area, Pen

MARGIN = 12.0 * MM
"""What the usual printers leave white, and a little more."""


def write(content: Content, paper: str = "a4") -> bytes:
    """Return the sheet as PDF; the same content gives the same bytes on one machine.

    Raises:
        UsageError: no such paper.
    """
    width, height = (side * MM for side in size_mm(paper))
    register()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(width, height), invariant=1, initialFontName=PLAIN)
    canvas.setTitle(visible(content.title))
    canvas.setSubject("Mixing sheet")
    canvas.setCreator("refmatch")
    upright = Area(0.0, 0.0, width, height).inset(MARGIN)
    slips, nudges = pdf_slips.pages(content, upright), pdf_lessons.pages(content, upright)
    plan = pdf_plan.pages(content, upright)
    pdf_cover.draw(Pen(canvas, width, height), content, upright)
    canvas.showPage()
    for pages in (plan, slips, nudges):
        for page in pages:
            page.draw(Pen(canvas, width, height))
            canvas.showPage()
    pdf_card.draw(canvas, content, (width, height), MARGIN)
    canvas.save()
    return stream.getvalue()
