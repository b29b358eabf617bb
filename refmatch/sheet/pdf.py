"""The mixing sheet as PDF: cover, easel page, plan, slips, and so on to photo and card."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace

from reportlab.pdfgen.canvas import Canvas

from refmatch.dabs.card import size_mm
from refmatch.sheet import (
    canvas_page,
    card,
    cover,
    easel_pages,
    layer_pages,
    lesson_pages,
    neutral_pages,
    plan_pages,
    slip_pages,
    study_pages,
)
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
    lying = Area(0.0, 0.0, height, width).inset(MARGIN)
    runs = (
        easel_pages.pages(content, upright),
        slip_pages.pages_below(plan_pages.pages(content, upright), content, upright),
        layer_pages.pages(content, upright),
        lesson_pages.pages(content, upright),
        neutral_pages.pages(content, upright),
        study_pages.pages(content, upright, lying),
        canvas_page.pages(content.canvas, content.title, upright),
    )
    cover.draw(Pen(canvas, width, height), content, upright)
    canvas.showPage()
    for page in (page for run in runs for page in run):
        size = (width, height) if page.area.right <= width else (height, width)
        canvas.setPageSize(size)
        page.draw(Pen(canvas, *size))
        canvas.showPage()
    if content.pages != "easel":
        for shown in by_photo(content):
            card.draw(canvas, shown, (width, height), MARGIN)
    canvas.save()
    return stream.getvalue()


def by_photo(content: Content) -> Iterator[Content]:
    """Yield the content, then it as if each of the other photos were its own: each has a card."""
    yield content
    for other in content.others:
        if other.marks:
            yield replace(
                content,
                title=f"{content.title}: {other.name}",
                photo=other.photo,
                aspect=other.aspect,
                marks=other.marks,
            )
