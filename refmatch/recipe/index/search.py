"""The nearest recipes of an index, with the proof that none was passed over.

Best first: blocks of colours in the order of what they could be worth at best, then
their cells, then the recipes within. A block or a cell is left out only when even its
best colour at its lowest price would not get among those kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.index.contents import Index
from refmatch.recipe.index.grid import ACROSS, BLOCK, BLOCKS, CELL, CODES, Grid, corners
from refmatch.recipe.index.measures import Measure
from refmatch.recipe.subsets import Indices, spread_out

KEPT = 200
"""How many recipes of each price class are kept."""

MARGIN = 1.6
"""Recipes dearer than the best by more than this in all are not kept."""

RESOLUTION = 0.02
"""What rounding in the index may hide, in dE00: half a code in each of L*, a*, b*."""

ROWS_AT_ONCE = 4000


@dataclass(frozen=True, eq=False)
class Found:
    """What a search found: ``parts`` (n, entries), and the least nominal objective.

    ``gap`` is proved: no recipe at all, indexed or not, is better than ``best`` by more.
    """

    parts: Indices
    best: float
    gap: float


def nearest(
    index: Index, measure: Measure, entries: int, dues: Sequence[Array] | None = None
) -> Found:
    """Return the recipes of least distance and price, the best of each price class.

    Args:
        index: of the box.
        measure: the distance.
        entries: how many entries the box has.
        dues: for each grid, what the painter's habits add to the price of its subsets,
            (subsets,): 0 or more, infinite where a subset is not allowed.
    """
    best, pieces = float("inf"), []
    at_least = _of_blocks(index, measure)
    for number, grid in enumerate(index.grids):
        kept = _Kept(best)
        added = None if dues is None else dues[number]
        _search(_Field(grid, measure, added), at_least[grid.block_key], kept)
        best = min(best, kept.best)
        if len(kept.rows):
            pieces.append((grid, kept))
    parts = [_spread(grid, kept.within(best + MARGIN), entries) for grid, kept in pieces]
    whole = np.concatenate(parts) if parts else np.zeros((0, entries), dtype=np.intp)
    return Found(whole, best, proved_gap(index, measure, best))


def proved_gap(index: Index, measure: Measure, best: float) -> float:
    """Return by how much, at most, any recipe is better than one of objective ``best``.

    What the index does not hold costs more than its limit, and is no nearer than the
    nearest cell in which any of it lies.
    """
    gap = best - index.complete_to
    if gap > RESOLUTION and index.beyond is not None:
        gap -= _least(index.beyond, measure)
    return max(RESOLUTION, gap)


def _least(cells: Indices, measure: Measure) -> float:
    """Return the least bound of some cells, sorted by their keys; best blocks first."""
    blocks, start = np.unique(cells // ACROSS**3, return_index=True)
    end = np.append(start[1:], len(cells))
    low = corners(blocks * ACROSS**3).astype(float)
    worth = measure.at_least(low, low + BLOCK)
    least = float("inf")
    for block in np.argsort(worth, kind="stable"):
        if worth[block] >= least:
            break
        low = corners(cells[start[block] : end[block]]).astype(float)
        least = min(least, float(measure.at_least(low, low + CELL).min()))
    return least


class _Kept:
    """The best rows so far, and the objective that a further one must beat."""

    def __init__(self, best: float) -> None:
        self.best = best
        self.limit = best + MARGIN
        self.rows: Indices = np.zeros(0, dtype=np.intp)
        self.objective: Array = np.zeros(0)

    def add(self, rows: Indices, objective: Array) -> None:
        """Take in what is better than the limit, and draw the limit in."""
        better = objective < self.limit
        self.rows = np.concatenate([self.rows, rows[better]])
        self.objective = np.concatenate([self.objective, objective[better]])
        if len(self.rows) > KEPT:
            order = np.lexsort((self.rows, np.round(self.objective, 6)))[:KEPT]
            self.rows, self.objective = self.rows[order], self.objective[order]
            self.limit = min(self.limit, float(self.objective[-1]))
        if len(self.rows):
            self.best = min(self.best, float(self.objective.min()))
            self.limit = min(self.limit, self.best + MARGIN)

    def within(self, limit: float) -> Indices:
        """Return the rows whose objective is at most ``limit``."""
        return self.rows[self.objective <= limit]


def _of_blocks(index: Index, measure: Measure) -> Array:
    """Return the bound of every block that some grid holds, by the block's key."""
    at_least = np.full(BLOCKS, np.inf)
    low = corners(index.block_keys * ACROSS**3).astype(float)
    at_least[index.block_keys] = measure.at_least(low, low + BLOCK)
    return at_least


@dataclass(frozen=True, eq=False)
class _Field:
    """One grid to search, by which measure, and what habits add to its subsets' price."""

    grid: Grid
    measure: Measure
    dues: Array | None

    def objective(self, rows: Indices) -> Array:
        """Return the nominal objective of recipes, (n,)."""
        found = self.measure.distance(self.grid.lab[rows] / CODES) + self.grid.prices(rows)
        return found if self.dues is None else found + self.dues[self.grid.subsets(rows)]


def _search(field: _Field, at_least: Array, kept: _Kept) -> None:
    grid = field.grid
    worth = at_least + grid.least_price
    order = np.argsort(worth, kind="stable")
    at, batch = 0, 1
    while at < len(order) and worth[order[at]] < kept.limit:
        some = order[at : at + batch]
        cells = _runs(grid.block_start, some[worth[some] < kept.limit])
        _search_cells(field, kept, cells)
        at, batch = at + batch, min(2 * batch, 64)


def _search_cells(field: _Field, kept: _Kept, cells: Indices) -> None:
    grid = field.grid
    low = grid.cell_low[cells].astype(float)
    worth = field.measure.at_least(low, low + CELL) + grid.least_price
    order = np.argsort(worth, kind="stable")
    cells, worth = cells[order], worth[order]
    filled = np.cumsum(grid.cell_start[cells + 1] - grid.cell_start[cells])
    at = 0
    while at < len(cells) and worth[at] < kept.limit:
        before = filled[at - 1] if at else 0
        end = max(at + 1, int(np.searchsorted(filled, before + ROWS_AT_ONCE)))
        some = cells[at:end][worth[at:end] < kept.limit]
        rows = _runs(grid.cell_start, some)
        kept.add(rows, field.objective(rows))
        at = end


def _runs(start: Indices, which: Indices) -> Indices:
    """Return all numbers from start[i] up to start[i + 1], for each i of ``which``."""
    lengths = start[which + 1] - start[which]
    ends = np.cumsum(lengths)
    offsets = np.repeat(start[which] - (ends - lengths), lengths)
    return offsets + np.arange(ends[-1] if len(ends) else 0)


def _spread(grid: Grid, rows: Indices, entries: int) -> Indices:
    """Lay the parts of recipes out over all entries, (n, entries)."""
    subset, parts = grid.parts(rows)
    return spread_out(grid.members[subset], parts.astype(np.intp), entries)
