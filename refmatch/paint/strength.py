"""How strong a measured tube is beside what was assumed of it, and whether that is certain."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import BANDS
from refmatch.paint.box import Tube

NINE_IN_TEN = 1.645
"""Standard errors of a normal distribution within which nine of ten lie."""


@dataclass(frozen=True)
class Strength:
    """Tinting strength over the strength assumed, and its relative standard error."""

    ratio: float
    doubt: float

    @property
    def is_certain(self) -> bool:
        """Whether the tube differs by more than nine of ten errors would make it."""
        return abs(float(np.log(self.ratio))) > NINE_IN_TEN * self.doubt


def strength_beside(tube: Tube, assumed: Tube) -> Strength:
    """Compare all the light that two tubes take away, a part of each in much of the same white.

    In white, K alone tells how strong a tint is, and its sum over the spectrum how much light
    is lost; the tube's own ways of being off say how sure that sum is.
    """
    absorption = tube.absorption.sum()
    weights = tube.absorption / absorption
    errors = tube.modes[:, :BANDS] @ weights
    return Strength(
        ratio=float(absorption / assumed.absorption.sum()),
        doubt=float(np.sqrt((errors**2).sum())),
    )
