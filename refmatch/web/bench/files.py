"""A box in the making on the disk: its card, its photos as they were read, and what is noted of it.

Each file is written whole or not at all.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import re
import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any, Generic, TypeVar

import cattrs
from cattrs.gen import make_dict_unstructure_fn

from refmatch.dabs.box_card import card_to_json, read_card_file
from refmatch.dabs.card import Card, PaintWindow
from refmatch.dabs.patch import Patch
from refmatch.dabs.photographs import Mend, patch_under
from refmatch.dabs.read import CardRead, DabRead, read_page
from refmatch.disk import own_files, write_whole
from refmatch.errors import BoxError, OutputError
from refmatch.flag import Flag, flag_from_form, flag_to_form
from refmatch.paint.box import Box
from refmatch.paint.box_file import read_box, write_box
from refmatch.painting.form import UNREADABLE, key_at_fault
from refmatch.painting.model import digest_of
from refmatch.photo.hole import Hole
from refmatch.photo.light.balance import as_shot
from refmatch.photo.load import load
from refmatch.photo.photo import Photo, reduced
from refmatch.photo.picture import as_wide_jpeg, to_p3
from refmatch.saved import number, read_json, text, truth, whole

FORMAT, VERSION = "refmatch-bench", 1


@dataclass(frozen=True)
class PhotoNote:
    """A photo: the file it is kept in, what the painter called it, and the page it shows."""

    file: str
    name: str
    page: int

    @property
    def key(self) -> str:
        """A digest of the photo's content."""
        return self.file.partition(".")[0]


@dataclass(frozen=True)
class MadeDab:
    """What the box has for the dab of a window: Lab seen and found, and the dE00 between."""

    window: int
    seen: tuple[float, ...]
    found: tuple[float, ...]
    miss: float


@dataclass(frozen=True)
class MadeNote:
    """What came of making the box: of which notes, and as which file, by their digests."""

    made_of: str
    box_digest: str
    dabs: tuple[MadeDab, ...]
    flags: tuple[Flag, ...]


@dataclass(frozen=True)
class Notes:
    """All that is noted. ``mends`` are by the number of the window, from 0."""

    photos: tuple[PhotoNote, ...] = ()
    mends: Mapping[int, Mend] = field(default_factory=dict)
    light: str | None = None
    made: MadeNote | None = None

    def with_mend(self, window: int, mend: Mend) -> Notes:
        """Note a mend; one that says nothing is struck out."""
        kept = {number: other for number, other in self.mends.items() if number != window}
        return replace(self, mends=kept if mend == Mend() else kept | {window: mend})

    def made_of(self, card: str) -> str:
        """Return a digest of all that a box made now would rest on; ``card`` is its layout."""
        mends = sorted((number, asdict(mend)) for number, mend in self.mends.items())
        photos = sorted(photo.key for photo in self.photos)
        noted = json.dumps([card, photos, mends, self.light])
        return hashlib.sha256(noted.encode("utf-8")).hexdigest()


def to_bytes(notes: Notes) -> bytes:
    """Return notes as JSON text."""
    content = {"format": FORMAT, "version": VERSION, **_converter().unstructure(notes)}
    text = json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1)
    return (text + "\n").encode("utf-8")


def from_bytes(data: bytes) -> Notes:
    """Read notes.

    Raises:
        BoxError: they are damaged, or from a newer refmatch.
    """
    raw: Any = None
    try:
        raw = read_json(data)
        if raw.pop("format") != FORMAT or raw.pop("version") != VERSION:
            raise ValueError("another form")
        notes: Notes = _converter().structure(raw, Notes)
    except UNREADABLE as error:
        key = (
            "" if not isinstance(raw, dict) else key_at_fault(raw, Notes, _converter(detailed=True))
        )
        raise BoxError("bench_damaged", key=key) from error
    return notes


def _converter(*, detailed: bool = False) -> cattrs.Converter:
    converter = cattrs.Converter(forbid_extra_keys=True, detailed_validation=detailed)
    for kind, read in ((float, number), (int, _whole), (str, text), (bool, truth)):
        converter.register_structure_hook(kind, lambda value, _, read=read: read(value))
    converter.register_unstructure_hook(Flag, flag_to_form)
    nameless = make_dict_unstructure_fn(Hole, converter, _cattrs_omit_if_default=True)
    converter.register_unstructure_hook(Hole, nameless)
    converter.register_structure_hook(Flag, lambda form, _: flag_from_form(form))
    return converter


def _whole(value: object) -> int:
    """Read a whole number; as a key JSON has it as text."""
    is_key = isinstance(value, str) and value.isascii() and value.isdigit()
    return whole(int(value)) if is_key else whole(value)  # type: ignore[call-overload]


MADE = "box.toml"
"""The box of the painter's own tubes, once it is made."""

KEY_LETTERS = 20
"""So many digits of a photo's SHA-256 name it."""

PHOTO_NAME = re.compile(rf"[0-9a-f]{{{KEY_LETTERS}}}(\.\w+)?")

START, CARD, NOTES, PHOTOS = "start.toml", "card.json", "bench.json", "photos"


def card_digest(card: Card) -> str:
    """Return what tells a card from another, the L* of its grey card too."""
    return f"{card.box_digest} {card.paper} {card.neutral_value:g}"


def revision_of(card: Card, notes: Notes) -> str:
    """Return what tells this state of a box in the making from any other."""
    state = f"{card_digest(card)}\n{to_bytes(notes).decode('utf-8')}"
    return digest_of_text(state)[:KEY_LETTERS]


def digest_of_text(text: str) -> str:
    """Return the SHA-256 of a text."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


@dataclass(frozen=True, eq=False)
class PageMended:
    """One page: the reader's word on it with the painter's mends, by the number of the window."""

    read: CardRead
    dabs: Mapping[int, DabRead[PaintWindow]]


def key_of(path: Path) -> str:
    """Return a short digest of a path: the page learns nothing of the disk from it."""
    return hashlib.blake2b(str(path.resolve()).encode(), digest_size=8).hexdigest()


class Folder:
    """The files of one box in the making."""

    def __init__(self, path: Path) -> None:
        self.path = Path(path)

    @property
    def made_path(self) -> Path:
        """Where the box lies once it is made."""
        return self.path / MADE

    def begin(self, box: Box, card: Card) -> None:
        """Lay out a new folder; the card comes last, since by it a folder is known.

        Raises:
            OutputError: it cannot be written.
        """
        make_folder(self.path)
        make_folder(self.path / PHOTOS)
        write_box(self.path / START, box)
        self.write_card(card)

    def box(self) -> Box:
        """Return the box that the card was made for.

        Raises:
            BoxError: it cannot be read.
        """
        return read_box(self.path / START)

    def card(self) -> Card:
        """Return the card.

        Raises:
            CardError: it cannot be read.
        """
        return read_card_file(self.path / CARD)

    def write_card(self, card: Card) -> None:
        """Keep a card's layout."""
        write_whole(self.path / CARD, card_to_json(card).encode("utf-8"))

    def notes(self) -> Notes:
        """Return what was noted last, by whatever window.

        Raises:
            BoxError: it is damaged.
        """
        try:
            return from_bytes((self.path / NOTES).read_bytes())
        except FileNotFoundError:
            return Notes()
        except OSError as error:
            raise BoxError("bench_unreadable") from error

    def write_notes(self, notes: Notes) -> None:
        """Keep notes, and throw away photos that they no longer name.

        Only a photo goes that was put there: it is called by its own digest.
        """
        write_whole(self.path / NOTES, to_bytes(notes))
        named = {photo.file for photo in notes.photos}
        with contextlib.suppress(OSError):  # they are kept: what cannot be tidied harms nothing
            for path in own_files(self.path / PHOTOS, PHOTO_NAME):
                if path.name not in named and digest_of(path).startswith(path.stem):
                    path.unlink()

    def photo(self, file: str) -> Path:
        """Return where a photo is kept."""
        return self.path / PHOTOS / file

    def made(self, digest: str) -> Box | None:
        """Return the box that was made, or None where it is not the one of that digest."""
        try:
            text = self.made_path.read_text("utf-8")
            return read_box(self.made_path) if digest_of_text(text) == digest else None
        except (OSError, BoxError):
            return None


def make_folder(path: Path) -> None:
    """Make a folder of the shelf where the one above it is there, unless it is there already.

    Raises:
        OutputError: it cannot be made.
    """
    try:
        path.mkdir(exist_ok=True)
    except OSError as error:
        raise OutputError("shelf_not_made", folder=str(path)) from error


# Photos of the card as they were read: looked at once, kept while they are wanted.

LONGEST_SIDE_PX = 1600
KEPT = 12
"""So many photos stay read: the pages of a large box and some besides."""


K = TypeVar("K")
V = TypeVar("V")


@dataclass(frozen=True, eq=False)
class PageReading:
    """A photo as read, its size, and a picture of it for the page, JPEG."""

    read: CardRead
    width_px: int
    height_px: int
    picture: bytes


class Kept(Generic[K, V]):
    """The last few of what took long to make."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: OrderedDict[K, V] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: K, make: Callable[[], V]) -> V:
        """Return what is held under a key, or make it; while it is made nobody else waits."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
                return self._held[key]
        value = make()
        with self._lock:
            self._held[key] = value
            while len(self._held) > self._most:
                self._held.popitem(last=False)
        return value


class Readings:
    """Reads photos, and keeps what was read. Safe to ask from several threads."""

    def __init__(self) -> None:
        self._pages: Kept[tuple[str, Card], PageReading] = Kept(KEPT)
        self._patches: Kept[tuple[str, Card, Hole], Patch] = Kept(10 * KEPT)

    def page(self, path: Path, key: str, card: Card) -> PageReading:
        """Return a photo of a page as read; ``key`` is a digest of its content.

        Raises:
            PhotoError: it is no photo. CardError: the card is not found in it, or not usable.
        """
        return self._pages.get((key, card), lambda: _read(load(path), card))

    def patch(self, path: Path, key: str, card: Card, spot: Hole) -> Patch:
        """Return what lies under a spot of a photo.

        Raises:
            PhotoError, CardError: as `page`, or the spot lies outside the photo.
        """
        read = self.page(path, key, card).read
        return self._patches.get((key, card, spot), lambda: patch_under(load(path), read, spot))


def _read(photo: Photo, card: Card) -> PageReading:
    read = read_page(photo, card)
    xyz = reduced(photo, LONGEST_SIDE_PX).xyz
    picture = as_wide_jpeg(to_p3(xyz @ as_shot().matrix.T.astype(xyz.dtype)))
    return PageReading(read, photo.width_px, photo.height_px, picture)
