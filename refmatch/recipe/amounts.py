"""How much paint a puddle takes, told as nobody measures it: a pea, a hazelnut, a walnut."""

from __future__ import annotations

PUDDLE_ML = 5.0
"""One puddle: a teaspoon (our own choice)."""

SIZES = (
    (0.1, "a touch"),
    (0.6, "a pea"),
    (2.5, "a hazelnut"),
    (10.0, "a walnut"),
    (20.0, "two walnuts"),
    (30.0, "three walnuts"),
    (40.0, "most of a 40 ml tube"),
    (float("inf"), "more than a 40 ml tube"),
)
"""Upper ends in millilitres: spheres 10, 17 and 27 mm across (common practice, no source)."""


def squeeze_words(volume_ml: float) -> str:
    """Return the everyday word for so much paint."""
    return next(word for end, word in SIZES if volume_ml <= end)


def millilitres(volume_ml: float) -> str:
    """Return a volume to two figures: "0.045 ml", "3.2 ml", "12.5 ml"."""
    figure = f"{volume_ml:.1f}".removesuffix(".0") if volume_ml >= 10.0 else f"{volume_ml:.2g}"
    return f"{figure} ml"
