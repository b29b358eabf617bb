"""The whole photo at the one small size at which its light, masses and values are judged."""

from __future__ import annotations

import weakref

from refmatch.photo.photo import Photo, Working

OVERVIEW_PX = 320
"""Longest side at most: the squint of a painter, who sees masses and not leaves."""

_seen: weakref.WeakKeyDictionary[Photo, Working] = weakref.WeakKeyDictionary()


def overview(photo: Photo) -> Working:
    """Return the photo at overview size; a pass over a large photo is made only once."""
    if photo not in _seen:
        _seen[photo] = photo.working(OVERVIEW_PX)
    return _seen[photo]
