"""The two ways to be near: CIEDE2000, and the held distance where a colour is out of reach."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from refmatch.colorimetry.bound import delta_e_00_at_least
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.reach import held_at_least, held_distance


@dataclass(frozen=True, eq=False)
class Measure:
    """A distance from one target: of colours (n, 3), and at least of boxes (low, high)."""

    distance: Callable[[Array], Array]
    at_least: Callable[[Array, Array], Array]


def ciede2000(target_lab: Array) -> Measure:
    """Return the measure of CIEDE2000 from a target, (3,)."""
    return Measure(
        lambda lab: delta_e_00(lab, target_lab),
        lambda low, high: delta_e_00_at_least(low, high, target_lab),
    )


def held(target_lab: Array) -> Measure:
    """Return the measure of the held distance from a target out of reach, (3,)."""
    return Measure(
        lambda lab: held_distance(lab, target_lab),
        lambda low, high: held_at_least(low, high, target_lab),
    )
