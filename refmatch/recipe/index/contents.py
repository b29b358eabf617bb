"""What an index holds: every recipe up to a price, so that whatever it lacks costs more."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from refmatch.recipe.entries import Entries
from refmatch.recipe.index.grid import CELLS, Grid, build, mark_cells
from refmatch.recipe.index.points import counts, whole_ratios
from refmatch.recipe.rank import LET_DOWN_PRICE, PART_PRICE, TUBE_PRICE, price
from refmatch.recipe.subsets import Indices, members_of, spread_out

MOST_ROWS = 18_000_000
"""Recipes in a whole index: 10 bytes each, below 200 MB."""

MOST_SURVEYED = 40_000_000
"""Recipes beyond the index whose colours are looked at once, to know where none lies."""

FIRST_ROWS = 1_200_000
"""Recipes in the index that is built while the painter waits."""


@dataclass(frozen=True, eq=False)
class Index:
    """Every recipe of a box that costs at most ``complete_to``, in dE00 of price.

    ``complete_to`` is infinite where the index holds all recipes there are. ``beyond``
    are the cells in which recipes lie that it does not hold, sorted; None where they
    are too many to have been looked at.
    """

    grids: tuple[Grid, ...]
    complete_to: float
    beyond: Indices | None = None

    @functools.cached_property
    def block_keys(self) -> Indices:
        """The blocks that some grid holds, each once."""
        return np.unique(np.concatenate([grid.block_key for grid in self.grids]))

    @property
    def rows(self) -> int:
        """How many recipes it holds."""
        return sum(len(grid.recipe) for grid in self.grids)

    @property
    def nbytes(self) -> int:
        """Memory of its arrays."""
        return sum(grid.nbytes for grid in self.grids)


EMPTY = Index((), 0.0)
"""Holds nothing, and so proves nothing."""


@dataclass(frozen=True, eq=False)
class _Class:
    """Subsets of one size whose tubes cost the same.

    ``base_price`` is what tubes and let-downs cost; ``tube_price`` the tubes alone, by
    which recipes are taken in. So let-downs are held to the same totals as the tubes
    themselves: they cost more, but a hand often comes nearer with them.
    """

    members: Indices
    base_price: float
    tube_price: float
    counts: Indices

    def most_parts(self, limit: float) -> int:
        """Return the largest total that keeps to a limit of tubes and parts (0: none does)."""
        parts = int(np.floor((limit - self.tube_price) / PART_PRICE + 1e-9))
        return max(0, min(parts, len(self.counts) - 1))

    def rows(self, limit: float) -> int:
        """Return how many recipes keep to a limit of tubes and parts."""
        return len(self.members) * int(self.counts[self.most_parts(limit)])


def build_index(
    entries: Entries,
    tubes: int,
    total: int,
    most_rows: int = MOST_ROWS,
    most_surveyed: int = MOST_SURVEYED,
) -> Index:
    """Build an index of as many recipes as ``most_rows`` allows, cheapest first.

    Args:
        entries: of the box.
        tubes: the largest number of tubes in a recipe.
        total: the largest total of parts.
        most_rows: bounds memory and time.
        most_surveyed: how many recipes beyond these may be looked at.
    """
    classes: list[_Class] = []
    limit, complete_to = float("inf"), float("inf")
    for size in range(1, min(tubes, len(entries.items)) + 1):
        if TUBE_PRICE * (size - 1) + PART_PRICE * size > limit:
            break  # the cheapest of this size costs more than all that fits
        classes += _classes(entries, size, tubes, total)
        limit, complete_to = _price_limit(classes, total, most_rows)
    grids = [
        build(entries.palette, each.members, most, each.base_price)
        for each in classes
        if (most := each.most_parts(limit)) >= each.members.shape[1]
    ]
    seen_all = classes[-1].members.shape[1] == min(tubes, len(entries.items))
    beyond = _survey(entries, classes, limit, most_surveyed) if seen_all else None
    return Index(tuple(grids), complete_to, beyond)


def _survey(
    entries: Entries, classes: list[_Class], limit: float, most_surveyed: int
) -> Indices | None:
    """Return the cells of all recipes beyond the limit, or None where there are too many."""
    left = [each for each in classes if each.most_parts(limit) < len(each.counts) - 1]
    rows = sum(len(each.members) * int(each.counts[-1]) - each.rows(limit) for each in left)
    if rows > most_surveyed:
        return None
    marks = np.zeros(CELLS if left else 0, dtype=bool)
    for each in left:
        ratios = whole_ratios(each.members.shape[1], len(each.counts) - 1)
        held = int(each.counts[each.most_parts(limit)])
        mark_cells(marks, entries.palette, each.members, ratios[held:])
    return np.flatnonzero(marks).astype(np.int32)


def _price_limit(classes: list[_Class], total: int, most_rows: int) -> tuple[float, float]:
    """Return up to which price all recipes fit within the rows, and are then all held."""
    dearest = max(each.tube_price for each in classes) + PART_PRICE * total
    if sum(each.rows(dearest) for each in classes) <= most_rows:
        return dearest, float("inf")
    steps = np.arange(0.0, dearest, PART_PRICE)
    fits = [limit for limit in steps if sum(each.rows(limit) for each in classes) <= most_rows]
    return float(fits[-1]), float(fits[-1])


def _classes(entries: Entries, size: int, tubes: int, total: int) -> list[_Class]:
    """Group all subsets of one size by what their tubes cost."""
    members = members_of(entries, size, tubes)
    ones = spread_out(members, np.ones_like(members), len(entries.items))
    base = np.round(price(entries, ones) - PART_PRICE * size, 9)
    let_downs = entries.is_let_down[members].sum(axis=1)
    alone = np.round(base - LET_DOWN_PRICE * let_downs, 9)
    return [
        _Class(members[same], float(base[same][0]), float(alone[same][0]), counts(size, total))
        for same in (
            (base == value) & (alone == tube_price)
            for value, tube_price in np.unique(np.column_stack([base, alone]), axis=0)
        )
    ]
