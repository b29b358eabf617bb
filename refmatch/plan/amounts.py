"""How much paint a puddle takes, by the canvas it covers.

A canvas takes its area times the thickness of the film; what stays on palette and
brush comes on top. All figures here are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
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


CM_PER_INCH = 2.54
LONGEST_SIDE_CM = 1000.0

UNITS = {"": 1.0, "cm": 1.0, "mm": 0.1, "in": CM_PER_INCH, "inch": CM_PER_INCH}
UNITS |= {"inches": CM_PER_INCH, '"': CM_PER_INCH, "″": CM_PER_INCH}
"""Centimetres in what a canvas's sides may be written in."""

_CANVAS = re.compile(r"(\d+(?:[.,]\d+)?)([a-z\"″]*)[x×](\d+(?:[.,]\d+)?)([a-z\"″]*)")


@dataclass(frozen=True)
class Canvas:
    """A canvas: its sides, and those of the squares drawn on it (None for none), in centimetres."""

    width_cm: float
    height_cm: float
    grid_cm: float | None = None

    @property
    def in_inches(self) -> bool:
        """Whether it is sold by the inch: both sides are whole halves of one, and not whole cm."""
        sides = self.width_cm, self.height_cm
        by_inch = all(_is_whole(2.0 * side / CM_PER_INCH) for side in sides)
        return by_inch and not all(map(_is_whole, sides))

    @property
    def film_ml(self) -> float:
        """The paint that covers it, in millilitres: square centimetres times film."""
        return self.width_cm * self.height_cm * FILM_UM * 1e-4


def _is_whole(number: float) -> bool:
    return abs(number - round(number)) < 1e-6


def canvas_of(text: str, grid_cm: float | None = None) -> Canvas:
    """Return a canvas as it is written: "40x30" and "40x30cm" in centimetres, "16x20in" in inches.

    Raises:
        UsageError: not two sides, or no canvas is so large.
    """
    sides = _CANVAS.fullmatch("".join(text.lower().split()))
    if sides is None or not {sides[2], sides[4]} <= UNITS.keys():
        raise UsageError("not_a_canvas", text=text)
    unit = UNITS[sides[4]]
    width_cm = _number(sides[1]) * (UNITS[sides[2]] if sides[2] else unit)
    height_cm = _number(sides[3]) * unit
    if not 0.0 < min(width_cm, height_cm) <= max(width_cm, height_cm) <= LONGEST_SIDE_CM:
        raise UsageError("canvas_not_offered", text=text.strip(), most_cm=LONGEST_SIDE_CM)
    return Canvas(round(width_cm, 6), round(height_cm, 6), grid_cm)


def _number(text: str) -> float:
    return float(text.replace(",", "."))


@dataclass(frozen=True, eq=False)
class Amounts:
    """Paint for a canvas: ``puddles_ml`` in the order of work, and ``tubes_ml`` of each tube.

    A puddle's volume is what is painted with and what is drawn from it.
    """

    canvas: Canvas
    puddles_ml: Array
    tubes_ml: Mapping[str, float]


def amounts(
    canvas: Canvas,
    shares: Array,
    puddles: Sequence[Mixed],
    tubes: Sequence[str],
    painted: Array | None = None,
) -> Amounts:
    """Return how much of each puddle, and of each tube, a canvas takes, with spare.

    Args:
        canvas: its size.
        shares: of the picture, (targets,), in any unit; together they cover it.
        puddles: in the order of work, parts by volume.
        tubes: the names that the puddles' shares run by.
        painted: each target's paint beside the canvas's film, (targets,), where it is painted in
            layers; see `refmatch.plan.layers.painted`.
    """
    if painted is None:
        painted = np.asarray(shares, dtype=float) / np.sum(shares)
    covered = canvas.film_ml * painted
    needed = np.maximum(covered * (1.0 + SPARE), LEAST_PUDDLE_ML)
    own = [0.0 if puddle.target is None else float(needed[puddle.target]) for puddle in puddles]
    whole = np.array([ml * puddle.net for ml, puddle in zip(own, puddles, strict=True)])
    mixed, place = np.array(own), {puddle.label: i for i, puddle in enumerate(puddles)}
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


# What is bought for it. Tubes of 37 and 150 ml are what most makers fill (common practice, no
# source).

SMALL_TUBE_ML, LARGE_TUBE_ML = 37.0, 150.0


def tubes_for(volume_ml: float) -> tuple[int, int]:
    """Return how many tubes of 37 and of 150 ml hold so much paint: the fewest, then the smallest.

    Two small ones are still taken before a large one.
    """
    large = int(volume_ml // LARGE_TUBE_ML)
    rest = volume_ml - large * LARGE_TUBE_ML
    small = -(-rest // SMALL_TUBE_ML)
    if small > 2:
        return 0, large + 1
    return int(small), large
