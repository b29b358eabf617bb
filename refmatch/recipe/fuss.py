"""How much fuss a recipe is, and which tubes have no place in a colour: what a tutor would lay.

Of recipes that are as good as can be promised, the one with the least fuss stands first: few tubes,
few parts, no let-down, cheap before dear, a brown before a black, the mix that everybody knows. All
of it is common practice with no source; the weights are our own choice, in tubes.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import chroma, hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Tube
from refmatch.paint.library import pigments
from refmatch.recipe.habits import BROWNS, holding, holds_black
from refmatch.recipe.mixture import Entries, is_strong, product
from refmatch.recipe.subsets import Mask

OF_PART = 0.1

OF_LET_DOWN = 1.4
"""Ten parts mixed beforehand, and most of them left over."""

OF_TOUCH, LEAST_LAID_SHARE = 0.5, 1.0 / 16.0
"""A touch of a strong tube by itself, less than such a share: no knife lays it out."""

OF_BLACK = 1.2
"""Black goes flat, so that a brown is taken where it serves as well."""

OF_DEAR = 0.3
"""A tube of the dearer series: cheap before dear."""

OF_PALE_IN_DARK, PALE_LSTAR, DEEP_LSTAR = 0.8, 45.0, 20.0
"""A pale opaque tube in a dark, where a touch of white does the same and keeps the hue."""

OF_AWAY, TINT_WHITE_PARTS = 0.02, 4.0
"""By unit of a*b* that a tube lies from the target, in so much white: what leads far away has to be
led back by another, so that an earth makes a steadier dull colour than a strong red does."""

FAMILIAR = 0.8
"""What an ultramarine and a brown are spared: everybody knows that mix for greys and darks."""

ULTRAMARINES = frozenset({"ultramarine-blue", "ultramarine-blue-oil"})

COBALTS = frozenset({"cerulean-blue", "cerulean-blue-chromium", "cobalt-violet"})
DEAR = COBALTS | {"cobalt-blue", "cobalt-blue-oil", "viridian", "vermilion"}
DEAR_KIND = "cadmium"
"""What shops sell in their dearer series."""


@dataclass(frozen=True, eq=False)
class Traits:
    """What a tutor knows of the tubes of a box: masks (tubes,), and a* and b* of tints (tubes, 2).

    ``pale`` are tubes but whites that are light as they come out; ``strong`` (entries,) those laid
    as they are that overwhelm white.
    """

    white: Mask
    black: Mask
    dear: Mask
    pale: Mask
    ultramarine: Mask
    brown: Mask
    tints: Array
    strong: Mask


@functools.lru_cache(8)
def traits_of(entries: Entries) -> Traits:
    """Look at the tubes of a box."""
    tubes, palette = entries.box.tubes, entries.tube_palette
    unit = np.eye(len(tubes))
    white = np.array([tube.is_white for tube in tubes])
    strong = np.array([is_strong(tube, entries.box.white) for tube in tubes])
    let_down = unit + TINT_WHITE_PARTS * unit[tubes.index(entries.box.white)]
    return Traits(
        white=white,
        black=holds_black(entries.box),
        dear=np.array([_is_dear(tube) for tube in tubes]),
        pale=(palette.lab(unit)[:, 0] > PALE_LSTAR) & ~white,
        ultramarine=holding(entries.box, ULTRAMARINES),
        brown=holding(entries.box, BROWNS),
        tints=palette.lab(let_down)[:, 1:],
        strong=strong[entries.tube_index] & ~entries.is_let_down,
    )


def _is_dear(tube: Tube) -> bool:
    known = pigments()
    return any(key in DEAR or (key in known and known[key].kind == DEAR_KIND) for key in tube.keys)


def tubes_used(entries: Entries, parts: npt.NDArray[np.intp]) -> Mask:
    """Say which tubes recipes hold, (n, tubes), those inside let-downs too."""
    # In floats, since they are multiplied quicker.
    used, holds = (parts > 0).astype(np.float32), (entries.net > 0.0).astype(np.float32)
    return product(used, holds) > 0.0


def let_downs_used(entries: Entries, parts: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """Return how many let-downs recipes hold, (n,)."""
    count: npt.NDArray[np.intp] = (parts[:, entries.is_let_down] > 0).sum(axis=1)
    return count


def fuss_of(entries: Entries, parts: npt.NDArray[np.intp], target_lab: Array) -> Array:
    """Return how much fuss recipes are, (n,), for a target (3,): a tube is 1 or more."""
    tubes, used = traits_of(entries), tubes_used(entries, parts)
    away = np.linalg.norm(tubes.tints - target_lab[1:], axis=1)
    of_tube = 1.0 + OF_AWAY * away * ~tubes.white
    of_tube += OF_BLACK * tubes.black + OF_DEAR * tubes.dear
    if target_lab[0] < DEEP_LSTAR:
        of_tube += OF_PALE_IN_DARK * tubes.pale
    total = parts.sum(axis=1)
    touches = (parts > 0) & (parts < LEAST_LAID_SHARE * total[:, None]) & tubes.strong
    laid = OF_LET_DOWN * let_downs_used(entries, parts) + OF_PART * total
    laid = laid + OF_TOUCH * touches.sum(axis=1)
    fuss: Array = used @ of_tube + laid - FAMILIAR * is_familiar(entries, used)
    return fuss


def is_familiar(entries: Entries, used: Mask) -> Mask:
    """Say which recipes are the mix that everybody knows, (n,), from the tubes used (n, tubes)."""
    tubes = traits_of(entries)
    colours = (used & ~tubes.white).sum(axis=1)
    blue, brown = (
        np.logical_or.reduce(used[:, one], 1) for one in (tubes.ultramarine, tubes.brown)
    )
    return (colours == 2) & blue & brown


CLEAN, CLEAN_EARTH, EARTH_HUES_DEG = 0.75, 1.1, (35.0, 95.0)
"""A colour is clean that has so much chroma for each L* that it lacks to white; among the hues of
earths, which blues and blacks dull by usage, it takes more."""

ACROSS_DEG, ALMOST_GREY = 95.0, 10.0
"""What stands farther away on the circle of hues, and has chroma, deadens a clean colour."""

DULL_SHARE, NEIGHBOUR_DEG, STRONG_CHROMA = 0.4, 40.0, 55.0
"""A tube whose tint has less than this share of its chroma deadens it too, unless it is a neighbour
on the circle of hues and the colour not a strong one: an umber makes straw, and spoils lemon."""


def deadened(entries: Entries, used: Mask, target_lab: Array) -> Mask:
    """Say which recipes put into a clean colour what deadens it, (n,), by the tubes used.

    That is black, a colour from across the circle of hues, or one far too dull.
    """
    own = float(chroma(target_lab))
    low, high = EARTH_HUES_DEG
    clean = CLEAN_EARTH if low < hue_deg(target_lab) < high else CLEAN
    if own < clean * (100.0 - target_lab[0]):
        return np.zeros(len(used), dtype=bool)
    tubes = traits_of(entries)
    strength = np.hypot(*tubes.tints.T)
    cosine = tubes.tints @ target_lab[1:] / np.maximum(strength * own, 1e-9)
    turned_deg = np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))
    across = (turned_deg > ACROSS_DEG) & (strength > ALMOST_GREY)
    spared = (turned_deg < NEIGHBOUR_DEG) & (own < STRONG_CHROMA)
    dull = (strength < DULL_SHARE * own) & ~spared
    return np.logical_or.reduce(used[:, (across | dull | tubes.black) & ~tubes.white], axis=1)
