"""The whole photo at the few small sizes at which it is judged and shown."""

from __future__ import annotations

import weakref

from refmatch.photo.photo import Photo, Working

OVERVIEW_PX = 320
"""Longest side at most: the squint of a painter, who sees masses and not leaves."""

_seen: weakref.WeakKeyDictionary[Photo, dict[int, Working]] = weakref.WeakKeyDictionary()


def overview(photo: Photo) -> Working:
    """Return the photo at the one small size at which light, masses and values are judged."""
    return seen_at(photo, OVERVIEW_PX)


def seen_at(photo: Photo, longest_side_px: int) -> Working:
    """Return the photo at a bounded size; a pass over a large photo is made only once a size."""
    sizes = _seen.setdefault(photo, {})
    if longest_side_px not in sizes:
        sizes[longest_side_px] = photo.working(longest_side_px)
    return sizes[longest_side_px]
