"""The photos that lie open: each is decoded once, however many paintings are made of it.

A class of forty that paints from one photo would else hold forty of it, and look for its masses
and its mixes forty times.
"""

from __future__ import annotations

import os
import threading
import weakref
from pathlib import Path

from refmatch.painting.reckon import Reckoner
from refmatch.photo.load import load

LEAST_AT_ONCE = 2


class Photos:
    """Gives reckoners for photos. Safe to ask from several threads.

    A photo goes when the last painting of it is closed. Whatever takes long is done ``in_turn``,
    as many at once as there are processors: forty who click at one moment would else hold each
    other up, and all be done at the very end.
    """

    def __init__(self) -> None:
        self.in_turn = threading.BoundedSemaphore(max(_processors(), LEAST_AT_ONCE))
        self._open: weakref.WeakValueDictionary[str, Reckoner] = weakref.WeakValueDictionary()
        self._decoding: dict[str, threading.Lock] = {}
        self._lock = threading.Lock()

    def reckoner(self, path: Path, sha256: str) -> Reckoner:
        """Return a reckoner for a painting of a photo, known by its digest.

        Raises:
            PhotoError: it cannot be read.
        """
        with self._lock:
            decoding = self._decoding.setdefault(sha256, threading.Lock())
        with decoding:
            first = self._open.get(sha256)
            if first is not None:
                return first.beside()
            first = self._open[sha256] = Reckoner(load(path))
            return first


def _processors() -> int:
    """Return how many processors this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1
