"""Derive refmatch/paint/data/*.toml: the curves of all built-in pigments.

Run from the top folder: ``python docs/derivations/pigments.py``. It reads

- ``pigments.toml``: properties and a sketch of each absorption curve, from memory;
- ``measured_colours.toml``: published colours of paints and their mixtures;
- ``convenience_mixtures.toml``: tubes sold ready mixed;

fits all curves at once (``pigment_fit.py``) and writes one file a pigment. Mixtures
marked "check" take no part in it: they only judge (``pigment_report.py``).
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from pigment_fit import Colours, fit, mixed_lab
from pigment_prior import Doubts, prior
from pigment_write import write_mixture, write_pigment

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import BANDS, Array

HERE = Path(__file__).parent
OUT = HERE.parents[1] / "refmatch" / "paint" / "data"
WHITE = "titanium-white"
REMEMBERED_SIGMA = 2.5
"""Standard error of a remembered Lab, in Lab units (from memory)."""


@dataclass(frozen=True, eq=False)
class Task:
    """All that goes into the fit, pigments in the order of ``keys``."""

    keys: list[str]
    pigments: dict[str, Any]
    measured: dict[str, Any]
    mean: Array
    covariance: Array


def task(doubts: Doubts) -> Task:
    """Read the tables and set up the prior; titanium white's S is 1 by definition."""
    pigments = _read("pigments.toml")
    priors = [prior(pigment, doubts) for pigment in pigments.values()]
    mean, covariance = (np.stack(part) for part in zip(*priors, strict=True))
    white = list(pigments).index(WHITE)
    mean[white, BANDS:] = 0.0
    covariance[white, BANDS:] = covariance[white, :, BANDS:] = 0.0
    return Task(list(pigments), pigments, _read("measured_colours.toml"), mean, covariance)


def let_downs(job: Task, key: str) -> tuple[Array, Array] | None:
    """Return shares and Lab of a pigment's let-downs, measured or else remembered."""
    white_parts = job.measured["let_downs"]["parts_of_white"]
    labs = job.measured["let_downs"]["lab"].get(key, job.pigments[key].get("remembered"))
    if labs is None:
        return None
    recipes = [{key: 1.0, WHITE: float(white)} for white in white_parts[: len(labs)]]
    if key == WHITE:
        recipes = [{WHITE: 1.0} for _ in labs]
    return np.stack([shares(job, recipe) for recipe in recipes]), np.array(labs, dtype=float)


def mixtures(job: Task, use: str) -> tuple[Array, Array]:
    """Return shares and Lab of the published mixtures of one use: "fit" or "check"."""
    rows = [row for row in job.measured["mixtures"]["rows"] if row["use"] == use]
    return np.stack([shares(job, row["parts"]) for row in rows]), np.array([r["lab"] for r in rows])


def shares(job: Task, parts: dict[str, float]) -> Array:
    """Return the shares (pigments,) of a recipe, summing to 1."""
    amounts = np.array([float(parts.get(key, 0.0)) for key in job.keys])
    return amounts / amounts.sum()


def fit_colours(job: Task) -> Colours:
    """Gather every colour that may be fitted to, each with its standard error."""
    rounding = 1.0 / np.sqrt(12.0)  # of a uniform error one unit wide
    found = []
    for key in job.keys:
        rows = let_downs(job, key)
        if rows is not None:
            measured = key in job.measured["let_downs"]["lab"]
            unit = job.measured["let_downs"]["rounded_to"]
            found.append((*rows, rounding * unit if measured else REMEMBERED_SIGMA))
    mixed = job.measured["mixtures"]["rounded_to"]
    found.append((*mixtures(job, "fit"), 2.0 * rounding * mixed))
    return Colours(
        np.concatenate([rows for rows, _, _ in found]),
        np.concatenate([lab for _, lab, _ in found]),
        np.concatenate([np.full(len(rows), sigma) for rows, _, sigma in found]),
    )


def residuals(job: Task, curves: Array, key: str) -> list[float]:
    """Return dE00 of masstone and let-downs against what the pigment was fitted to."""
    rows = let_downs(job, key)
    if rows is None:
        return []
    return [float(d) for d in delta_e_00(mixed_lab(curves, rows[0]), rows[1])]


def main() -> None:
    """Fit all curves and write all files."""
    job = task(Doubts())
    curves = fit(fit_colours(job), job.mean, job.covariance)
    for index, key in enumerate(job.keys):
        measured = job.measured if key in job.measured["let_downs"]["lab"] else None
        text = write_pigment(
            key, job.pigments[key], np.exp(curves[index]), residuals(job, curves, key), measured
        )
        (OUT / f"{key}.toml").write_text(text, "utf-8")
    for key, mixture in _read("convenience_mixtures.toml").items():
        (OUT / f"{key}.toml").write_text(write_mixture(key, mixture), "utf-8")


def _read(name: str) -> dict[str, Any]:
    return tomllib.loads((HERE / name).read_text("utf-8"))


if __name__ == "__main__":
    main()
