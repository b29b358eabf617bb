"""The workbench: one box in the making, changed step by step, every step safe on the disk."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from refmatch.dabs.box_card import compose
from refmatch.dabs.calibrate import Calibrated
from refmatch.dabs.camera import lamp, light_said
from refmatch.dabs.card import Card, PaintWindow
from refmatch.dabs.patch import Patch
from refmatch.dabs.photographs import (
    MOST_PARTS,
    Mend,
    Paint,
    as_painted,
    calibrated,
    check_paint,
    dabs_by_card,
    flags_of,
    is_empty,
    mended,
)
from refmatch.disk import locked, write_whole
from refmatch.encode import Json
from refmatch.errors import BoxError, PaintingError, RefmatchError, StaleRevision, UsageError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_to_toml, write_box
from refmatch.painting.store import saved_photo
from refmatch.photo.hole import Hole
from refmatch.web.bench.files import (
    KEY_LETTERS,
    Folder,
    MadeDab,
    MadeNote,
    Notes,
    PageMended,
    PageReading,
    PhotoNote,
    Readings,
    card_digest,
    digest_of_text,
    revision_of,
)
from refmatch.web.bench.state import bench_shown
from refmatch.web.fields import Fields

FEWEST_DABS = 4


def make(
    pages: Sequence[PageMended], notes: Notes, card: Card, box: Box, name: str
) -> tuple[Box, MadeNote]:
    """Fit camera and paints to all dabs that count; return the box and what is to be noted of it.

    Raises:
        BoxError: there are too few. UsageError: no such light.
    """
    reads = [replace(page.read, dabs=tuple(page.dabs.values())) for page in pages]
    left_out = _left_out(notes.mends, card)
    counting = [
        number
        for page in pages
        for number, dab in page.dabs.items()
        if dab.window not in left_out and not is_empty(dab)
    ]
    if len(counting) < FEWEST_DABS:
        raise BoxError("too_few_dabs", count=len(counting), fewest=FEWEST_DABS)
    photographed = dabs_by_card(reads, card, box, left_out=left_out)
    light = light_said(notes.light) if notes.light else None
    result = calibrated(box, photographed, light, name)
    note = MadeNote(
        made_of=notes.made_of(card_digest(card)),
        box_digest=digest_of_text(box_to_toml(result.box)),
        dabs=_made_dabs(counting, result),
        flags=(*photographed.flags, *flags_of(result)),
    )
    return result.box, note


def _left_out(mends: Mapping[int, Mend], card: Card) -> frozenset[PaintWindow]:
    return frozenset(
        as_painted(card.windows[number], mend) for number, mend in mends.items() if mend.left_out
    )


def _made_dabs(counting: Sequence[int], result: Calibrated) -> tuple[MadeDab, ...]:
    rows = zip(counting, result.camera_lab, result.fit_lab, result.misses, strict=True)
    return tuple(
        MadeDab(
            number,
            tuple(round(float(value), 4) for value in as_seen),
            tuple(round(float(value), 4) for value in as_found),
            round(miss, 4),
        )
        for number, as_seen, as_found, miss in rows
    )


# What a painter can say of a box in the making: one function a change, a line each in `CHANGES`.
#
# A change takes the notes and gives new ones. It reads no photo but to see that a spot holds paint.

MOST_PX = 1e5


@dataclass(frozen=True, eq=False)
class Table:
    """What a change may look at: the card, and a way to try a spot of a page's photo."""

    card: Card
    try_spot: Callable[[int, Hole], object]


Change = Callable[[Notes, Fields, Table], Notes]


def leave_out(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Let a dab not count: {dab, left_out}."""
    number, mend, _ = _dab(notes, fields, table)
    return notes.with_mend(number, replace(mend, left_out=fields.truth("left_out")))


def painted(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Say what paint a dab really is: {dab, tube, parts, white_parts}."""
    number, mend, window = _dab(notes, fields, table)
    paint = Paint(
        tube=fields.text("tube"),
        parts=round(fields.number("parts", 1, MOST_PARTS)),
        white_parts=round(fields.number("white_parts", 0, MOST_PARTS)),
    )
    check_paint(paint, table.card)
    printed = Paint(window.tube, window.parts, window.white_parts)
    as_printed = not window.other and paint == printed
    return notes.with_mend(number, replace(mend, paint=None if as_printed else paint))


def point(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Point to where a dab's paint is, in pixels of its photo: {dab, x_px, y_px, diameter_px}."""
    number, mend, window = _dab(notes, fields, table)
    spot = Hole(
        x_px=round(fields.number("x_px", 0.0, MOST_PX), 1),
        y_px=round(fields.number("y_px", 0.0, MOST_PX), 1),
        diameter_px=round(fields.number("diameter_px", 4.0, MOST_PX), 1),
    )
    table.try_spot(window.page, spot)
    return notes.with_mend(number, replace(mend, spot=spot))


def put_back(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Take all back that was said of a dab: {dab}."""
    number, _, _ = _dab(notes, fields, table)
    return notes.with_mend(number, Mend())


def away(notes: Notes, fields: Fields, table: Table) -> Notes:
    """Take a photo away: {photo}. What was said of its dabs stays, but for where they lie."""
    key = fields.text("photo")
    gone = [photo for photo in notes.photos if photo.key == key]
    if not gone:
        raise UsageError("photo_gone")
    kept = tuple(photo for photo in notes.photos if photo.key != key)
    return without_spots(replace(notes, photos=kept), table.card, gone[0].page)


def light(notes: Notes, fields: Fields, _: Table) -> Notes:
    """Say in which light the photos were taken: {light: "5500", "A", "LED"}, or {} for unknown."""
    said = fields.text("light") if "light" in fields else None
    if said is not None:
        lamp(light_said(said))  # refused there where there is none such
    return replace(notes, light=said)


CHANGES: dict[str, Change] = {
    "leave_out": leave_out,
    "painted": painted,
    "point": point,
    "put_back": put_back,
    "away": away,
    "light": light,
}


def without_spots(notes: Notes, card: Card, page: int) -> Notes:
    """Forget where the dabs of a page lie: another photo shows them elsewhere."""
    for number, mend in notes.mends.items():
        if card.windows[number].page == page:
            notes = notes.with_mend(number, replace(mend, spot=None))
    return notes


def _dab(notes: Notes, fields: Fields, table: Table) -> tuple[int, Mend, PaintWindow]:
    number = round(fields.number("dab", 0, len(table.card.windows) - 1))
    return number, notes.mends.get(number, Mend()), table.card.windows[number]


class Workbench:
    """One box in the making. Safe to ask from several threads.

    A change is made to the state that ``revision`` names, as `bench` gave it; None stands for
    whatever there is. Who comes later, with a state that is no more, is told, and nothing is done.
    """

    def __init__(self, key: str, path: Path, readings: Readings) -> None:
        self.key, self.folder = key, Folder(path)
        self._readings = readings
        self._lock = threading.RLock()  # never held while a photo is read or a box is fitted

    def bench(self) -> Json:
        """Return all of it as it stands.

        Raises:
            BoxError, CardError, PhotoError: something of it is damaged.
        """
        return self._shown(self.folder.notes())

    def change(self, do: str, fields: Mapping[str, Any], revision: str | None = None) -> Json:
        """Make one change, keep it, and return all as it then stands.

        Raises:
            UsageError: no such change, or a field is wrong. CardError: no paint is there.
            StaleRevision: it was changed since ``revision``.
        """
        if do not in CHANGES:
            raise UsageError("no_such_bench_change", change=do)
        table = Table(self.folder.card(), self._try_spot)
        return self._noted(lambda notes: CHANGES[do](notes, Fields(fields), table), revision)

    def new_card(self, paper: str, grey_lstar: float, revision: str | None = None) -> Json:
        """Lay the card out for another paper, or for another grey card.

        Raises:
            UsageError: no such paper or L*; or photos show the card on the other paper.
            StaleRevision: it was changed since ``revision``.
        """
        card = compose(self.folder.box(), paper, grey_lstar)
        with self._lock, locked(self.folder.path):
            old, notes = self._standing(revision)
            if card.paper != old.paper and notes.photos:
                raise UsageError("photos_on_other_paper")
            if card != old:
                self.folder.write_card(card)
        return self.bench()

    def card_pdf(self) -> tuple[str, bytes]:
        """Return the name of the card's box, and the card as PDF."""
        from refmatch.sheet import card_pages  # ReportLab is slow to import

        card = self.folder.card()
        return card.box_name, card_pages.write(card)

    def add_photo(self, path: Path, revision: str | None = None) -> Json:
        """Read the photo of a page and keep it, in place of another of the same page.

        Raises:
            PhotoError: it is no photo. CardError: the card is not found in it, or not usable.
            StaleRevision: it was changed since ``revision``.
        """
        self._standing(revision)  # at once, since reading takes a while
        digest = saved_photo(path).sha256[:KEY_LETTERS]
        page = self._readings.page(path, digest, self.folder.card()).read.page
        photo = PhotoNote(f"{digest}{path.suffix.lower()}", path.name, page)
        with self._lock, locked(self.folder.path):  # or another program could tidy the photo away
            self._standing(revision)
            _copy(path, self.folder.photo(photo.file))
            return self._noted(lambda notes: self._with_photo(notes, photo))

    def picture(self, key: str) -> bytes:
        """Return a photo as the page shows it, JPEG.

        Raises:
            PaintingError: there is no such photo any more.
        """
        for photo in self.folder.notes().photos:
            if photo.key == key:
                return self._reading(photo, self.folder.card()).picture
        raise PaintingError("photo_gone")

    def make(self, name: str, revision: str | None = None) -> Json:
        """Make the box, and keep it.

        Raises:
            UsageError: it has no name. BoxError: too few dabs count.
            StaleRevision: it was changed since ``revision``.
        """
        if not name:
            raise UsageError("box_without_name")
        card, notes = self._standing(revision)
        pages = self._pages(notes, card)
        made, note = make(pages, notes, card, self.folder.box(), name)
        with self._lock, locked(self.folder.path):
            self._standing(revision)
            is_first = not self.folder.made_path.exists()
            write_box(self.folder.made_path, made)
            try:
                return self._noted(lambda now: replace(now, made=note))
            except RefmatchError:
                if is_first:  # what was refused would lie on the shelf
                    with contextlib.suppress(OSError):
                        self.folder.made_path.unlink()
                raise

    def _standing(self, revision: str | None) -> tuple[Card, Notes]:
        card, notes = self.folder.card(), self.folder.notes()
        if revision not in (None, revision_of(card, notes)):
            raise StaleRevision("bench_changed_in_another_window")
        return card, notes

    def _noted(self, change: Callable[[Notes], Notes], revision: str | None = None) -> Json:
        _, before = self._standing(revision)
        change(before)  # what takes long is looked up here, before anybody has to wait
        with self._lock, locked(self.folder.path):
            _, now = self._standing(revision)
            notes = change(now)
            self.folder.write_notes(notes)
        return self._shown(notes)

    def _with_photo(self, notes: Notes, photo: PhotoNote) -> Notes:
        others = [other for other in notes.photos if other.page != photo.page]
        photos = tuple(sorted((*others, photo), key=lambda other: other.page))
        if photo.key in {other.key for other in notes.photos}:
            return replace(notes, photos=photos)
        return without_spots(replace(notes, photos=photos), self.folder.card(), photo.page)

    def _try_spot(self, page: int, spot: Hole) -> Patch:
        for photo in self.folder.notes().photos:
            if photo.page == page:
                return self._patch(photo, self.folder.card(), spot)
        raise UsageError("no_photo_of_page")

    def _shown(self, notes: Notes) -> Json:
        card = self.folder.card()
        readings = {photo.key: self._reading(photo, card) for photo in notes.photos}
        return bench_shown(self.key, self.folder, notes, self._pages(notes, card), readings)

    def _pages(self, notes: Notes, card: Card) -> tuple[PageMended, ...]:
        return tuple(self._page(photo, notes, card) for photo in notes.photos)

    def _page(self, photo: PhotoNote, notes: Notes, card: Card) -> PageMended:
        read = self._reading(photo, card).read
        dabs = {}
        for dab in read.dabs:
            number = card.windows.index(dab.window)
            mend = notes.mends.get(number, Mend())
            patch = self._patch(photo, card, mend.spot) if mend.spot else None
            dabs[number] = mended(dab, mend, card, read.paper, patch)
        return PageMended(read, dabs)

    def _reading(self, photo: PhotoNote, card: Card) -> PageReading:
        return self._readings.page(self.folder.photo(photo.file), photo.key, card)

    def _patch(self, photo: PhotoNote, card: Card, spot: Hole) -> Patch:
        return self._readings.patch(self.folder.photo(photo.file), photo.key, card, spot)


def _copy(path: Path, to: Path) -> None:
    """Copy a photo whole or not at all."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise PaintingError("photo_of_painting_unread", path=str(path)) from error
    write_whole(to, data)
