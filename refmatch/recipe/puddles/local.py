"""Local colours: which targets of a picture are one colour in light and in shadow.

Of a thing in one light the photo shows a run of colours, from its light to its shadow,
that stays about its hue. Targets near in hue and not far in strength are taken for one
such run; what the thing is, recipes do not know.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.puddles.rules import Look, apart, look_at

SAME_HUE, SAME_STRENGTH = 10.0, 4.0
"""Within what all of one run lie: steps of Munsell hue, of 100 (one of its ten families), and
steps of Munsell chroma (the width of "moderate"), all brought to value 5: in less light
a thing keeps its chromaticity, so that its chroma falls about as its value does."""

LEAST_VALUE = 1.0
"""Darker than this, chroma is not brought to value 5 any further."""

MOST_BETWEEN = 3.0
"""How many values may lie between two neighbours on a run."""

LEAST_SPAN = 1.5
"""The least values from light to shadow for which a string is laid out."""

AS_ONE_LSTAR = 8.0
"""Targets of a run nearer in L* than this count as one place on it: their mean."""


@dataclass(frozen=True, eq=False)
class LocalColour:
    """Targets of one local colour, and the run through them.

    ``places`` are theirs in the set, lightest first; ``run`` (k, 3) is Lab from light to
    shadow, L* falling, k >= 2.
    """

    places: tuple[int, ...]
    run: Array

    def at(self, lstar: float) -> Array:
        """Return the colour of the run, (3,), at an L* within it."""
        rising = self.run[::-1]
        return np.array([np.interp(lstar, rising[:, 0], rising[:, axis]) for axis in range(3)])


def local_colours(labs: Array, shares: Array) -> tuple[LocalColour, ...]:
    """Return the local colours among targets (n, 3), those of the largest share first.

    Greys have no hue to hold together and are left out, and so is what spans less
    than `LEAST_SPAN` values.
    """
    looks = look_at(labs)
    whole = [piece for group in _groups(looks) for piece in _unbroken(looks.value, group)]
    groups = [group for group in whole if np.ptp(looks.value[group]) >= LEAST_SPAN]
    groups.sort(key=lambda group: (-round(float(np.sum(shares[group])), 9), group))
    return tuple(_local_colour(labs, shares, group) for group in groups)


def _groups(looks: Look) -> list[list[int]]:
    """Join the nearest in hue, until no two groups are near in hue and strength throughout."""
    off = apart(looks.hue, looks.hue[:, None]) / SAME_HUE
    strength = looks.chroma * 5.0 / np.maximum(looks.value, LEAST_VALUE)
    off = np.maximum(off, np.abs(strength - strength[:, None]) / SAME_STRENGTH)
    groups = [[place] for place in np.flatnonzero(~np.isnan(looks.hue)).tolist()]
    while len(groups) > 1:
        farthest = {
            (one, other): float(off[np.ix_(groups[one], groups[other])].max())
            for one in range(len(groups))
            for other in range(one)
        }
        one, other = min(farthest, key=lambda pair: (round(farthest[pair], 9), pair))
        if farthest[one, other] > 1.0:
            break
        groups[other] = sorted(groups[other] + groups.pop(one))
    return groups


def _unbroken(value: Array, group: Sequence[int]) -> list[list[int]]:
    """Part a group where too many values lie between two neighbours."""
    order = sorted(group, key=lambda place: (-round(float(value[place]), 9), place))
    gaps = np.flatnonzero(-np.diff(value[order]) > MOST_BETWEEN) + 1
    return [piece.tolist() for piece in np.split(np.array(order), gaps)]


def _local_colour(labs: Array, shares: Array, group: Sequence[int]) -> LocalColour:
    order = sorted(group, key=lambda place: (-round(float(labs[place, 0]), 9), place))
    runs: list[list[int]] = [[order[0]]]
    for place in order[1:]:
        near = labs[runs[-1][0], 0] - labs[place, 0] < AS_ONE_LSTAR
        runs[-1].append(place) if near else runs.append([place])
    run = [np.average(labs[same], axis=0, weights=shares[same]) for same in runs]
    return LocalColour(tuple(order), np.array(run))
