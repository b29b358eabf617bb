"""The mixing sheet of a painting on the desk: its PDF, and its pages as pictures."""

from __future__ import annotations

import io
import threading
from collections import OrderedDict
from dataclasses import dataclass, field

from refmatch.errors import PaintingError, UsageError
from refmatch.sheet.compose import compose
from refmatch.sheet.formats import FORMATS
from refmatch.web.desk import Desk
from refmatch.web.plans import plan_wanted

PIXELS_PER_POINT = 2.0
"""A page of A4 or Letter is then about 1200 pixels wide."""

KEPT = 4
"""So many sheets are kept; a change of the painting makes the next one."""

PAPERS = ("a4", "letter")

PLANS = {"": None, "keyed": True, "as-shot": False}
"""Which plan the sheet is by: the painting's own if any, one with the key, or one without."""

Key = tuple[str, int, str, str]


@dataclass(frozen=True, eq=False)
class Sheet:
    """A sheet as PDF, and the painting's title and revision it was made of."""

    title: str
    revision: int
    data: bytes
    pages: int
    _drawn: dict[int, bytes] = field(default_factory=dict)


class Sheets:
    """Makes sheets, and keeps the last few. Safe to ask from several threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()  # PDFium may only be called by one thread at a time
        self._kept: OrderedDict[Key, Sheet] = OrderedDict()

    def sheet(self, desk: Desk, paper: str, plan: str = "") -> Sheet:
        """Return the sheet of the painting as it stands; ``plan`` is one of `PLANS`.

        Raises:
            UsageError: no such paper, or no such plan.
        """
        if plan not in PLANS:
            raise UsageError("no_such_plan")
        if paper not in PAPERS:
            raise UsageError("no_such_paper", paper=paper, known=PAPERS)
        with self._lock:
            key = (desk.key, desk.sitting().painting.revision, paper, plan)
            if key not in self._kept:
                made = _made(desk, paper, plan)
                key = (desk.key, made.revision, paper, plan)  # it may be newer by now
                self._kept[key] = made
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]

    def hand_out(self, desk: Desk, paper: str, plan: str = "") -> Sheet:
        """Return the sheet to take away, and put it into the painting's record.

        Raises:
            UsageError: no such paper. OutputError: the painting's folder cannot be written.
        """
        sheet = self.sheet(desk, paper, plan)
        desk.note_sheet(f"{sheet.title}.pdf", paper)
        return sheet

    def page(self, desk: Desk, paper: str, number: int, plan: str = "") -> bytes:
        """Return a page of the sheet as PNG; the cover is page 1.

        Raises:
            UsageError: no such paper. PaintingError: the sheet has no such page.
        """
        sheet = self.sheet(desk, paper, plan)
        if not 1 <= number <= sheet.pages:
            raise PaintingError("no_such_page", page=number, pages=sheet.pages)
        with self._lock:
            if number not in sheet._drawn:
                sheet._drawn[number] = _page(sheet.data, number)
            return sheet._drawn[number]


def _made(desk: Desk, paper: str, plan: str) -> Sheet:
    painting, pictures = desk.to_print()
    keyed, own = PLANS[plan], painting.asked.plan
    if keyed is not None and (own is None or own.keyed != keyed):
        painting = desk.planned(plan_wanted(desk, None, keyed=keyed))
    data = FORMATS["pdf"](compose(painting, pictures), paper)
    return Sheet(painting.title, painting.revision, data, _pages(data))


def _pages(data: bytes) -> int:
    import pypdfium2

    with pypdfium2.PdfDocument(data) as document:
        return len(document)


def _page(data: bytes, number: int) -> bytes:
    import pypdfium2

    stream = io.BytesIO()
    with pypdfium2.PdfDocument(data) as document:
        bitmap = document[number - 1].render(scale=PIXELS_PER_POINT)
        bitmap.to_pil().save(stream, "PNG")
    return stream.getvalue()
