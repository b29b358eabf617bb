"""All boxes in the making, by short keys, so that no path goes to the page or comes back."""

from __future__ import annotations

import contextlib
import shutil
import threading
from pathlib import Path

from refmatch.dabs.box_card import compose, digest_of
from refmatch.dabs.card import GREY_CARD_LSTAR, Card
from refmatch.dabs.card_code import box_of, card_shown
from refmatch.disk import locked
from refmatch.encode import Json
from refmatch.errors import BoxError, RefmatchError, StaleRevision
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.photo.load import load
from refmatch.web.bench.files import CARD, NOTES, Folder, Readings, key_of, make_folder
from refmatch.web.bench.workbench import Workbench
from refmatch.web.boxes import BOXES, sample_card
from refmatch.web.shelf import Shelf, plain


class Benches:
    """The boxes in the making that lie on a shelf. Safe to ask from several threads."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._readings = Readings()
        self._open: dict[str, Workbench] = {}
        self._lock = threading.Lock()

    def listed(self) -> list[Json]:
        """Return what there is, last touched first; what cannot be read is left out.

        ``boxes`` are the keys of boxes with its tubes; the one that was made on it comes last.
        """
        digests = {key: digest_of(box) for key, box in self._shelf.boxes().items()}
        rows = []
        for path in sorted(self._paths(), key=_touched, reverse=True):
            try:
                card = Folder(path).card()
                Folder(path).notes()
            except RefmatchError:
                continue
            made = f"own-{key_of(Folder(path).made_path)}"
            boxes = [
                key for key, digest in digests.items() if digest == card.box_digest and key != made
            ]
            boxes += [made] if made in digests else []
            rows.append({"id": key_of(path), "name": card.box_name, "boxes": boxes})
        return rows

    def open(self, key: str) -> Workbench:
        """Return the workbench of that key; the same one for everybody who asks.

        Raises:
            BoxError: there is none.
        """
        path = self._path(key)
        with self._lock:
            return self._open.setdefault(key, Workbench(key, path, self._readings))

    def begin(self, box_key: str, paper: str = "a4", grey_lstar: float = GREY_CARD_LSTAR) -> str:
        """Lay out the card of a box and return the key of its workbench; the old one if there is.

        Raises:
            BoxError: no such box, or it has no white. UsageError: no such paper or L*.
            StaleRevision: it has another card already. OutputError: the shelf cannot be written.
        """
        box = box_from_toml(self._shelf.box_text(box_key), "the box")
        card = compose(box, paper, grey_lstar)
        for bench in self.listed():
            if box_key in bench["boxes"]:
                key: str = bench["id"]
                old = Folder(self._path(key)).card()
                if (old.paper, old.neutral_value) != (card.paper, card.neutral_value):
                    raise StaleRevision("bench_changed_in_another_window")
                return key
        boxes = self._shelf.folder / BOXES
        self._shelf.kept_boxes.make_shelf()
        make_folder(boxes)
        with self._lock, locked(boxes):
            path = self._free(plain(box.name))
            Folder(path).begin(box, card)
        return key_of(path)

    def begin_sample(self) -> str:
        """Lay out the sample card, with its photo, and return its key; the old one if there is.

        Raises:
            OutputError: the shelf cannot be written.
        """
        box, photo = sample_card()
        old = next((path for path in self._paths() if _is_called(path, box.name)), None)
        if old is not None and Folder(old).notes().photos:
            return key_of(old)
        card = compose(box, is_short=True)  # as the one that was photographed
        return self._begun_with_photo(old, box, card, photo)

    def begin_by_photo(self, photo: Path) -> str:
        """Lay out the card that a photo shows, by the code on it, with that photo; return its key.

        A card that was begun here is gone on with. Where no box of the shelf has its tubes, one is
        put on the shelf.

        Raises:
            PhotoError: it is no photo. CardError: no card, or none whose code can be read.
            OutputError: the shelf cannot be written.
        """
        card = card_shown(load(photo))
        old = next((path for path in self._paths() if _is_of(path, card)), None)
        boxes = self._shelf.boxes().values()
        box = next((box for box in boxes if digest_of(box) == card.box_digest), None)
        return self._begun_with_photo(old, box or box_of(card), card, photo)

    def _begun_with_photo(self, old: Path | None, box: Box, card: Card, photo: Path) -> str:
        """Lay out a card with its photo, or go on with an old one; and put its box on the shelf.

        What was begun is taken back where not all of it can be kept.
        """
        path = old
        if path is None:
            boxes = self._shelf.folder / BOXES
            self._shelf.kept_boxes.make_shelf()
            make_folder(boxes)
            with self._lock, locked(boxes):
                path = self._free(plain(card.box_name))
                make_folder(path)
        key = key_of(path)
        try:
            if old is None:
                Folder(path).begin(box, card)
            self.open(key).add_photo(photo)
            if card.box_digest not in map(digest_of, self._shelf.boxes().values()):
                self._shelf.new_box(box.name, box.tubes)
        except BaseException:
            if old is None:
                with self._lock:
                    self._open.pop(key, None)
                shutil.rmtree(path, ignore_errors=True)
            raise
        return key

    def _paths(self) -> list[Path]:
        boxes = self._shelf.folder / BOXES
        return sorted(path.parent for path in boxes.glob(f"*/{CARD}"))

    def _path(self, key: str) -> Path:
        path = next((path for path in self._paths() if key_of(path) == key), None)
        if path is None:
            raise BoxError("no_such_bench")
        return path

    def _free(self, name: str) -> Path:
        boxes = self._shelf.folder / BOXES
        paths = (boxes / f"{name}{f'-{i}' if i > 1 else ''}" for i in range(1, 10_000))
        return next(path for path in paths if not path.exists())


def _touched(path: Path) -> int:
    newest = 0
    for name in (NOTES, CARD):
        with contextlib.suppress(OSError):
            newest = max(newest, (path / name).stat().st_mtime_ns)
    return newest


def _is_of(path: Path, card: Card) -> bool:
    """Say whether this is the card that was begun there."""
    try:
        return Folder(path).card() == card
    except RefmatchError:
        return False


def _is_called(path: Path, name: str) -> bool:
    """Say whether a card was begun there for a box of that name."""
    try:
        return Folder(path).card().box_name == name
    except RefmatchError:
        return False
