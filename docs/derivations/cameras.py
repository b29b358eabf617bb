"""Derive refmatch/dabs/data/cameras.json: what measured cameras make of light.

Run from the top folder: ``python docs/derivations/cameras.py``. Of the bodies in
``tests/data/cameras.csv`` those whose number is not divisible by 3 are written, 18 of 26; the
others are kept for the final figures of the benchmarks and for tests. Sensitivities are put on
the program's 31 bands, what lies beyond 400 and 700 nm folded into the end bands. With each goes
the 3 x 3 that its maker would fit: to the 24-patch chart by day (D65), least squares in linear
sRGB, white kept white. Nothing is known of what makers truly do; that they fit by day is common
practice. The powers of the illuminants that a sensor looks by are the CIE's.

Source of the sensitivities: rawtoaces-data (Academy Software Foundation), Apache-2.0; the bodies
go unnamed.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import colour
import numpy as np

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.dabs.camera import lamp
from refmatch.dabs.chart_colours import chart_patches

TOP = Path(__file__).parents[2]
MEASURED = TOP / "tests" / "data" / "cameras.csv"
OUT = TOP / "refmatch" / "dabs" / "data" / "cameras.json"
KEPT_BACK = 3
"""Bodies whose number this divides are kept back."""

ILLUMINANTS = ("D50", "D65", "A", "LED-B3")
DARK_WEIGHT = 0.05
"""A maker's fit counts patches by 1 / (Y + this), so that dark ones are not lost (own choice)."""

DIGITS = 5


def sensitivities() -> dict[int, np.ndarray]:
    """Return every body's sensitivities, (31, 3), by its number."""
    with MEASURED.open(newline="") as file:
        head, *rows = csv.reader(file)
    wavelengths = np.array(head[2:], dtype=float)
    band = np.clip(np.rint((wavelengths - WAVELENGTHS_NM[0]) / 10.0).astype(int), 0, 30)
    bodies: dict[int, np.ndarray] = {}
    for body, channel, *values in rows:
        one = bodies.setdefault(int(body.split("-")[1]), np.zeros((len(WAVELENGTHS_NM), 3)))
        np.add.at(one[:, "RGB".index(channel)], band, np.array(values, dtype=float))
    return bodies


def power(illuminant: str) -> np.ndarray:
    """Return the relative power, (31,), of a CIE illuminant."""
    table = colour.SDS_ILLUMINANTS[illuminant]
    return np.interp(WAVELENGTHS_NM, table.wavelengths, table.values)


def makers_matrix(sensitivity: np.ndarray) -> np.ndarray:
    """Return the 3 x 3 from white-balanced raw light to linear sRGB, white kept, fitted by day."""
    lit = sensitivity * power("D65")[:, None]
    patches = chart_patches()
    raw, wanted = patches @ (lit / lit.sum(axis=0)), patches @ lamp("D65")
    weight = 1.0 / (DARK_WEIGHT + wanted[:, 1:2])
    # rows that sum to 1 keep white white: fit the differences from green
    beside = raw[:, [0, 2]] - raw[:, 1:2]
    found = np.linalg.lstsq(beside * weight, (wanted - raw[:, 1:2]) * weight, rcond=None)[0]
    return np.stack([found[0], 1.0 - found.sum(axis=0), found[1]])


def main() -> None:
    """Write the table."""
    kept = {n: one for n, one in sensitivities().items() if n % KEPT_BACK}
    table = {
        "source": "sensitivities of 18 camera bodies: rawtoaces-data (Academy Software Foundation),"
        " Apache-2.0; illuminants: CIE 015:2018, as carried by"
        f" colour-science {colour.__version__}",
        "power": {name: np.round(power(name), 4).tolist() for name in ILLUMINANTS},
        "bodies": [
            {
                "number": number,
                "sensitivity": np.round(one, DIGITS).tolist(),
                "matrix": np.round(makers_matrix(one), DIGITS).tolist(),
            }
            for number, one in kept.items()
        ],
    }
    OUT.write_text(json.dumps(table, separators=(",", ":")) + "\n")


if __name__ == "__main__":
    main()
