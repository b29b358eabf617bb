"""Derive refmatch/paint/data/*.toml, the built-in pigments, and say how good they are.

Run from the top folder: ``python docs/derivations/pigments.py``. It reads

- ``pigments.toml``: properties and a sketch of each absorption curve, from memory;
- ``measured_colours.toml``: published colours of paints and of their mixtures;
- ``convenience_mixtures.toml``: tubes sold ready mixed;

fits all curves at once (``pigment_fit.py``), writes one file a pigment, and rewrites the
section "The built-in pigments" of ``docs/accuracy.md``. The mixtures marked "check" take
no part in the fit, nor in choosing how it is done: they only judge.
"""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from oils import oil_files
from pigment_fit import fit, mixed_lab
from pigment_mixtures import fitted_parts
from pigment_prior import Doubts
from pigment_report import section, with_section
from pigment_task import (
    HERE,
    Task,
    fit_colours,
    let_down_lab,
    let_down_shares,
    let_downs,
    read_table,
    read_task,
)
from pigment_write import HEAD, Written, write_mixture, write_pigment

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array

TOP = HERE.parents[1]
DATA = TOP / "refmatch" / "paint" / "data"
PAGE = TOP / "docs" / "accuracy.md"
REMEMBERED = (
    "bands, edges and strength after its neighbours, Lab of masstone and tints, from memory"
)


def pigment_files(job: Task, curves: Array) -> dict[str, str]:
    """Return the text of every pigment's file by key."""
    found = {}
    for key, curve in zip(job.keys, curves, strict=True):
        rows, lab = let_downs(job, key)
        residuals = delta_e_00(mixed_lab(curves, rows), lab).tolist()
        written = Written(job.pigments[key], np.exp(curve), residuals)
        medium, source = "from memory", REMEMBERED
        if job.is_measured(key):
            medium = "acrylic, published"
            source = f"fitted to colours of this paint and its mixtures in {job.measured['source']}"
        found[key] = HEAD + write_pigment(key, written, medium, source)
    return found


def with_oils(job: Task, curves: Array) -> tuple[Task, Array]:
    """Add the pigments of ``oils.py``, which convenience mixtures may hold."""
    oils = oil_files()
    ln_curves = np.log(np.stack([oil.curves for oil in oils.values()]))
    return replace(job, keys=[*job.keys, *oils]), np.concatenate([curves, ln_curves])


def convenience_mixtures(job: Task, curves: Array) -> dict[str, dict[str, Any]]:
    """Return every convenience mixture by key, the parts that were open now fitted."""
    table = read_table("convenience_mixtures.toml")
    return {key: _with_parts(job, curves, key, table[key]) for key in table}


def _with_parts(job: Task, curves: Array, key: str, mixture: dict[str, Any]) -> dict[str, Any]:
    """Fit the parts where the table leaves them open."""
    if "parts" in mixture:
        return mixture

    def predicted(parts: dict[str, float]) -> Array:
        return mixed_lab(curves, let_down_shares(job, parts))

    lab = let_down_lab(job, key)
    parts = fitted_parts(mixture["pigments"], predicted, lab)
    residuals = delta_e_00(predicted(parts), lab).tolist()
    source = job.measured["source"]
    return mixture | {"parts": parts, "source": source, "residuals": residuals}


def main() -> None:
    """Fit all curves, write all files and the page."""
    parser = argparse.ArgumentParser(description="Derive the built-in pigments.")
    parser.add_argument("--out", type=Path, default=DATA, help="folder for the pigments' files")
    parser.add_argument("--page", type=Path, default=PAGE, help="page to rewrite the section of")
    parser.add_argument("--no-page", action="store_true", help="only the files: quick")
    options = parser.parse_args()
    job = read_task(Doubts())
    curves = fit(fit_colours(job), job.mean, job.covariance)
    mixtures = convenience_mixtures(*with_oils(job, curves))
    files = pigment_files(job, curves)
    files |= {key: write_mixture(key, mixture) for key, mixture in mixtures.items()}
    for key, text in files.items():
        (options.out / f"{key}.toml").write_text(text, "utf-8")
    if options.no_page:
        return
    page = options.page.read_text("utf-8") if options.page.exists() else ""
    options.page.write_text(with_section(page, section(job, curves, mixtures)), "utf-8")


if __name__ == "__main__":
    main()
