"""The canvas at the page: a photo laid on the table, looked at, and the last sitting shown.

What is kept is in the painting's own record: what the command line looked at is seen here, and the
other way round. Only the photo on the table is kept in memory.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from refmatch.dabs.card import GREY_CARD_LSTAR
from refmatch.dabs.spot import WET
from refmatch.dabs.spots import Places
from refmatch.encode import Json, canvas_form, envelope
from refmatch.errors import PaintingError, StaleRevision, UsageError
from refmatch.painting.canvas import CANVAS, REFERENCE, CanvasAsked, CanvasChecked, check_canvas
from refmatch.painting.store import read_pictures
from refmatch.photo.place import Place
from refmatch.sheet.canvas_content import ROWS, shown
from refmatch.web.check_table import Laid, key_of, lay
from refmatch.web.checking import place_of, place_or_none
from refmatch.web.desk import Desk
from refmatch.web.fields import Fields
from refmatch.web.page import part
from refmatch.web.remedies import REMEDIES

Given = Mapping[str, Any]

PICTURES = {name + ending: name + ending for ending, _ in ROWS for name in (REFERENCE, CANVAS)}
"""The pictures that may be asked for, by their names in the painting's folder."""

CORNERS = 4


def canvas_asked(given: Given, photo: Path, folder: Path) -> CanvasAsked:
    """Return what is asked of a photo of the canvas.

    Raises:
        UsageError: a field is missing or wrong.
    """
    fields = Fields(given)
    places = given.get("places") or {}
    if not isinstance(places, dict):
        raise UsageError("'places' must say where things lie on the photo.")
    lstar = fields.number_or_none("grey_lstar", 1.0, 100.0)
    light = fields.text("light") if "light" in fields else ""
    return CanvasAsked(
        photo=photo,
        painting=folder,
        corners=_corners(given),
        places=Places(
            neutral=place_or_none(places.get("grey")),
            neutral_lstar=GREY_CARD_LSTAR if lstar is None else lstar,
            white=place_or_none(places.get("white")),
            black=place_or_none(places.get("black")),
        ),
        light=light or None,
        state=fields.text("state") if "state" in fields else WET,
    )


def _corners(given: Given) -> tuple[Place, ...]:
    corners = given.get("corners") or []
    if not isinstance(corners, list) or len(corners) not in (0, CORNERS):
        raise UsageError("Point to all four corners of the canvas, or to none.")
    return tuple(
        place_of({**corner, "diameter_px": 1.0} if isinstance(corner, dict) else corner)
        for corner in corners
    )


class CanvasTable:
    """One painting's canvas. Safe to ask from several threads; one photo is read at a time."""

    def __init__(self) -> None:
        self._lock = threading.RLock()
        self._laid: Laid | None = None
        self._checked: CanvasChecked | None = None

    def state(self, desk: Desk) -> Json:
        """Return the photo on the table, and the last sitting as it is kept.

        ``checked`` is what the prompt says in JSON of the photo that was looked at just now.
        """
        sitting, laid, checked = desk.sitting(), self._laid, self._checked
        painting = sitting.painting
        canvas = shown(painting, read_pictures(desk.folder, painting))
        return {
            "revision": painting.revision,
            "photo": laid
            and {"key": laid.key, "width_px": laid.width_px, "height_px": laid.height_px},
            "shown": canvas and part(canvas),
            "pictures": _pictures(painting.pictures or {}),
            "checked": checked and envelope(canvas_form(checked), checked.all_flags, REMEDIES),
        }

    def lay(self, desk: Desk, path: Path) -> Json:
        """Lay a photo on the table, in place of the one that lies there.

        Raises:
            PhotoError: it is no photo; the other one stays.
        """
        laid = lay(path)
        with self._lock:
            self.put_away()
            self._laid = laid
        return self.state(desk)

    def look(self, desk: Desk, given: Given, window: str = "") -> Json:
        """Hold the photo on the table against the reference, and keep the sitting.

        Raises:
            UsageError: a field is missing or wrong. PhotoError, HoleError, BoxError,
            PaintingError, OutputError: as `painting.canvas.check_canvas` says.
        """
        with self._lock:
            laid = self._laid
            if laid is None or laid.key != Fields(given).text("photo"):
                raise UsageError("photo_not_on_table")
            asked = canvas_asked(given, laid.path, desk.folder)
            try:
                self._checked = check_canvas(asked)
            except StaleRevision:  # changed while the photo was read: once more
                self._checked = check_canvas(asked)
            desk.take_on(window)
        return self.state(desk)

    def photo(self, key: str) -> bytes:
        """Return the photo on the table, JPEG.

        Raises:
            PaintingError: there is none of that key.
        """
        laid = self._laid
        if laid is None or laid.key != key:
            raise PaintingError("photo_put_away")
        return laid.picture

    def put_away(self) -> None:
        """Remove the photo on the table."""
        laid, self._laid, self._checked = self._laid, None, None
        if laid is not None:
            laid.put_away()


def picture(desk: Desk, name: str) -> bytes:
    """Return a picture of the last sitting, of the canvas or of its reference.

    Raises:
        PaintingError: there is none of that name.
    """
    pictures = read_pictures(desk.folder, desk.sitting().painting)
    if name not in PICTURES or name not in pictures:
        raise PaintingError("photo_put_away")
    return pictures[name]


def _pictures(marks: Mapping[str, Any]) -> Json:
    """Return the pictures there are, by name, each with a word that changes when it does."""
    return {name: key_of(marks[name].sha256) for name in PICTURES if name in marks}


MOST_KEPT = 6
"""So many paintings keep a photo of the canvas on the table; the oldest goes first."""


class CanvasTables:
    """Safe to ask from several threads."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, CanvasTable] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, key: str) -> CanvasTable:
        """Return the table of a painting; the same for everybody who asks."""
        with self._lock:
            table = self._kept.setdefault(key, CanvasTable())
            self._kept.move_to_end(key)
            gone = [self._kept.popitem(last=False)[1] for _ in range(len(self._kept) - MOST_KEPT)]
        for old in gone:
            old.put_away()
        return table
