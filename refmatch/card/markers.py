"""The markers: which numbers a card's carry, and what each looks like.

The numbers are drawn from a thousand by the card's own digest, so that a page knows its
place, two pages differ, and another box's card is noticed.
"""

from __future__ import annotations

import hashlib
import random
from collections.abc import Sequence
from typing import Any

import numpy as np

from refmatch.card.place import Place
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Bools

DICTIONARY = "DICT_5X5_1000"
NUMBERS = 1000
MODULES = 7
"""Squares along a marker's side: five that tell its number, within a black rim of one."""


def dictionary() -> Any:
    """Return OpenCV's dictionary of these markers."""
    aruco = opencv().aruco
    return aruco.getPredefinedDictionary(getattr(aruco, DICTIONARY))


def numbers(digest: str, count: int) -> list[int]:
    """Return ``count`` different numbers for the card of this digest."""
    seed = int.from_bytes(hashlib.sha256(digest.encode("utf-8")).digest()[:8], "big")
    return random.Random(seed).sample(range(NUMBERS), count)


def black_modules(number: int) -> Bools:
    """Return which of a marker's squares are black, (7, 7)."""
    picture = opencv().aruco.generateImageMarker(dictionary(), number, MODULES)
    return np.asarray(picture) == 0


def black_runs(number: int, place: Place) -> Sequence[Place]:
    """Return a marker as black rectangles: the runs of each of its rows."""
    side = place.width_mm / MODULES
    found = []
    for row, black in enumerate(black_modules(number)):
        edges = np.flatnonzero(np.diff(np.concatenate(([0], black.astype(int), [0]))))
        for start, stop in edges.reshape(-1, 2).tolist():
            left, top = place.x_mm + start * side, place.y_mm + row * side
            found.append(Place(left, top, (stop - start) * side, side))
    return found
