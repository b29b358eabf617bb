"""The checks of all paintings that are looked at, by the painting's key."""

from __future__ import annotations

import threading
from collections import OrderedDict

from refmatch.verbs.studio.check.checking import Checking

MOST_KEPT = 6
"""So many paintings keep a photo of dabs on the table; the one longest not asked for goes first."""


class Checkings:
    """Safe to ask from several threads."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, Checking] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, key: str) -> Checking:
        """Return the checks of a painting; the same for everybody who asks."""
        with self._lock:
            found = self._kept.setdefault(key, Checking())
            self._kept.move_to_end(key)
            gone = [self._kept.popitem(last=False)[1] for _ in range(len(self._kept) - MOST_KEPT)]
        for each in gone:
            each.put_away()
        return found

    def put_away(self) -> None:
        """Remove every photo that lies on a table."""
        with self._lock:
            gone = tuple(self._kept.values())
            self._kept.clear()
        for each in gone:
            each.put_away()
