"""Derive refmatch/swatch/data/chart_patches.json: reflectance of the common 24-patch chart.

Run from the top folder: ``python docs/derivations/chart_patches.py``. The numbers are the
averages of thirty charts by BabelColor (2012), as carried by colour-science under that name;
the patches stand row by row from the top left, the six greys last, white first among them.
"""

from __future__ import annotations

import json
from pathlib import Path

import colour
import numpy as np

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM

OUT = Path(__file__).parents[2] / "refmatch" / "swatch" / "data" / "chart_patches.json"
DIGITS = 5


def main() -> None:
    """Write the table."""
    patches = colour.SDS_COLOURCHECKERS["BabelColor Average"]
    table = {
        "source": "BabelColor 2012, averages of thirty 24-patch charts, as carried by "
        f"colour-science {colour.__version__}",
        "reflectance": [
            np.round(np.interp(WAVELENGTHS_NM, each.wavelengths, each.values), DIGITS).tolist()
            for each in patches.values()
        ],
    }
    OUT.parent.mkdir(exist_ok=True)
    OUT.write_text(json.dumps(table) + "\n")


if __name__ == "__main__":
    main()
