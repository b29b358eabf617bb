"""The workbench: one box in the making, changed step by step, every step safe on the disk."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from refmatch.card.bench import Bench
from refmatch.card.compose import compose
from refmatch.card.layout import Card
from refmatch.card.mend import Mend, mended
from refmatch.card.patch import Patch, Spot
from refmatch.disk import write_whole
from refmatch.errors import PaintingError, UsageError
from refmatch.paint.box_file import write_box
from refmatch.painting.store import saved_photo
from refmatch.verbs.studio.bench.changes import CHANGES, Table, without_spots
from refmatch.verbs.studio.bench.folder import Folder
from refmatch.verbs.studio.bench.making import PageMended, make
from refmatch.verbs.studio.bench.notes import Notes, PhotoNote
from refmatch.verbs.studio.bench.readings import PageReading, Readings
from refmatch.verbs.studio.bench.seeing import Seen, bench_seen
from refmatch.verbs.studio.fields import Fields

KEY_LETTERS = 20


class Workbench:
    """One box in the making. Safe to ask from several threads; of two changes the last counts."""

    def __init__(self, key: str, path: Path, readings: Readings) -> None:
        self.key, self.folder = key, Folder(path)
        self._readings = readings
        self._lock = threading.RLock()  # never held while a photo is read or a box is fitted

    def bench(self) -> Bench:
        """Return all of it as it stands.

        Raises:
            BoxError, CardError, PhotoError: something of it is damaged.
        """
        return self._seen(self.folder.notes())

    def change(self, do: str, fields: Mapping[str, Any]) -> Bench:
        """Make one change, keep it, and return all as it then stands.

        Raises:
            UsageError: no such change, or a field is wrong. CardError: no paint is there.
        """
        if do not in CHANGES:
            raise UsageError("no_such_bench_change", change=do)
        table = Table(self.folder.card(), self._try_spot)
        return self._noted(lambda notes: CHANGES[do](notes, Fields(fields), table))

    def new_card(self, paper: str, grey_lstar: float) -> Bench:
        """Lay the card out for another paper, or for another grey card.

        Raises:
            UsageError: no such paper or L*; or photos show the card on the other paper.
        """
        card = compose(self.folder.box(), paper, grey_lstar)
        with self._lock:
            old, notes = self.folder.card(), self.folder.notes()
            if card.paper != old.paper and notes.photos:
                raise UsageError("photos_on_other_paper")
            if card != old:
                self.folder.write_card(card)
        return self.bench()

    def card_pdf(self) -> tuple[str, bytes]:
        """Return the name of the card's box, and the card as PDF."""
        from refmatch.card import pdf  # ReportLab is slow to import

        card = self.folder.card()
        return card.box_name, pdf.write(card)

    def add_photo(self, path: Path) -> Bench:
        """Read the photo of a page and keep it, in place of another of the same page.

        Raises:
            PhotoError: it is no photo. CardError: the card is not found in it, or not usable.
        """
        digest = saved_photo(path).sha256[:KEY_LETTERS]
        page = self._readings.page(path, digest, self.folder.card()).read.page
        photo = PhotoNote(f"{digest}{path.suffix.lower()}", path.name, page)
        with self._lock:
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

    def make(self, name: str) -> Bench:
        """Make the box, and keep it.

        Raises:
            UsageError: it has no name. BoxError: too few dabs count.
        """
        if not name:
            raise UsageError("box_without_name")
        notes, card = self.folder.notes(), self.folder.card()
        pages = self._pages(notes, card)
        made = make(pages, notes, card, self.folder.box(), name)
        with self._lock:
            write_box(self.folder.made_path, made.box)
            return self._noted(lambda now: replace(now, made=made.note))

    def _noted(self, change: Callable[[Notes], Notes]) -> Bench:
        before = self.folder.notes()
        change(before)  # what takes long is looked up here, before anybody has to wait
        with self._lock:
            notes = change(self.folder.notes())
            self.folder.write_notes(notes)
        return self._seen(notes)

    def _with_photo(self, notes: Notes, photo: PhotoNote) -> Notes:
        others = [each for each in notes.photos if each.page != photo.page]
        photos = tuple(sorted((*others, photo), key=lambda each: each.page))
        if photo.key in {each.key for each in notes.photos}:
            return replace(notes, photos=photos)
        return without_spots(replace(notes, photos=photos), self.folder.card(), photo.page)

    def _try_spot(self, page: int, spot: Spot) -> Patch:
        for photo in self.folder.notes().photos:
            if photo.page == page:
                return self._patch(photo, self.folder.card(), spot)
        raise UsageError("no_photo_of_page")

    def _seen(self, notes: Notes) -> Bench:
        card = self.folder.card()
        readings = {photo.key: self._reading(photo, card) for photo in notes.photos}
        pages = self._pages(notes, card)
        made = self.folder.made(notes.made.box_digest) if notes.made else None
        seen = Seen(self.key, self.folder, notes, card, made)
        return bench_seen(seen, pages, readings)

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

    def _patch(self, photo: PhotoNote, card: Card, spot: Spot) -> Patch:
        return self._readings.patch(self.folder.photo(photo.file), photo.key, card, spot)


def _copy(path: Path, to: Path) -> None:
    """Copy a photo whole or not at all."""
    write_whole(to, path.read_bytes())
