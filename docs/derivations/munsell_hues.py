"""Derive refmatch/colorimetry/data/munsell_hues.json from the Munsell renotation.

Run from the top folder: ``python docs/derivations/munsell_hues.py``. For each of
the 40 hues of the atlas it writes the mean IPT hue angle of the real colours of
value 2 to 8 and chroma 4 or more, and how much CIELAB chroma goes into one step
of Munsell chroma there. The renotation is for illuminant C, its luminances are
relative to magnesium oxide; Bradford carries it to D50.
"""

from __future__ import annotations

import json
from pathlib import Path

import colour
import numpy as np

from refmatch.colorimetry.hues import ipt_hue_deg
from refmatch.colorimetry.lab import adaptation, chroma, xyz_to_lab
from refmatch.colorimetry.viewing import viewing

OUT = Path(__file__).parents[2] / "refmatch" / "colorimetry" / "data" / "munsell_hues.json"
FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
MAGNESIUM_OXIDE = 0.975
"""Reflectance of the renotation's white beside the perfect reflector (ASTM D1535)."""


def renotation() -> list[tuple[float, float, float, np.ndarray]]:
    """Return (hue 0 to 100, value, chroma, Lab under D50) of every real colour."""
    observer = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    white_c = 100.0 * colour.xy_to_XYZ(observer["C"])
    to_d50 = adaptation(white_c, viewing().white)
    rows = []
    for (hue, value, step), xyy in colour.MUNSELL_COLOURS["Munsell Colours Real"]:
        x, y, luminance = (float(number) for number in xyy)
        xyz = colour.xyY_to_XYZ([x, y, luminance * MAGNESIUM_OXIDE])
        rows.append((hue_step(hue), value, step, xyz_to_lab(to_d50 @ xyz, viewing().white)))
    return rows


def hue_step(hue: str) -> float:
    """Return a hue such as "2.5YR" as its place on the circle of 100 steps: 12.5."""
    number = hue.rstrip("RYGBP")
    return 10.0 * FAMILIES.index(hue[len(number) :]) + float(number)


def main() -> None:
    """Write the table."""
    chosen = [row for row in renotation() if 2 <= row[1] <= 8 and row[2] >= 4]
    hues = sorted({row[0] for row in chosen})
    angles, ratios = [], []
    for hue in hues:
        labs = np.array([row[3] for row in chosen if row[0] == hue])
        steps = np.array([row[2] for row in chosen if row[0] == hue])
        around = np.exp(1j * np.radians(ipt_hue_deg(labs))).mean()
        angles.append(round(float(np.degrees(np.angle(around)) % 360.0), 1))
        ratios.append(round(float(np.median(chroma(labs) / steps)), 2))
    table = {
        "source": "Munsell renotation (Newhall, Nickerson & Judd 1943), as carried by "
        f"colour-science {colour.__version__}",
        "munsell_hue": hues,
        "ipt_hue_deg": angles,
        "lab_chroma_per_step": ratios,
    }
    OUT.write_text(json.dumps(table, indent=1) + "\n")


if __name__ == "__main__":
    main()
