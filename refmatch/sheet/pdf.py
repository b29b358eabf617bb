"""The mixing sheet as PDF: cover, plan, slips, nudges, strings to grey, then photo and card."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from refmatch.dabs.card import size_mm
from refmatch.sheet import card, cover, lesson_pages, neutral_pages, plan_pages, slip
from refmatch.sheet.content import Content
from refmatch.sheet.pen import MM, PLAIN, Area, Pen, register, visible

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
    slips, nudges = slip.pages(content, upright), lesson_pages.pages(content, upright)
    plan, greys = plan_pages.pages(content, upright), neutral_pages.pages(content, upright)
    cover.draw(Pen(canvas, width, height), content, upright)
    canvas.showPage()
    for pages in (plan, slips, nudges, greys):
        for page in pages:
            page.draw(Pen(canvas, width, height))
            canvas.showPage()
    card.draw(canvas, content, (width, height), MARGIN)
    canvas.save()
    return stream.getvalue()
