"""Finding a 24-patch chart in a photo: where its patches lie, or that there is none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from refmatch.card.chart.colours import COLUMNS, ROWS, Likeness, likeness, places
from refmatch.card.chart.lattice import Lattice, lattices
from refmatch.card.chart.quads import quads_in
from refmatch.card.homography import project
from refmatch.colorimetry.display import XYZ_TO_SRGB
from refmatch.colorimetry.spectrum import Array
from refmatch.photo.overview import seen_at
from refmatch.photo.photo import Photo
from refmatch.swatch.tone import lightness

LONGEST_SIDE_PX = 2400
"""The chart is looked for at this size: its gaps are two pixels wide where it is small."""

LEAST_WITHIN = 0.7
"""Of the spots on a lattice, within the chart's four rows and six columns."""

GRID: Array = np.linspace(-0.5, 0.5, 5)
"""Where a patch is looked at, in halves of its side."""

TURNS: tuple[Array, ...] = tuple(
    np.array(turn, float)
    for turn in (
        [[1, 0], [0, 1]],
        [[0, 1], [-1, 0]],
        [[-1, 0], [0, -1]],
        [[0, -1], [1, 0]],
        [[-1, 0], [0, 1]],
        [[0, 1], [1, 0]],
        [[1, 0], [0, -1]],
        [[0, -1], [-1, 0]],
    )
)
"""The chart's columns and rows in those of the lattice: four turns, and each as in a mirror."""


@dataclass(frozen=True, eq=False)
class ChartFound:
    """Where a chart lies.

    ``to_photo`` (3, 3) takes steps from patch to patch, counted from the chart's middle, columns
    to the right, to pixels of the photo; ``half`` is half a patch's side in steps, ``residual``
    the root mean square, in steps, by which the patches seen miss a flat chart.
    """

    to_photo: Array
    half: float
    residual: float
    likeness: Likeness

    def outlines_px(self) -> Array:
        """Return the corners of all patches in the photo, (24, 4, 2), from each one's top left."""
        square = self.half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
        return project(self.to_photo, places()[:, None] + square)


def find_chart(photo: Photo) -> ChartFound | None:
    """Return where a 24-patch chart lies in a photo, at any turn, or None where none is seen."""
    working = seen_at(photo, LONGEST_SIDE_PX)
    codes = lightness(np.maximum(100.0 * working.xyz @ XYZ_TO_SRGB.T, 0.0).astype(np.float32))
    value = np.clip(255.0 * codes.max(axis=-1), 0.0, 255.0).astype(np.uint8)
    best: ChartFound | None = None
    for lattice in lattices(quads_in(value)):
        for found in _charts_on(lattice, codes, working.scale):
            if best is None or found.likeness.share > best.likeness.share:
                best = found
    return best


def _charts_on(lattice: Lattice, codes: Array, scale: float) -> Iterator[ChartFound]:
    """Yield every way in which a chart may lie on a lattice that its colours agree with."""
    for turn in TURNS:
        size = np.abs(turn) @ np.array([COLUMNS, ROWS])
        for middle in _middles(lattice.places, size):
            onto = np.eye(3)
            onto[:2, :2], onto[:2, 2] = turn, middle
            to_picture = lattice.to_picture @ onto
            found = likeness(_seen(codes, to_picture, lattice.half))
            if found.is_chart:
                to_photo = np.diag([1.0 / scale, 1.0 / scale, 1.0]) @ to_picture
                yield ChartFound(to_photo / to_photo[2, 2], lattice.half, lattice.residual, found)


def _middles(spots: Array, size: Array) -> Iterator[Array]:
    """Yield where the middle of a chart of that size (columns, rows) may lie among spots."""
    low, high = spots.min(axis=0), spots.max(axis=0)
    starts = [range(int(high[k] - size[k] + 1 - 2), int(low[k]) + 3) for k in range(2)]
    for left in starts[0]:
        for top in starts[1]:
            first = np.array([left, top])
            within = ((spots >= first) & (spots < first + size)).all(axis=1)
            if within.mean() >= LEAST_WITHIN:
                yield first + (size - 1.0) / 2.0


def _seen(codes: Array, to_picture: Array, half: float) -> Array:
    """Return the mean of each patch, (24, 3), not a number where one lies outside."""
    grid = half * np.stack(np.meshgrid(GRID, GRID), axis=-1).reshape(-1, 2)
    points = project(to_picture, places()[:, None] + grid)
    columns, rows = np.moveaxis(np.floor(points).astype(int), -1, 0)
    inside = (columns >= 0) & (rows >= 0) & (columns < codes.shape[1]) & (rows < codes.shape[0])
    rows, columns = np.where(inside, rows, 0), np.where(inside, columns, 0)
    seen: Array = codes[rows, columns].mean(axis=1)
    seen[~inside.all(axis=1)] = np.nan
    return seen
