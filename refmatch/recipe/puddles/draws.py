"""All that may be drawn from one puddle: parts of it, and parts of one or two tubes more.

Which parts there are does not hang on the puddle; so they are listed once for a box, with
the sums of what is added, and a puddle's own K and S come in afterwards.
"""

from __future__ import annotations

import functools
import itertools
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.recipe.entries import Entries
from refmatch.recipe.mixture import film
from refmatch.recipe.rank import LET_DOWN_PRICE, PART_PRICE, TUBE_PRICE
from refmatch.recipe.subsets import Indices, Mask

LEAST_OF_IT = 0.4
"""The share of the puddle under which a mix is no longer drawn from it, but a mix of its own."""

LEAST_IN_WHITE = 0.1
"""The same where white alone is added: whites and pale tints are a little colour in white."""

MOST_PARTS = {1: 20, 2: 12}
"""The largest total with one addition and with two (our own choice: beyond, the hand
mixes as well from tubes)."""

AS_IT_IS = 0
"""The row that adds nothing: the same puddle does for both."""

ROWS_AT_ONCE = 2_000
"""Mixes whose spectra are held at once."""


@dataclass(frozen=True, eq=False)
class Draws:
    """Ways to draw from any puddle: row i takes ``of_it`` parts of it and ``added`` of entries.

    ``of_it`` (n,), ``added`` (n, entries) are whole parts; ``absorption``, ``scattering``
    (n, 31) the sums of what is added; ``share`` (n, tubes) of each tube in the whole;
    ``price`` (n,) in dE00. Row `AS_IT_IS` adds nothing.
    """

    entries: Entries
    of_it: Indices
    added: Indices
    absorption: Array
    scattering: Array
    share: Array
    price: Array

    def lab(self, net: Array) -> Array:
        """Return the Lab, (n, 3), of all rows drawn from a puddle of net shares (tubes,), sum 1.

        In single precision, true to a thousandth, and so few rows at once that they stay in
        the cache.
        """
        tubes, seen = self.entries.tube_palette, viewing()
        absorption = (net @ tubes.absorption).astype(np.float32)
        scattering = (net @ tubes.scattering).astype(np.float32)
        weights = seen.weights.astype(np.float32)
        xyz = np.empty((len(self.of_it), 3))
        for start in range(0, len(xyz), ROWS_AT_ONCE):
            rows = slice(start, start + ROWS_AT_ONCE)
            of_it = self.of_it[rows, None].astype(np.float32)
            k, s = self.absorption[rows] + of_it * absorption, of_it * scattering
            xyz[rows] = film(k, self.scattering[rows] + s, tubes.surface) @ weights
        return xyz_to_lab(xyz, seen.white)

    def net(self, row: int, net: Array) -> Array:
        """Return the net shares, (tubes,), sum 1, of one row drawn from a puddle of such shares."""
        parts = self.of_it[row] * net + self.added[row] @ self.entries.net
        return parts / parts.sum()


def draws_of(entries: Entries, among: Mask) -> Draws:
    """List all ways to draw with one or two of the entries ``among``, (entries,), added.

    Each in lowest terms, with at least two fifths of the puddle in it (a tenth, where white
    alone is added), and never a tube beside its own let-down.
    """
    allowed = np.flatnonzero(among)
    white = np.array([tube.is_white for tube in entries.box.tubes])[entries.tube_index]
    pieces = [np.array([[1, *np.zeros(len(entries.items), dtype=np.intp)]])]
    for size in (1, 2):
        members = [
            row
            for row in itertools.combinations(allowed, size)
            if len({entries.tube_index[i] for i in row}) == size
        ]
        subsets = np.array(members, dtype=np.intp).reshape(-1, size)
        pieces.append(_laid_out(subsets, entries, LEAST_OF_IT))
    pieces.append(_laid_out(np.flatnonzero(among & white)[:, None], entries, LEAST_IN_WHITE))
    rows = np.concatenate(pieces)
    rows = rows[np.sort(np.unique(rows, axis=0, return_index=True)[1])]
    of_it, added = rows[:, 0], rows[:, 1:]
    curves = entries.palette
    net = added @ entries.net
    used = added > 0
    price = (
        TUBE_PRICE * used.sum(axis=1)
        + LET_DOWN_PRICE * (used & entries.is_let_down).sum(axis=1)
        + PART_PRICE * rows.sum(axis=1)
    )
    return Draws(
        entries,
        of_it,
        added,
        (added @ curves.absorption).astype(np.float32),
        (added @ curves.scattering).astype(np.float32),
        net / rows.sum(axis=1, keepdims=True),
        price,
    )


def _laid_out(members: Indices, entries: Entries, least: float) -> Indices:
    """Return every ratio of every subset of entries, (n, 1 + entries): the puddle's parts first."""
    ratios = _ratios(members.shape[1], least)
    full = np.zeros((len(members), len(ratios), 1 + len(entries.items)), dtype=np.intp)
    full[:, :, 0] = ratios[:, 0]
    at = np.broadcast_to(1 + members[:, None], (len(members), len(ratios), members.shape[1]))
    np.put_along_axis(full, at, np.broadcast_to(ratios[:, 1:], at.shape), axis=2)
    return full.reshape(-1, full.shape[2])


@functools.cache
def _ratios(size: int, least: float) -> Indices:
    """Return the parts of the puddle, its share at least so much, and of ``size`` additions."""
    most = MOST_PARTS[size]
    rows = np.array(list(itertools.product(range(1, most + 1), repeat=size + 1)), dtype=np.intp)
    total = rows.sum(axis=1)
    keep = (total <= most) & (rows[:, 0] >= least * total - 1e-9)
    return rows[keep & (np.gcd.reduce(rows, axis=1) == 1)]
