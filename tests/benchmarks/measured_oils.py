"""Real oils weighed and measured: `python -m tests.benchmarks.measured_oils`.

What swatches of some tubes tell of mixes that were not shown, by mass, on the road of ``refmatch
box measure``: an instrument's file with the shine included, films over white and black, a plan.
Each figure is told twice, as the instrument reads the mix and as a painter sees it, without the
shine of its own skin. Source of the spectra: ``docs/derivations/oils.py``.
"""

from __future__ import annotations

import argparse
import importlib
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.paint.fit.swatch import hiding_reflectance
from refmatch.paint.instrument.cgats_tables import cgats_text
from refmatch.paint.instrument.reading import Reading
from refmatch.paint.kubelka_munk import to_inner, to_measured
from refmatch.paint.measured_box import MeasureAsked, MeasuredBox, measure_box
from refmatch.recipe.doubt import covariance, uncertainty
from refmatch.recipe.mixture import Palette

sys.path.insert(0, str(Path(__file__).parents[2] / "docs" / "derivations"))
OILS: Any = importlib.import_module("oils")

WHITES = ("PW4", "PW1")
WHITE_AND_BLACK = ("07A", "07C", "07D", "07E")
COLOURS = ("04", "05", "06", "09", "10", "11", "12", "14")
"""Masstone (A), a tint of about 10 % in zinc white (B), and with about 1 % bone black (D)."""


@dataclass(frozen=True)
class Off:
    """How far a mix is from what was foretold, with its shine and without, and the stated p90."""

    label: str
    read: float
    seen: float
    p90: float


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--unknown", action="store_true", help="pigments are not named")
    unknown = asked.parse_args().unknown
    tints = [
        (("07A", "13A", "13B"), "13G"),
        (("07A", "13A", "13G"), "13B"),
        (("07A", "13B"), "13G"),
        (("07A", "13G"), "13B"),
    ]
    report("Prussian blue, another tint: masstone and tint, or one tint alone", tints, unknown)
    colours = {n: (f"{n}A", f"{n}B") for n in COLOURS}
    with_black = [((*WHITE_AND_BLACK, *colours[n]), f"{n}D") for n in COLOURS]
    report("with 1 % black, from masstone, tint, and tints of black", with_black, unknown)
    every = [label for n in COLOURS for label in (*colours[n], f"{n}D")]
    others = [
        ((*WHITE_AND_BLACK, *(label for label in every if label != f"{n}D")), f"{n}D")
        for n in COLOURS
    ]
    report("the same, the other colours with 1 % black shown too", others, unknown)
    report("tint from masstone alone", [(("07A", f"{n}A"), f"{n}B") for n in COLOURS], unknown)
    report("masstone from tint alone", [(("07A", f"{n}B"), f"{n}A") for n in COLOURS], unknown)
    blacks = [
        (tuple(label for label in WHITE_AND_BLACK if label != left), left)
        for left in WHITE_AND_BLACK[1:]
    ]
    report("tint of black in zinc white, from the other two", blacks, unknown)


def report(title: str, cases: Sequence[tuple[tuple[str, ...], str]], unknown: bool) -> None:
    """Print each mix, and what they come to."""
    found = [foretold(shown, label, unknown) for shown, label in cases]
    for name, off in (("read", [one.read for one in found]), ("seen", [one.seen for one in found])):
        within = np.mean([one <= each.p90 for one, each in zip(off, found, strict=True)])
        print(
            f"{title}, as {name}: mean {np.mean(off):.1f}, largest {max(off):.1f}, "
            f"within the stated p90 {within:.0%}"
        )
    told = (f"{one.label} {one.read:.1f}, {one.seen:.1f} ({one.p90:.1f})" for one in found)
    print("   " + "; ".join(told))


def foretold(shown: tuple[str, ...], label: str, unknown: bool) -> Off:
    """Return how far a mix is from what the shown swatches make of it, in dE00."""
    samples = {sample.label: sample for sample in OILS.read_samples()}
    wanted = samples[label]
    made = _measured([samples[one] for one in shown], unknown)
    parts = np.array([wanted.mass.get(_pigment(tube.name), 0.0) for tube in made.box.tubes])
    palette = Palette.of(made.box.tubes, made.box.surface)
    lab = palette.lab(parts)
    _, p90 = uncertainty(lab, covariance(palette, made.box.tubes, parts, lab))
    shining = replace(made.surface, f=1.0)
    hiding, _ = hiding_reflectance(*(to_inner(film, shining) for film in wanted.films))
    read = reflectance_to_lab(to_measured(hiding, shining))
    names = tuple(wanted.mass)
    seen = OILS.swatch_of(wanted, names, dict.fromkeys(names, 1.0)).reflectance
    return Off(
        label,
        float(delta_e_00(Palette.of(made.box.tubes, shining).lab(parts), read)),
        float(delta_e_00(lab, reflectance_to_lab(seen))),
        p90,
    )


def _measured(samples: Sequence[Any], unknown: bool) -> MeasuredBox:
    """Return the box that ``refmatch box measure`` makes of these films."""
    readings, plan = [], ["sample_id,tube,parts,pigment,backing"]
    for sample in samples:
        for film, ground in zip(sample.films[:2], ("white", "black"), strict=True):
            readings.append(Reading(f"{sample.label}{ground}", film, None))
            for pigment, parts in sample.mass.items():
                named = "" if unknown and pigment not in WHITES else pigment
                row = (f"{sample.label}{ground}", _tube(pigment), f"{parts:g}", named, ground)
                plan.append(",".join(row))
    for bare, ground in zip(samples[0].films[2:], ("white", "black"), strict=True):
        readings.append(Reading(f"bare {ground}", bare, None))
        plan.append(f"bare {ground},,,,{ground}")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "readings.txt").write_text(cgats_text(readings, None), "utf-8")
        (folder / "plan.csv").write_text("\n".join(plan), "utf-8")
        paths = (folder / "readings.txt", folder / "plan.csv")
        return measure_box(MeasureAsked(*paths, "included", "mass"), folder / "oils.toml")


def _tube(pigment: str) -> str:
    return f"tube of {pigment}"


def _pigment(tube: str) -> str:
    return tube.removeprefix("tube of ")


if __name__ == "__main__":
    main()
