"""What the tubes reach: the strongest colour they mix at each hue, in the plane of a* and b*.

The strongest colour of a hue and value is mostly a mix of two or three tubes, or such
a core made lighter with white or darker with black. So every core is carried, step
by step, to the tubes it may be worked into; where such a path crosses a value, the
mix of just that value is found; and the boundary is drawn through the mixes themselves.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import Box
from refmatch.recipe.habits import holds_black
from refmatch.recipe.mixture import Palette

# The outline of a cloud of colours in the plane of a* and b*, drawn through its own points.

SECTORS = 180
"""Sectors of the hue circle, each with one corner of the outline: 2 degrees."""

NEARLY = 0.93
"""Of a sector's farthest distance, from which a point may turn out to be the farthest."""


DENT = 8
"""Sectors across which a dent is a gap between the mixes looked at, not in what can be mixed."""


def boundary(plane: Array) -> Array:
    """Return the corners, (n, 2), of the polygon around points, (m, 2): the farthest a sector.

    Seen from grey, if the points lie all around it; else, as where a box holds only
    warm tubes, from their own middle. So hardly anything unmixed is enclosed, and the
    polygon never leaves the points' convex hull. Corners are in the order of their turn.
    """
    found, sector = _far(plane, 1.0)
    _, first = np.unique(sector, return_index=True)
    corners = plane[found[first]].astype(float)
    centre = _middle(plane, _seen(plane)[0])
    away = corners - centre
    order = np.argsort(np.arctan2(away[:, 1], away[:, 0]), kind="stable")
    return _without_dents(away[order]) + centre


def far_out(plane: Array) -> npt.NDArray[np.intp]:
    """Return the points, as indices, that may be corners: nearly the farthest of a sector."""
    return _far(plane, NEARLY)[0]


def _far(plane: Array, share: float) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """Return the points that reach a share of the farthest of their sector, and the sectors."""
    sector, reach = _seen(plane)
    centre = _middle(plane, sector)
    if centre.any():
        sector, reach = _seen(plane - centre)
    farthest = np.zeros(SECTORS, reach.dtype)
    np.maximum.at(farthest, sector, reach)
    found = np.flatnonzero(reach >= share * farthest[sector])
    return found, sector[found]


def _middle(plane: Array, sector: npt.NDArray[np.intp]) -> Array:
    """Return where an outline is seen from, (2,): grey, if the points lie all around it."""
    seen = np.flatnonzero(np.bincount(sector, minlength=SECTORS))
    if len(seen) == 0 or np.diff(seen, append=seen[0] + SECTORS).max() < SECTORS / 2:
        return np.zeros(2)
    return plane.mean(axis=0)


def _seen(away: Array) -> tuple[npt.NDArray[np.intp], Array]:
    """Return each point's sector about the origin, (n,), and its distance, (n,)."""
    turn = np.arctan2(away[:, 1], away[:, 0]) * (SECTORS / (2.0 * np.pi))
    return np.floor(turn).astype(np.intp) % SECTORS, np.hypot(away[:, 0], away[:, 1])


def _without_dents(away: Array) -> Array:
    """Drop corners that lie behind a chord between corners at most `DENT` sectors apart."""
    nearby = np.sin(DENT * 2.0 * np.pi / SECTORS)
    for apart in (1, 2, 3):
        before, after = np.roll(away, apart, axis=0), np.roll(away, -apart, axis=0)
        turn = _cross(before, after)
        near = (turn > 0.0) & (turn < nearby * np.hypot(*before.T) * np.hypot(*after.T))
        behind = _cross(after - before, away - before) > 0.0
        away = away[~(behind & near)]
    return away


def _cross(one: Array, other: Array) -> Array:
    """Return the third component of the cross product, (n,): above 0 for a turn to the left."""
    return one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]


VALUES = tuple(range(1, 10))
"""The Munsell values whose reach is told."""

PAIR_RATIOS: Array = np.array([[2.0 ** (n / 2.0), 1.0] for n in range(-10, 11)])
"""Of a pair of equally strong amounts, the one to the other."""

TRIPLE_RATIOS: Array = np.array(
    [row for row in itertools.product((1.0, 4.0), repeat=3) if min(row) == 1.0]
)
"""Of three equally strong amounts, (7, 3)."""

MOST_PATHS = 18_000
"""Paths looked at; of a large box the cores are thinned out evenly."""

PATH: Array = np.append(0.0, np.geomspace(0.03, 300.0, 13)).astype(np.float32)
"""Equally strong amounts of white, or of black, to one of the core."""

CLOSE_LSTAR = 0.3
"""How near in L* a mix must come to count as of a value."""

ROWS_AT_ONCE = 2_000
"""Mixes whose spectra are held at once: they stay in the cache."""


@dataclass(frozen=True, eq=False)
class Outline:
    """The reach of a box as closed polygons of a* and b*, corners in the order of their hue.

    ``whole`` (n, 2) holds for all values together, ``by_value`` (n, 2) for one Munsell
    value each, give or take a thirtieth. Every corner is a mix. One or two corners are a
    point or a line: so few tubes reach no surface; none says that the value is out of reach.
    """

    whole: Array
    by_value: dict[int, Array]


@dataclass(frozen=True, eq=False)
class _Mixer:
    """Colours of many mixes, quickly: a palette of equally strong amounts of each tube."""

    palette: Palette

    @classmethod
    def of(cls, box: Box) -> _Mixer:
        """Scale each tube's K and S by how much the eye feels of both."""
        curves = Palette.of(box.tubes, box.surface)
        strength = np.sqrt(curves.absorption * curves.scattering) @ viewing().weights[:, 1:2]
        absorption = (curves.absorption / strength).astype(np.float32)
        scattering = (curves.scattering / strength).astype(np.float32)
        return cls(Palette(absorption, scattering, box.surface))

    def lab(self, amounts: Array) -> Array:
        """Return Lab to a hundredth, (n, 3), of amounts, (n, tubes), in single precision."""
        rows = amounts.astype(np.float32, copy=False)
        chunks = range(0, len(rows), ROWS_AT_ONCE)
        found = [self.palette.lab(rows[start : start + ROWS_AT_ONCE]) for start in chunks]
        return np.round(np.concatenate([np.empty((0, 3)), *found]), 2).astype(np.float32)


def outline(box: Box) -> Outline:
    """Return what the tubes of a box reach in mixes of three, or of three with white or black.

    Takes some 45 ms for twelve tubes. A box without white or black is taken as it is.
    """
    mixer = _Mixer.of(box)
    amounts = _paths(box)
    lab = mixer.lab(amounts.reshape(-1, len(box.tubes))).reshape(*amounts.shape[:2], 3)
    found = {value: _at_value(mixer, amounts, lab, value) for value in VALUES}
    everything = np.concatenate([lab.reshape(-1, 3), *found.values()])
    return Outline(
        boundary(everything[:, 1:]),
        {value: boundary(mixes[:, 1:]) for value, mixes in found.items()},
    )


def _paths(box: Box) -> Array:
    """Return the amounts, (paths, steps, tubes), of mixes from core to tube.

    Single tubes and pairs go to every other tube, triples to white and to black.
    """
    tubes = len(box.tubes)
    white = np.array([tube.is_white for tube in box.tubes])
    ends = [*np.flatnonzero(white)[:1], *np.flatnonzero(holds_black(box))[:1]]
    pairs = np.concatenate([np.eye(tubes), _cores(tubes, PAIR_RATIOS)])
    triples = _cores(tubes, TRIPLE_RATIOS)
    starts = [pairs[pairs[:, end] == 0.0] for end in range(tubes)] if tubes > 1 else [pairs]
    starts += [triples[triples[:, end] == 0.0] for end in ends]
    stops = np.repeat([*range(tubes), *ends], [len(each) for each in starts])
    unit = np.eye(tubes, dtype=np.float32)
    return np.concatenate(starts).astype(np.float32)[:, None] + PATH[:, None] * unit[stops][:, None]


def _cores(tubes: int, ratios: Array) -> Array:
    """Return the amounts, (cores, tubes), of pairs or triples in every ratio, summing to 1."""
    size = ratios.shape[1]
    members = np.array(list(itertools.combinations(range(tubes), size)), np.intp)
    rows = np.zeros((len(members) * len(ratios), tubes))
    each = np.repeat(members.reshape(-1, size), len(ratios), axis=0)
    np.put_along_axis(rows, each, np.tile(ratios, (len(members), 1)), axis=1)
    if len(rows) > MOST_PATHS // tubes:
        rows = rows[np.linspace(0, len(rows) - 1, MOST_PATHS // tubes).astype(int)]
    return rows / rows.sum(axis=1, keepdims=True)


def _at_value(mixer: _Mixer, amounts: Array, lab: Array, value: int) -> Array:
    """Return mixes of one Munsell value, (n, 3), on the paths that seem to be the strongest."""
    lstar = float(lstar_from_value(value))
    path, step = np.nonzero((lab[:, :-1, 0] > lstar) != (lab[:, 1:, 0] > lstar))
    before, after = lab[path, step], lab[path, step + 1]
    share = _share(lstar, before, after)
    keep = far_out((before + share * (after - before))[:, 1:])
    path, step = path[keep], step[keep]
    low, high = amounts[path, step], amounts[path, step + 1]
    before, after = before[keep], after[keep]
    for _ in range(3):
        middle = low + _share(lstar, before, after) * (high - low)
        found = mixer.lab(middle)
        short = ((found[:, 0] > lstar) == (before[:, 0] > lstar))[:, None]
        low, before = np.where(short, middle, low), np.where(short, found, before)
        high, after = np.where(short, high, middle), np.where(short, after, found)
    return found[np.abs(found[:, 0] - lstar) < CLOSE_LSTAR]


def _share(lstar: float, before: Array, after: Array) -> Array:
    """Return how far from one colour to the other a lightness lies, (n, 1), 0 to 1."""
    return (lstar - before[:, :1]) / (after[:, :1] - before[:, :1])
