"""Recipes of one price class, sorted into cells of Lab so that a search can discard whole cells."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import EPSILON, KAPPA
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.recipe.index.points import part_sums, whole_ratios
from refmatch.recipe.mixture import Palette
from refmatch.recipe.rank import PART_PRICE
from refmatch.recipe.subsets import Indices

Codes = npt.NDArray[np.int16]

CODES = 100.0
"""Codes of stored Lab in one unit: a hundredth, far finer than any eye."""

CELL, BLOCK = 1.0, 8.0
"""Sides of a small cell and of a block of them, in Lab units."""

ACROSS = int(BLOCK / CELL)
"""Cells along one side of a block."""

BLOCKS = 64**3
"""How many blocks there may be: 64 along each axis."""

CELLS = BLOCKS * ACROSS**3
"""How many cells there may be."""

SHIFT = np.array([0.0, 160.0, 160.0])
"""Brings L*, a* and b* above 0; 160 is beyond any surface."""

ROWS_AT_ONCE = 40_000
"""Recipes whose spectra are held at once while building: they stay in the cache."""


@dataclass(frozen=True, eq=False)
class Grid:
    """All recipes of some subsets of one size and one base price, by the cell of their colour.

    ``members`` (subsets, size) are the entries, ``most_parts`` the largest total;
    ``lab`` (recipes, 3) int16 holds hundredths, ``recipe`` (recipes,) uint32 the
    subset's number times the number of ratios plus the ratio's; both sorted by cell.
    ``cell_low`` (cells, 3) are the corners of occupied cells and ``cell_start``
    (cells + 1,) their first recipes; ``block_key`` and ``block_start`` number
    the blocks, which hold runs of cells. ``base_price`` is what its tubes cost.
    """

    members: Indices
    most_parts: int
    base_price: float
    lab: npt.NDArray[np.int16]
    recipe: npt.NDArray[np.uint32]
    cell_low: npt.NDArray[np.int16]
    cell_start: npt.NDArray[np.int64]
    block_key: npt.NDArray[np.int32]
    block_start: npt.NDArray[np.int64]

    @property
    def size(self) -> int:
        """The number of entries in each recipe."""
        return int(self.members.shape[1])

    @property
    def nbytes(self) -> int:
        """Memory of its arrays."""
        arrays = (self.lab, self.recipe, self.cell_low, self.cell_start)
        return sum(array.nbytes for array in arrays)

    @property
    def least_price(self) -> float:
        """What the cheapest of its recipes may cost."""
        return self.base_price + PART_PRICE * self.size

    def prices(self, rows: Indices) -> Array:
        """Return what recipes cost, (n,)."""
        sums = part_sums(self.size, self.most_parts)
        return self.base_price + PART_PRICE * sums[self.recipe[rows] % len(sums)]

    def subsets(self, rows: Indices) -> Indices:
        """Return which subsets recipes are of, (n,)."""
        return self.recipe[rows].astype(np.intp) // len(part_sums(self.size, self.most_parts))

    def parts(self, rows: Indices) -> tuple[Indices, npt.NDArray[np.uint8]]:
        """Return the subsets of recipes and their parts, (n,) and (n, size)."""
        ratios = whole_ratios(self.size, self.most_parts)
        subset, ratio = np.divmod(self.recipe[rows].astype(np.intp), len(ratios))
        return subset, ratios[ratio]


def build(palette: Palette, members: Indices, most_parts: int, base_price: float) -> Grid:
    """Reckon the colour of every recipe of some subsets, in single precision, and sort them."""
    ratios = whole_ratios(members.shape[1], most_parts)
    lab = np.empty((len(members) * len(ratios), 3), np.int16)
    for subset, row in enumerate(members):
        start = subset * len(ratios)
        _colours(palette, row, ratios, lab[start : start + len(ratios)])
    return _sorted(lab, members, most_parts, base_price)


def mark_cells(
    marks: npt.NDArray[np.bool_], palette: Palette, members: Indices, ratios: npt.NDArray[np.uint8]
) -> None:
    """Mark the cells, (CELLS,), in which recipes of some subsets lie, without keeping them."""
    lab = np.empty((len(ratios), 3), np.int16)
    for row in members:
        _colours(palette, row, ratios, lab)
        marks[_keys(lab)] = True


def _colours(palette: Palette, row: Indices, ratios: npt.NDArray[np.uint8], out: Codes) -> None:
    """Write the Lab codes of one subset's ratios; the model of `mixture.film`, in float32."""
    absorption = palette.absorption[row].astype(np.float32)
    scattering = palette.scattering[row].astype(np.float32)
    weights = (viewing().weights / viewing().white).astype(np.float32)
    k1, k2, f = palette.surface.k1, palette.surface.k2, palette.surface.f
    shine = np.float32(f * k1) * weights.sum(axis=0)
    for start in range(0, len(ratios), ROWS_AT_ONCE):
        parts = ratios[start : start + ROWS_AT_ONCE].astype(np.float32)
        ratio = (parts @ absorption) / (parts @ scattering)
        inverse = 1.0 + ratio + np.sqrt(ratio * (ratio + 2.0))  # 1 / R, inside the film
        xyz = (np.float32((1.0 - k1) * (1.0 - k2)) / (inverse - np.float32(k2))) @ weights + shine
        root = np.where(xyz > EPSILON, np.cbrt(xyz), (KAPPA * xyz + 16.0) / 116.0)
        x, y, z = root.T
        lab = np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=1)
        out[start : start + ROWS_AT_ONCE] = np.rint(lab * CODES)


def _sorted(
    lab: npt.NDArray[np.int16], members: Indices, most_parts: int, base_price: float
) -> Grid:
    key = _keys(lab)
    order = np.argsort(key, kind="stable").astype(np.uint32)
    key = key[order]
    cells = np.flatnonzero(np.diff(key, prepend=-1))
    blocks = np.flatnonzero(np.diff(key[cells] // ACROSS**3, prepend=-1))
    return Grid(
        members=members,
        most_parts=most_parts,
        base_price=base_price,
        lab=lab[order],
        recipe=order,
        cell_low=corners(key[cells]),
        cell_start=np.append(cells, len(key)),
        block_key=key[cells[blocks]] // ACROSS**3,
        block_start=np.append(blocks, len(cells)),
    )


def _keys(lab: npt.NDArray[np.int16]) -> npt.NDArray[np.int32]:
    """Number the cells so that those of one block follow each other, (recipes,)."""
    side = int(CELL * CODES)
    shift = (SHIFT * CODES).astype(np.int16)
    key = np.zeros(len(lab), np.int32)
    inside = np.zeros(len(lab), np.int32)
    for axis in range(3):
        cell = (lab[:, axis] + shift[axis]) // side
        key = key * 64 + cell // ACROSS
        inside = inside * ACROSS + cell % ACROSS
    return key * ACROSS**3 + inside


def corners(key: npt.NDArray[np.signedinteger[Any]]) -> npt.NDArray[np.int16]:
    """Return the lower corners of cells in Lab units, (cells, 3)."""
    block, inside = np.divmod(key, ACROSS**3)
    blocks = np.stack([block // 4096, block // 64 % 64, block % 64], axis=1)
    cells = np.stack([inside // ACROSS**2, inside // ACROSS % ACROSS, inside % ACROSS], axis=1)
    return (blocks * BLOCK + cells * CELL - SHIFT).astype(np.int16)
