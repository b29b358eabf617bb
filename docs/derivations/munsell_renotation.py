"""Derive refmatch/colorimetry/data/munsell_renotation.json from the Munsell renotation.

Run from the top folder: ``python docs/derivations/munsell_renotation.py``. For each hue of the
atlas and each value it writes the chromaticities under illuminant C at chroma 2, 4, 6 and so on, as
published with the extrapolations towards the strongest colours ("all.dat").
"""

from __future__ import annotations

import json
from pathlib import Path

import colour
from munsell_hues import hue_step

OUT = Path(__file__).parents[2] / "refmatch" / "colorimetry" / "data" / "munsell_renotation.json"


def main() -> None:
    """Write the table."""
    rows: dict[float, dict[float, dict[float, list[float]]]] = {}
    for (hue, value, chroma), xyy in colour.MUNSELL_COLOURS["Munsell Colours All"]:
        by_value = rows.setdefault(hue_step(hue), {}).setdefault(float(value), {})
        by_value[float(chroma)] = [float(xyy[0]), float(xyy[1])]
    table = {
        "source": "Munsell renotation (Newhall, Nickerson & Judd 1943), all.dat, as carried by "
        f"colour-science {colour.__version__}",
        "white_xy": [0.31006, 0.31616],
        "hues": {
            f"{hue:g}": {
                f"{value:g}": [rows[hue][value][chroma] for chroma in steps(rows[hue][value])]
                for value in sorted(rows[hue])
            }
            for hue in sorted(rows)
        },
    }
    OUT.write_text(json.dumps(table, separators=(",", ":")) + "\n")


def steps(by_chroma: dict[float, list[float]]) -> list[float]:
    """Return the chromas of a row, 2, 4 and so on without a gap."""
    listed = sorted(by_chroma)
    assert listed == [2.0 * (i + 1) for i in range(len(listed))], listed
    return listed


if __name__ == "__main__":
    main()
