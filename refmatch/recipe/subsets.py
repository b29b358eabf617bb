"""All the ways to choose a few entries, and a first rough look at what each can reach."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.mixture import Entries, Palette, film

Indices = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

ROUGH_STEP = 5.0
"""Ratio between neighbouring amounts in the rough look."""

ROUGH_LEVELS = {1: 1, 2: 6, 3: 4, 4: 3, 5: 3}
"""How many amounts each entry takes in the rough look, by the number of entries."""


CHUNK = 200
"""Subsets looked at together: enough to be quick, few enough to stay in the cache."""


@dataclass(frozen=True, eq=False)
class Subsets:
    """All subsets of one size: their entries, and rough samples of their colours.

    ``members`` (subsets, size) indexes the entries; ``rough_parts`` (samples, size)
    are relative to each entry's own unit ``amount`` (entries,), which makes strong
    paints count as much as weak ones; ``rough_lab`` is (subsets, samples, 3).
    """

    members: Indices
    rough_parts: Array
    rough_lab: Array
    amount: Array

    @property
    def size(self) -> int:
        """The number of entries in each subset."""
        return int(self.members.shape[1])

    def pick(self, rows: Mask) -> Subsets:
        """Return the chosen subsets."""
        return replace(self, members=self.members[rows], rough_lab=self.rough_lab[rows])

    def start(self, subsets: Indices, samples: Indices) -> Array:
        """Return the shares, (n, size), of the chosen rough samples of the chosen subsets."""
        parts = self.rough_parts[samples] * self.amount[self.members[subsets]]
        return parts / parts.sum(axis=1, keepdims=True)


def gather(palette: Palette, members: Indices) -> Palette:
    """Return the batch of palettes, (n, size, 31), that the rows of ``members`` choose."""
    return Palette(palette.absorption[members], palette.scattering[members], palette.surface)


def spread_out(members: Indices, values: npt.NDArray[Any], entries: int) -> npt.NDArray[Any]:
    """Lay values (n, size) of the entries ``members`` (n, size) out over all, (n, entries)."""
    full = np.zeros((len(members), entries), dtype=values.dtype)
    np.put_along_axis(full, members, values, axis=1)
    return full


def members_of(entries: Entries, size: int, largest: int) -> Indices:
    """Return the subsets of one size, (subsets, size), that hold at most ``largest`` tubes."""
    rows = list(itertools.combinations(range(len(entries.items)), size))
    members = np.array(rows, dtype=np.intp).reshape(-1, size)
    return members[_allowed(entries, members, largest)]


def rough_look(entries: Entries, members: Indices, finer: int = 1) -> Subsets:
    """Return subsets of one size, (subsets, size), with rough samples of what they mix.

    ``finer`` is how many steps of the samples one step of the roughest look becomes.
    """
    size, amount = members.shape[1], 1.0 / _weight(entries.palette)
    steps = finer * (ROUGH_LEVELS[size] - 1) + 1
    levels = [row for row in itertools.product(range(steps), repeat=size) if min(row) == 0]
    rough = ROUGH_STEP ** -(np.array(levels, dtype=float) / finer)
    lab = np.empty((len(members), len(rough), 3))
    for start in range(0, len(members), CHUNK):
        chunk = members[start : start + CHUNK]
        parts = rough * amount[chunk][:, None, :]  # (subsets, samples, size)
        curves = gather(entries.palette, chunk)
        seen = film(parts @ curves.absorption, parts @ curves.scattering, curves.surface)
        lab[start : start + CHUNK] = reflectance_to_lab(seen)
    return Subsets(members, rough, lab, amount)


def _allowed(entries: Entries, members: Indices, largest: int) -> Mask:
    """Refuse a tube beside its own let-down, and more tubes than the hand may hold."""
    own = np.sort(entries.tube_index[members], axis=1)
    distinct = np.logical_and.reduce(np.diff(own, axis=1) > 0, axis=1)
    tubes = (entries.net[members] > 0.0).any(axis=1).sum(axis=1)
    return distinct & (tubes <= largest)


def _weight(palette: Palette) -> Array:
    """Return how strongly each entry makes itself felt, (entries,): its mean K and S."""
    return np.sqrt(palette.absorption.mean(axis=1) * 0.3 + palette.scattering.mean(axis=1) * 0.7)
