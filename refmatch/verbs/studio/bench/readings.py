"""Photos of the card as they were read: looked at once, kept while they are wanted."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from refmatch.card.layout import Card
from refmatch.card.mend import patch_under
from refmatch.card.patch import Patch, Spot
from refmatch.card.read import CardRead, read_page
from refmatch.photo.light import as_shot
from refmatch.photo.load import load
from refmatch.photo.overview import seen_at
from refmatch.photo.photo import Photo
from refmatch.photo.wide_picture import as_wide_jpeg, to_p3

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
        self._patches: Kept[tuple[str, Card, Spot], Patch] = Kept(10 * KEPT)

    def page(self, path: Path, key: str, card: Card) -> PageReading:
        """Return a photo of a page as read; ``key`` is a digest of its content.

        Raises:
            PhotoError: it is no photo. CardError: the card is not found in it, or not usable.
        """
        return self._pages.get((key, card), lambda: _read(load(path), card))

    def patch(self, path: Path, key: str, card: Card, spot: Spot) -> Patch:
        """Return what lies under a spot of a photo.

        Raises:
            PhotoError, CardError: as `page`, or the spot lies outside the photo.
        """
        read = self.page(path, key, card).read
        return self._patches.get((key, card, spot), lambda: patch_under(load(path), read, spot))


def _read(photo: Photo, card: Card) -> PageReading:
    read = read_page(photo, card)
    xyz = seen_at(photo, LONGEST_SIDE_PX).xyz
    picture = as_wide_jpeg(to_p3(xyz @ as_shot().matrix.T.astype(xyz.dtype)))
    return PageReading(read, photo.width_px, photo.height_px, picture)
