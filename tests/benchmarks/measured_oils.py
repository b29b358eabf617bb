"""Real oils weighed and measured: `python -m tests.benchmarks.measured_oils`.

What swatches of one tube tell of mixes that were not shown, by mass, on the road of
``refmatch box measure``: nothing is believed of a pigment beforehand but that curves are smooth.
Source of the spectra: ``docs/derivations/oils.py``.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from typing import Any

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.recipe.doubt import covariance, uncertainty
from refmatch.recipe.mixture import Palette

sys.path.insert(0, str(Path(__file__).parents[2] / "docs" / "derivations"))
OILS: Any = importlib.import_module("oils")

WHITE_AND_BLACK = ("07A", "07C", "07D", "07E")
COLOURS = {"06": "PR106", "09": "PG18", "11": "PB29", "12": "PB28", "14": "PY34"}


def main() -> None:
    print("Prussian blue, another tint foretold")
    foretold(("07A", "13A", "13B"), "13G", "from masstone and 6 % tint")
    foretold(("07A", "13A", "13G"), "13B", "from masstone and 1 % tint")
    foretold(("07A", "13B"), "13G", "from the 6 % tint alone")
    foretold(("07A", "13G"), "13B", "from the 1 % tint alone")
    print("colour with about 1 % black, from masstone, 10 % tint and tints of black")
    off = [
        foretold((*WHITE_AND_BLACK, f"{n}A", f"{n}B"), f"{n}D", name) for n, name in COLOURS.items()
    ]
    print(f"  mean {np.mean(off):.1f}, largest {max(off):.1f}")
    print("tints of black in zinc white, one left out")
    for left in ("07C", "07D", "07E"):
        foretold(tuple(label for label in WHITE_AND_BLACK if label != left), left, "")


def foretold(shown: tuple[str, ...], label: str, how: str) -> float:
    """Print, and return, how far a mix is from what the shown swatches make of it, in dE00."""
    samples = {sample.label: sample for sample in OILS.read_samples()}
    wanted = samples[label]
    names = tuple(dict.fromkeys(name for one in shown for name in samples[one].mass))
    mass = dict.fromkeys(names, 1.0)
    box = OILS.fit_samples(tuple(samples[one] for one in shown), names, mass).box
    swatch = OILS.swatch_of(wanted, names, mass)
    parts = np.zeros(len(names))
    parts[list(swatch.tubes)] = swatch.parts
    palette = Palette.of(box.tubes, box.surface)
    lab = palette.lab(parts)
    _, p90 = uncertainty(lab, covariance(palette, box.tubes, parts, lab))
    off = float(delta_e_00(lab, reflectance_to_lab(swatch.reflectance)))
    print(f"  {label} {how:32} {off:5.1f} (stated p90 {p90:.1f})")
    return off


if __name__ == "__main__":
    main()
