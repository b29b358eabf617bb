"""How much paint a puddle takes, by the canvas it covers.

A canvas takes its area times the thickness of the film; what stays on palette and
brush comes on top. All figures here are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.plan.mothers import Mixed

PUDDLE_ML = 5.0
"""One puddle: a teaspoon (our own choice)."""

FILM_UM = 100.0
"""A film of paint as the brush leaves it, neither scrubbed in nor laid on with the knife, in
micrometres: a tenth of a millimetre (common practice, no source). A 40 ml tube so covers
0.4 square metres."""

SPARE = 0.5
"""What is mixed beyond what the canvas takes: half as much again (common practice, no source).
A puddle mixed anew never quite matches."""

LEAST_PUDDLE_ML = 0.5
"""Less than a pea cannot be mixed with a knife (common practice, no source)."""

BEAD_MM = 7.0
"""How wide paint comes out of a 40 ml tube, in millimetres (common practice, no source)."""


@dataclass(frozen=True)
class Canvas:
    """A canvas: its sides, and those of the squares drawn on it (None for none), in centimetres."""

    width_cm: float
    height_cm: float
    grid_cm: float | None = None

    @property
    def film_ml(self) -> float:
        """The paint that covers it, in millilitres: square centimetres times film."""
        return self.width_cm * self.height_cm * FILM_UM * 1e-4


@dataclass(frozen=True, eq=False)
class Amounts:
    """Paint for a canvas: ``puddles_ml`` in the order of work, and ``tubes_ml`` of each tube.

    A puddle's volume is what is painted with and what is drawn from it.
    """

    canvas: Canvas
    puddles_ml: Array
    tubes_ml: Mapping[str, float]


def amounts(
    canvas: Canvas, shares: Array, puddles: Sequence[Mixed], tubes: Sequence[str]
) -> Amounts:
    """Return how much of each puddle, and of each tube, a canvas takes, with spare.

    Args:
        canvas: its size.
        shares: of the picture, (targets,), in any unit; together they cover it.
        puddles: in the order of work, parts by volume.
        tubes: the names that the puddles' shares run by.
    """
    covered = canvas.film_ml * np.asarray(shares, dtype=float) / np.sum(shares)
    needed = np.maximum(covered * (1.0 + SPARE), LEAST_PUDDLE_ML)
    painted = [0.0 if puddle.target is None else float(needed[puddle.target]) for puddle in puddles]
    whole = np.array([ml * puddle.net for ml, puddle in zip(painted, puddles, strict=True)])
    mixed, place = np.array(painted), {puddle.label: i for i, puddle in enumerate(puddles)}
    for index in range(len(puddles) - 1, -1, -1):  # what is drawn stands after its source
        drawn = puddles[index]
        if drawn.drawn_from is not None:
            parts = drawn.of_it + sum(laid.parts for laid in drawn.laid_out)
            mixed[place[drawn.drawn_from]] += mixed[index] * drawn.of_it / parts
    by_tube = zip(tubes, whole.sum(axis=0).tolist(), strict=True)
    return Amounts(canvas, mixed, {tube: ml for tube, ml in by_tube if ml > 0.0})


def squeezed_cm(volume_ml: float) -> float:
    """Return how long a bead of paint from a 40 ml tube is, in centimetres."""
    return volume_ml / (np.pi / 4.0 * (BEAD_MM / 10.0) ** 2)


def millilitres(volume_ml: float) -> str:
    """Return a volume to two figures: "0.045 ml", "3.2 ml", "12.5 ml"."""
    figure = f"{volume_ml:.1f}".removesuffix(".0") if volume_ml >= 10.0 else f"{volume_ml:.2g}"
    return f"{figure} ml"
