"""The shelf: paintings and boxes by short keys, so that no path goes to the page or comes back.

PAINTINGS/
  garden-table/        a painting's folder
  boxes/my-box.toml    a box that was put together on the page
  boxes/NAME/box.toml  a box of the painter's own tubes that was made on the bench
  elsewhere.json       folders of paintings that are kept at other places
"""

from __future__ import annotations

import contextlib
import functools
import gc
import io
import json
import re
import threading
import unicodedata
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from refmatch.colorimetry.spectrum import Array
from refmatch.disk import TEMPORARY_LETTERS, locked, write_whole
from refmatch.errors import PaintingError
from refmatch.paint.box import Box, Tube
from refmatch.paint.box_file import (
    box_to_toml,
    built_in_box,
)
from refmatch.painting.asked import Asked
from refmatch.painting.reckon import Reckoner
from refmatch.painting.rescue import rescue, saved_at
from refmatch.painting.states import NAME, last_good
from refmatch.painting.store import (
    create,
    is_painting,
    mark_of,
    open_folder,
    read_painting,
    read_picture,
    saved_photo,
)
from refmatch.photo.load import load
from refmatch.saved import read_json, text
from refmatch.web.bench.files import key_of, make_folder
from refmatch.web.boxes import CARD_PHOTO, Boxes, free, sample_folder
from refmatch.web.desk import Desk
from refmatch.web.photos import Photos


def title_of(name: str) -> str:
    """Return what a painting is called at first, by its photo's name."""
    words = Path(name).stem.replace("-", " ").replace("_", " ").strip()[:80] or "painting"
    return words[0].upper() + words[1:]


def plain(title: str) -> str:
    """Return a file name that every system takes."""
    latin = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", latin.lower()).strip("-")[:60] or "painting"


def begin(folder: Path, photo: Path, title: str, box: str) -> None:
    """Make the folder of a new painting: its photo as shot, no hole yet.

    Raises:
        PhotoError: it is no photo. PaintingError, OutputError: the folder cannot be made.
    """
    if is_painting(folder):
        raise PaintingError("folder_taken", folder=str(folder))
    reckoner, asked = Reckoner(load(photo)), Asked(title, box)
    made = reckoner.reckon(asked, date.today().isoformat())
    create(folder, photo, made, reckoner.pictures(asked))


@dataclass(frozen=True, eq=False)
class Card:
    """A painting on the shelf; ``colours`` are the Labs of its first targets."""

    key: str
    title: str
    date: str
    saved_at: str
    holes: int
    colours: tuple[Array, ...]


@dataclass(frozen=True, eq=False)
class Damaged:
    """A painting that cannot be read, and why.

    ``saved_at`` is when the newest whole state was saved, None where none is left to go back to.
    """

    key: str
    name: str
    why: PaintingError
    saved_at: str | None


ELSEWHERE = "elsewhere.json"
HALF_COPIED = re.compile(rf"\..+\.[0-9a-f]{{{TEMPORARY_LETTERS}}}")
"""How the folder of a painting is called that is being copied."""

NO_PICTURES = (CARD_PHOTO, "dab-card", "garden-canvas")
"""The sample photos that nobody paints from: they show cards, and a canvas."""

FIRST, DABS = "garden-table", "dab-board"
"""The sample to begin with, and the one that is rather for looking at dabs."""

MOST_OPEN = 3
"""So many paintings keep their photo in memory; the one longest not looked at goes first.

One that a window still listens to stays, or that window would hear of no more changes.
"""


class Shelf:
    """All paintings that the page may ask for. Safe to ask from several threads."""

    def __init__(self, folder: Path) -> None:
        """``folder`` is made when the first painting is put there."""
        self.folder = Path(folder)
        self.kept_boxes = Boxes(self.folder)
        self._photos = Photos()
        self._desks: OrderedDict[str, Desk] = OrderedDict()
        self._opening: dict[str, threading.Lock] = {}
        self._lock = threading.RLock()  # never held while a photo is read: others would wait

    def close(self, key: str) -> None:
        """Let go of a painting's desk; who asks again opens it anew."""
        with self._lock:
            self._desks.pop(key, None)

    def paintings(self) -> list[Card]:
        """Return what is on the shelf and can be read, last touched first."""
        return self.lying()[0]

    def lying(self) -> tuple[list[Card], list[Damaged]]:
        """Return what is on the shelf, last touched first: what can be read, and what cannot."""
        folders = self._folders()
        cards, damaged = [], []
        for key in sorted(folders, key=lambda key: _touched(folders[key]), reverse=True):
            try:
                cards.append(_card(key, folders[key]))
            except PaintingError as error:
                damaged.append(_damaged(key, folders[key], error))
        return cards, damaged

    def rescue(self, key: str) -> None:
        """Go back to the newest whole state of a damaged painting.

        Raises:
            PaintingError: there is none of that key, nothing to rescue, or no whole state.
            OutputError: its folder cannot be written.
        """
        rescue(self.folder_of(key))

    def open(self, key: str) -> Desk:
        """Return the desk of a painting; the same one for everybody who asks.

        Raises:
            PaintingError: there is none of that key, or it cannot be opened.
        """
        return self._at_hand(key) or self._opened(key)

    def aside(self, folder: Path) -> Desk:
        """Return the desk of a painting that does not lie on the shelf yet.

        Raises:
            PaintingError: it cannot be opened.
        """
        return Desk(key_of(folder), folder, self.box_text, self._photos)

    def folder_of(self, key: str) -> Path:
        """Return a painting's folder.

        Raises:
            PaintingError: there is none of that key.
        """
        folder = self._folders().get(key)
        if folder is None:
            raise PaintingError("no_such_painting")
        return folder

    def open_folder(self, folder: Path) -> str:
        """Lay a painting from elsewhere on the shelf and return its key.

        Raises:
            PaintingError: it is no painting, or cannot be opened.
        """
        open_folder(folder)
        key = key_of(folder)
        with self._lock:
            if key not in self._folders():
                self._make(self.folder)
                with locked(self.folder):
                    self._lay_down(Path(folder).resolve())
        return key

    def new_from_photo(self, photo: Path, name: str | None = None) -> str:
        """Begin a painting of a photo and return its key; ``name`` is what the photo was called.

        Raises:
            PhotoError: it is no photo. OutputError: the shelf cannot be written.
        """
        title = title_of(name or Path(photo).name)
        self._make(self.folder)
        with self._lock, locked(self.folder):
            folder = self.free(plain(title))
            self._make(folder)
        try:
            begin(folder, photo, title, box_to_toml(built_in_box()))
        except BaseException:
            with contextlib.suppress(OSError):  # something was put there: it stays
                folder.rmdir()
            raise
        finally:
            _let_go()
        return key_of(folder)

    def same_photo(self, photo: Path) -> str | None:
        """Return the key of the painting of this very photo touched last, or None."""
        try:
            digest = saved_photo(photo).sha256
        except PaintingError:
            return None  # whoever loads it says what is wrong with it
        for card in self.paintings():
            if read_painting(self.folder_of(card.key)).photo.sha256 == digest:
                return card.key
        return None

    def samples(self) -> dict[str, Path]:
        """Return the photos to paint from that come with refmatch, by name, the easiest first."""
        paths = sorted(
            sample_folder().glob("*.jpg"),
            key=lambda path: (path.stem != FIRST, path.stem == DABS, path.stem),
        )
        return {path.stem: path for path in paths if path.stem not in NO_PICTURES}

    def new_from_sample(self, name: str) -> str:
        """Begin a painting of a photo that comes with refmatch and return its key.

        Raises:
            PaintingError: no such sample.
        """
        if name not in self.samples():
            raise PaintingError("no_such_sample")
        return self.new_from_photo(self.samples()[name])

    def boxes(self) -> dict[str, Box]:
        """Return every box that can be read by its key, refmatch's own first."""
        return self.kept_boxes.all()

    def box_text(self, key: str) -> str:
        """Return a box as TOML text; see `Boxes.text`."""
        return self.kept_boxes.text(key)

    def new_box(self, name: str, tubes: Sequence[Tube]) -> str:
        """Keep a box of tubes and return its key; see `Boxes.new`."""
        return self.kept_boxes.new(name, tubes, plain(name))

    def _at_hand(self, key: str) -> Desk | None:
        with self._lock:
            if key in self._desks:
                self._desks.move_to_end(key)
            return self._desks.get(key)

    def _opened(self, key: str) -> Desk:
        """Open a painting, once, however many ask for it meanwhile."""
        folder = self.folder_of(key)
        with self._lock:
            turn = self._opening.setdefault(key, threading.Lock())
        with turn:
            desk = self._at_hand(key)
            if desk is None:
                desk = Desk(key, folder, self.box_text, self._photos)
                with self._lock:
                    self._desks[key] = desk
                    self._clear_away()
            return desk

    def _clear_away(self) -> None:
        *older, _ = self._desks
        idle = [key for key in older if not self._desks[key].is_watched]
        over = idle[: max(len(self._desks) - MOST_OPEN, 0)]
        for key in over:
            del self._desks[key]
        if over:
            _let_go()

    def _folders(self) -> dict[str, Path]:
        folders = {key_of(folder): folder for folder in self._elsewhere() if is_painting(folder)}
        with contextlib.suppress(OSError):  # no shelf yet, or its disk is gone
            for folder in self.folder.iterdir():
                if is_painting(folder) and not HALF_COPIED.fullmatch(folder.name):
                    folders[key_of(folder)] = folder
        return folders

    def _elsewhere(self) -> list[Path]:
        """Return the folders laid on the shelf from other places, none of a damaged list."""
        with contextlib.suppress(OSError, ValueError):
            return _places((self.folder / ELSEWHERE).read_bytes())
        return []

    def _lay_down(self, folder: Path) -> None:
        """Put a folder on the list of those elsewhere; a damaged list is kept beside it."""
        path, places = self.folder / ELSEWHERE, []
        with contextlib.suppress(FileNotFoundError):
            data = path.read_bytes()
            try:
                places = _places(data)
            except ValueError:
                write_whole(path.with_suffix(".damaged.json"), data)
        texts = [str(place) for place in (*places, folder)]
        write_whole(path, json.dumps(texts).encode())

    def free(self, name: str, within: Path | None = None) -> Path:
        """Return a path of that name that is not taken, with a number where it must be."""
        return free(within or self.folder, name)

    def _make(self, folder: Path) -> None:
        self.kept_boxes.make_shelf()
        if folder != self.folder:
            make_folder(folder)


def _let_go() -> None:
    """Free the photos that nobody looks at any more, at once: they are large.

    What a reckoner keeps holds on to the reckoner, and Python finds such rings only now and then.
    """
    gc.collect()


def _places(data: bytes) -> list[Path]:
    """Read the list of folders elsewhere.

    Raises:
        ValueError: it is no list of paths.
    """
    listed = read_json(data)
    if not isinstance(listed, list):
        raise ValueError("it is no list")
    return [Path(text(place)) for place in listed if text(place) and "\0" not in place]


def _touched(folder: Path) -> int:
    with contextlib.suppress(OSError):
        return (folder / NAME).stat().st_mtime_ns
    return 0


def _damaged(key: str, folder: Path, why: PaintingError) -> Damaged:
    good = None if why.name == "newer_schema" else last_good(folder)
    return Damaged(key, folder.name, why, None if good is None else saved_at(good))


def _card(key: str, folder: Path) -> Card:
    mark, painting = mark_of(folder), read_painting(folder)
    changed = mark[1] / 1e9
    return Card(
        key=key,
        title=painting.title,
        date=painting.date,
        saved_at=datetime.fromtimestamp(changed).isoformat("T", "seconds"),
        holes=len(painting.targets),
        colours=tuple(target.lab for target in painting.targets[:12]),
    )


SIDE_PX = 640
"""The longer side: sharp in a third of a page on a dense screen."""

QUALITY = 85


def small_painting(shelf: Shelf, key: str) -> bytes:
    """Return a painting's photo in its light, small, as JPEG.

    Raises:
        PaintingError: there is no such painting, or its picture is damaged.
    """
    return _small(read_picture(shelf.folder_of(key), "balanced"))


def small_sample(shelf: Shelf, name: str) -> bytes:
    """Return a photo that comes with refmatch, small, as JPEG.

    Raises:
        PaintingError: there is no such sample.
    """
    path = shelf.samples().get(name)
    if path is None:
        raise PaintingError("no_such_sample")
    return _small_file(path)


@functools.lru_cache(16)
def _small_file(path: Path) -> bytes:
    return _small(path.read_bytes())


def _small(data: bytes) -> bytes:
    from PIL import Image, ImageOps

    stream = io.BytesIO()
    with Image.open(io.BytesIO(data)) as picture:
        profile = picture.info.get("icc_profile")
        picture.draft("RGB", (SIDE_PX, SIDE_PX))
        upright = ImageOps.exif_transpose(picture)
        upright.thumbnail((SIDE_PX, SIDE_PX))
        upright.convert("RGB").save(stream, "JPEG", quality=QUALITY, icc_profile=profile)
    return stream.getvalue()


def usual_folder() -> Path:
    """Return where paintings are kept when nothing else is said."""
    return Path.home() / "refmatch"


def lay_out(shelf: Shelf, path: Path) -> str:
    """Return the key of the painting in a folder, or of a photo's: the last, else a new one.

    Raises:
        RefmatchError: it is neither a painting nor a photo, or the shelf cannot be written.
    """
    if path.is_dir() or is_painting(path):
        return shelf.open_folder(path)
    return shelf.same_photo(path) or shelf.new_from_photo(path)
