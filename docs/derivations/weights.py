"""Derive refmatch/colorimetry/data/weights.json from colour-science's CIE tables.

Run from the top folder: ``python docs/derivations/weights.py``. It writes the
(31, 3) weight matrix of each viewing condition: ASTM E2022 weighting factors at
10 nm, 360 to 780 nm, with what lies beyond 400 and 700 nm folded into the end
bands as ASTM E308 says.
"""

from __future__ import annotations

import json
from pathlib import Path

import colour
import numpy as np
from colour.colorimetry import (
    adjust_tristimulus_weighting_factors_ASTME308,
    tristimulus_weighting_factors_ASTME2022,
)

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM

ILLUMINANTS = ("D50", "D65", "A", "LED-B3")
OBSERVER = "CIE 1931 2 Degree Standard Observer"
WIDE = colour.SpectralShape(360, 780, 10)
OURS = colour.SpectralShape(WAVELENGTHS_NM[0], WAVELENGTHS_NM[-1], 10)
OUT = Path(__file__).parents[2] / "refmatch" / "colorimetry" / "data" / "weights.json"


def weights(illuminant: str) -> np.ndarray:
    """Return the (31, 3) weights under one illuminant, for reflectance 0 to 1, Y = 100."""
    fine = colour.SpectralShape(360, 780, 1)
    observer = colour.MSDS_CMFS[OBSERVER].copy().align(fine)
    light = colour.SDS_ILLUMINANTS[illuminant].copy().align(fine)
    wide = tristimulus_weighting_factors_ASTME2022(observer, light, WIDE)
    return adjust_tristimulus_weighting_factors_ASTME308(wide, WIDE, OURS)


def main() -> None:
    """Write the table."""
    table = {
        "source": "CIE 015:2018 observer and illuminants, as carried by colour-science "
        f"{colour.__version__}; weights by ASTM E2022, ends folded by ASTM E308",
        "observer": "CIE 1931 2 degrees",
        "weights": {name: np.round(weights(name), 6).tolist() for name in ILLUMINANTS},
    }
    OUT.write_text(json.dumps(table, separators=(",", ":")) + "\n")


if __name__ == "__main__":
    main()
