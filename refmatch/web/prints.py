"""The plan and the sheets of a painting on the desk, kept while the painting stays as it is."""

from __future__ import annotations

import contextlib
import io
import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from typing import TypeVar

from refmatch.encode import Json
from refmatch.encode.plan_form import plan_form
from refmatch.errors import OutputError, PaintingError, UsageError
from refmatch.painting.asked import AskedPlan
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.sheet.compose import AS_USUAL, Wanted, compose
from refmatch.sheet.formats import FORMATS
from refmatch.sheet.squeeze import round_the_palette
from refmatch.web.desk import Desk
from refmatch.web.page import part

KEPT_PLANS, KEPT_SHEETS = 8, 4
"""So many are kept; a change of the painting makes the next one."""

K = TypeVar("K")
V = TypeVar("V")


class Plans:
    """Makes plans, one at a time, and keeps the last few. Safe to ask from several threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[tuple[str, int, AskedPlan], Painting] = OrderedDict()

    def plan(self, desk: Desk, tubes: int | None, *, keyed: bool) -> Painting:
        """Return the painting as it is by a plan, for the canvas that it is asked for.

        Raises:
            UsageError: no hole, or not so many tubes. BoxError: no white, or no colour.
        """
        with self._lock:
            wanted = plan_wanted(desk, tubes, keyed=keyed)
            key = (desk.key, desk.sitting().painting.revision, wanted)
            if key not in self._kept:
                self._kept[key] = desk.planned(wanted)
            return _used(self._kept, key, KEPT_PLANS)


def plan_wanted(desk: Desk, tubes: int | None, *, keyed: bool) -> AskedPlan:
    """Return a plan to be looked at; tubes that the painting's own plan must hold stay in it."""
    own = desk.asked.plan
    return AskedPlan(keyed=keyed, tubes=tubes, keep=own.keep if own else ())


def plan_shown(painting: Painting) -> Json:
    """Return the plan of a painting; ``order`` is that in which the palette is laid out."""
    asked, plan, owned = painting.asked, painting.plan, box_of(painting)
    assert plan is not None
    chosen, canvas = plan.advice.chosen.tubes, asked.canvas
    laid_out = [tube for tube in painting.table if tube.name in chosen]
    return {
        "revision": painting.revision,
        "keyed": asked.plan is None or asked.plan.keyed,
        "tubes": len(chosen),
        "most_tubes": len(owned.without(asked.away).tubes),
        "order": [tube.name for tube in round_the_palette(laid_out)],
        "canvas_cm": [canvas.width_cm, canvas.height_cm] if canvas else None,
        "plan": part(plan_form(plan, owned, layers=painting.layers)),
    }


def _used(kept: OrderedDict[K, V], key: K, most: int) -> V:
    """Return what is kept under a key as the last used; what was longest not used goes."""
    kept.move_to_end(key)
    while len(kept) > most:
        kept.popitem(last=False)
    return kept[key]


PIXELS_PER_POINT = 2.0
"""A page of A4 or Letter is then about 1200 pixels wide."""

PAPERS = ("a4", "letter")

PLANS = {"": None, "keyed": True, "as-shot": False}
"""Which plan the sheet is by: the painting's own if any, one with the key, or one without."""


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
        self._kept: OrderedDict[tuple[str, int, str, str, Wanted], Sheet] = OrderedDict()

    def sheet(self, desk: Desk, paper: str, plan: str = "", wanted: Wanted = AS_USUAL) -> Sheet:
        """Return the sheet of the painting as it stands; ``plan`` is one of `PLANS`.

        Raises:
            UsageError: no such paper, no such plan, or no such pages.
        """
        if plan not in PLANS:
            raise UsageError("no_such_plan")
        if paper not in PAPERS:
            raise UsageError("no_such_paper", paper=paper, known=PAPERS)
        with self._lock:
            key = (desk.key, desk.sitting().painting.revision, paper, plan, wanted)
            if key not in self._kept:
                made = _made(desk, paper, plan, wanted)
                key = (desk.key, made.revision, paper, plan, wanted)  # it may be newer by now
                self._kept[key] = made
            return _used(self._kept, key, KEPT_SHEETS)

    def hand_out(self, desk: Desk, paper: str, plan: str = "", wanted: Wanted = AS_USUAL) -> Sheet:
        """Return the sheet to take away, put into the record where that can be written.

        Raises:
            UsageError: no such paper.
        """
        sheet = self.sheet(desk, paper, plan, wanted)
        with contextlib.suppress(OutputError):  # a folder that cannot be written can be printed
            desk.note_sheet(f"{sheet.title}.pdf", paper)
        return sheet

    def page(
        self, desk: Desk, paper: str, number: int, plan: str = "", wanted: Wanted = AS_USUAL
    ) -> bytes:
        """Return a page of the sheet as PNG; the cover is page 1.

        Raises:
            UsageError: no such paper. PaintingError: the sheet has no such page.
        """
        sheet = self.sheet(desk, paper, plan, wanted)
        if not 1 <= number <= sheet.pages:
            raise PaintingError("no_such_page", page=number, pages=sheet.pages)
        with self._lock:
            if number not in sheet._drawn:
                sheet._drawn[number] = _page(sheet.data, number)
            return sheet._drawn[number]


def _made(desk: Desk, paper: str, plan: str, wanted: Wanted) -> Sheet:
    painting, pictures = desk.to_print()
    keyed, own = PLANS[plan], painting.asked.plan
    if keyed is not None and (own is None or own.keyed != keyed):
        painting = desk.planned(plan_wanted(desk, None, keyed=keyed))
    data = FORMATS["pdf"](compose(painting, pictures, wanted), paper)
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
