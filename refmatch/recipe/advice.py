"""Which few dabs, painted and measured, would most reduce the doubt of the mixes that are wanted.

Every tube's curves are open in a few independent ways. A dab narrows them by what it
would show, whatever that turns out to be: the covariance after a measurement does not
hang on its outcome (Kalman 1960, doi:10.1115/1.3662552). So dabs can be tried on paper,
and the best taken one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, Tube
from refmatch.paint.fit.belief import KNOWN, belief_of, belief_of_white
from refmatch.recipe.doubt import metric
from refmatch.recipe.habits import holds_black
from refmatch.recipe.mixture import Palette

PHOTOGRAPHED, MEASURED = 1.5, 0.3
"""Standard error of a dab's Lab, read from a photo or by an instrument (own choice)."""

HAND = 0.05
"""Relative error of each part of a dab that is weighed or spooned out with care."""

TINTS = (0.0, 1.0, 9.0, 30.0)
"""Parts of white to one of a tube in the dabs that are thought of; 0 is as squeezed."""

BLACK_SHARE = 0.02
LEAST_GAIN = 0.02
"""A dab that narrows the doubt by less than this part is not worth painting."""


@dataclass(frozen=True)
class Dab:
    """A dab to paint: tubes and parts, and the doubt (dE00 at one standard error) it leaves.

    ``before`` and ``after`` are the root mean square over all mixes wanted.
    """

    portions: tuple[tuple[str, float], ...]
    before: float
    after: float


def advise(
    box: Box, wanted: Sequence[Array], count: int = 5, lab_error: float = PHOTOGRAPHED
) -> tuple[Dab, ...]:
    """Return the dabs that help most, best first; each is chosen with those before it painted.

    Args:
        box: any box; tubes that nobody has measured are taken as open as their pigment is.
        wanted: mixes as parts of the box's tubes, (tubes,) each.
        count: at most so many.
        lab_error: the standard error of reading a dab.
    """
    table = _Table(box)
    spread: Array = np.eye(table.size)
    goals = [table.slopes(parts, lengths=True) for parts in wanted]
    held = np.any(np.stack(wanted) > 0.0, axis=0) | [tube.is_white for tube in box.tubes]
    dabs = [dab for dab in table.thinkable() if not np.any(dab[~held])]
    found: list[Dab] = []
    for _ in range(min(count, len(dabs))):
        before = _doubt(goals, spread)
        left = [_doubt(goals, _after(spread, table, dab, lab_error)) for dab in dabs]
        best = int(np.argmin(left))
        after = left[best]
        if after > before * (1.0 - LEAST_GAIN):
            break
        found.append(Dab(table.portions(dabs[best]), before, after))
        spread = _after(spread, table, dabs.pop(best), lab_error)
    return tuple(found)


class _Table:
    """A box's tubes with the ways in which each is open, numbered through all of them."""

    def __init__(self, box: Box) -> None:
        self.box, self.palette = box, Palette.of(box.tubes, box.surface)
        self.white = box.white
        self.modes = [_modes(tube, tube is self.white) for tube in box.tubes]
        ends = np.cumsum([len(modes) for modes in self.modes])
        self.spans = [
            slice(int(end) - len(modes), int(end))
            for end, modes in zip(ends, self.modes, strict=True)
        ]
        self.size = int(ends[-1])

    def slopes(self, parts: Array, *, lengths: bool = False) -> Array:
        """Return how the mix's Lab hangs on every open way, (3, size); as lengths in dE00."""
        by_curves = self.palette.lab_by_curves(parts)
        slopes = np.zeros((3, self.size))
        for index in np.flatnonzero(parts):
            slopes[:, self.spans[index]] = by_curves[index] @ self.modes[index].T
        return _root_of_metric(self.palette.lab(parts)) @ slopes if lengths else slopes

    def hand(self, parts: Array) -> Array:
        """Return the covariance, (3, 3), that the hand adds to a dab of several tubes."""
        if np.count_nonzero(parts) < 2:
            return np.zeros((3, 3))
        _, by_part = self.palette.lab_and_slopes(parts)
        off = by_part * parts * HAND
        return off @ off.T

    def thinkable(self) -> list[Array]:
        """Return the dabs to choose from: tints of each tube, colours with black, dark pairs."""
        white = self.box.tubes.index(self.white)
        black = holds_black(self.box)
        colours = [i for i, tube in enumerate(self.box.tubes) if not tube.is_white and not black[i]]
        dabs = [
            self._dab({i: 1.0, white: tint})
            for i, tube in enumerate(self.box.tubes)
            if not tube.is_white
            for tint in TINTS
        ]
        blacks = [int(index) for index in np.flatnonzero(black)]
        dabs += [self._dab({i: 1.0, b: BLACK_SHARE}) for i in colours for b in blacks]
        dabs += [self._dab({i: 1.0, j: 1.0}) for i in colours for j in colours if i < j]
        return dabs

    def portions(self, dab: Array) -> tuple[tuple[str, float], ...]:
        """Return a dab by the tubes' names."""
        return tuple((self.box.tubes[i].name, float(dab[i])) for i in np.flatnonzero(dab))

    def _dab(self, parts: dict[int, float]) -> Array:
        row = np.zeros(len(self.box.tubes))
        for index, amount in parts.items():
            row[index] += amount
        return row


def _modes(tube: Tube, is_reference: bool) -> Array:
    """Return the ways in which a tube is open, (m, 62)."""
    if len(tube.modes) or not tube.is_generic:
        return tube.modes
    belief = belief_of_white(tube) if is_reference else belief_of(tube)
    return belief.factor.T * (tube.doubt / KNOWN.level)


def _after(spread: Array, table: _Table, dab: Array, lab_error: float) -> Array:
    """Return the covariance once a dab was read."""
    slopes = table.slopes(dab)
    crossed = spread @ slopes.T
    noise = lab_error**2 * np.eye(3) + table.hand(dab)
    return spread - crossed @ np.linalg.solve(slopes @ crossed + noise, crossed.T)


def _doubt(goals: Sequence[Array], spread: Array) -> float:
    squares = [float(np.trace(goal @ spread @ goal.T)) for goal in goals]
    return float(np.sqrt(np.mean(squares)))


def _root_of_metric(lab: Array) -> Array:
    return np.linalg.cholesky(metric(lab)).T
