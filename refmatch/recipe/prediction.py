"""The colour of stated parts, with its doubt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.kubelka_munk import FINISHES, Surface
from refmatch.paint.portions import portions_of
from refmatch.recipe.doubt import covariance, generic_flags
from refmatch.recipe.mixture import Palette


@dataclass(frozen=True, eq=False)
class Prediction:
    """The colour of stated parts: reflectance (31,), Lab (3,) and its covariance (3, 3).

    The covariance is what each tube's error of strength makes of the colour, to first order,
    and where a curve is generic what that leaves open besides.
    """

    reflectance: Array
    lab: Array
    covariance: Array
    finish: str
    specular: str
    surface: Surface
    parts: str
    flags: tuple[Flag, ...]


def predict(
    portions: Sequence[str], box: Box | None, finish: str = "gloss", specular: str = "excluded"
) -> Prediction:
    """Return the colour of parts such as ``["ultramarine=3", "PW6=1"]``.

    Without a box, any built-in pigment may stand for a tube.

    Raises:
        UsageError: a portion is not TUBE=PARTS, or no part is above 0; an unknown finish or
            specular.
        UnknownTube: no such tube; the sentence lists the near names.
    """
    read = portions_of(portions, box)
    tubes, parts = [tube for tube, _ in read], np.array([amount for _, amount in read])
    surface = _skin(box.surface if box else Surface(), finish, specular)
    palette = Palette.of(tubes, surface)
    seen = palette.reflectance(parts)
    lab = reflectance_to_lab(seen)
    return Prediction(
        reflectance=seen,
        lab=lab,
        covariance=covariance(palette, tubes, parts, lab),
        finish=finish,
        specular=specular,
        surface=surface,
        parts=box.parts if box else "volume",
        flags=generic_flags(tubes),
    )


def _skin(surface: Surface, finish: str, specular: str) -> Surface:
    """Return the surface as it is looked at: finish and specular decide what skin is seen."""
    if finish not in FINISHES:
        raise UsageError("no_such_finish", finish=finish)
    if specular not in ("included", "excluded"):
        raise UsageError("no_such_specular", specular=specular)
    return replace(surface, f=1.0 if specular == "included" else FINISHES[finish])
