"""A mix that takes a detour: an orange and a blue that turn green before they turn grey."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.colorimetry.hue_names import GREY_BELOW, hue_name, munsell_chroma, munsell_hue
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag

MARGIN = 6.0
"""Steps on the Munsell circle of 100 beyond the way there before a hue is called stray:
more than half a family, so that the name a painter gives it has changed."""

CHROMA_SEEN, VALUE_SEEN = 2.0, 2.0
"""Munsell chroma and value below which no painter sees a hue go astray."""


def stray_hue(path: Array, before: Array, goals: Sequence[Array]) -> Flag | None:
    """Flag a path of colours whose hue leaves the way from ``before`` to every goal.

    Args:
        path: the puddle while something is worked in, shape (n, 3), the last at the end.
        before: the puddle before that, shape (3,).
        goals: where it is going, shape (3,) each.

    A grey has no hue: from a grey, and to a grey, only the other end counts; from
    grey to grey any hue that shows is stray.
    """
    off = np.min([_beyond(path, before, goal) for goal in goals], axis=0)
    visible = (munsell_chroma(path) >= CHROMA_SEEN) & (munsell_value(path) >= VALUE_SEEN)
    off = np.where(visible, off, 0.0)
    if off.max() <= MARGIN:
        return None
    hue = hue_name(path[int(off.argmax())])
    return Flag("stray_hue", hue=hue, stays=bool(off[-1] > MARGIN))


def _beyond(path: Array, before: Array, goal: Array) -> Array:
    """Return how many steps each hue of the path lies outside the shorter way, shape (n,)."""
    ends = [end for end in (before, goal) if munsell_chroma(end) >= GREY_BELOW]
    if not ends:
        return np.full(len(path), 50.0)
    start = float(munsell_hue(ends[0]))
    way = float(_turned(float(munsell_hue(ends[-1])) - start))
    along = _turned(munsell_hue(path) - start)
    return np.maximum(np.maximum(along - max(way, 0.0), min(way, 0.0) - along), 0.0)


def _turned(steps: Array | float) -> Array:
    """Bring a difference of hue into -50 to 50."""
    return (np.asarray(steps) + 50.0) % 100.0 - 50.0
