"""What the pigments are fitted to: tables in, shares and colours out."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from pigment_fit import Colours
from pigment_prior import Doubts, prior

from refmatch.colorimetry.spectrum import BANDS, Array

HERE = Path(__file__).parent
WHITE = "titanium-white"
REMEMBERED_SIGMA = 2.5
"""Standard error of a remembered Lab, in Lab units (from memory)."""

ROUNDING = 1.0 / np.sqrt(12.0)
"""Standard error of a number rounded to whole units."""


@dataclass(frozen=True, eq=False)
class Task:
    """All that goes into the fit, pigments in the order of ``keys``."""

    keys: list[str]
    pigments: dict[str, Any]
    measured: dict[str, Any]
    mean: Array
    covariance: Array

    def is_measured(self, key: str) -> bool:
        """Whether let-downs of this pigment are published."""
        return key in self.measured["let_downs"]["lab"]


def read_task(doubts: Doubts) -> Task:
    """Read the tables and set up the prior; titanium white's S is 1 by definition."""
    pigments = read_table("pigments.toml")
    priors = [prior(pigment, doubts) for pigment in pigments.values()]
    mean, covariance = (np.stack(part) for part in zip(*priors, strict=True))
    white = list(pigments).index(WHITE)
    mean[white, BANDS:] = 0.0
    covariance[white, BANDS:] = covariance[white, :, BANDS:] = 0.0
    return Task(list(pigments), pigments, read_table("measured_colours.toml"), mean, covariance)


def read_table(name: str) -> dict[str, Any]:
    """Read a TOML table that stands beside this file."""
    return tomllib.loads((HERE / name).read_text("utf-8"))


def shares(job: Task, parts: dict[str, float]) -> Array:
    """Return the shares (pigments,) of a recipe, summing to 1."""
    amounts = np.array([float(parts.get(key, 0.0)) for key in job.keys])
    return amounts / amounts.sum()


def let_down_shares(job: Task, parts: dict[str, float], count: int = 4) -> Array:
    """Return shares (count, pigments) of a paint's masstone and its tints in white."""
    paint, white = shares(job, parts), shares(job, {WHITE: 1.0})
    steps = job.measured["let_downs"]["parts_of_white"][:count]
    return np.stack([(paint + step * white) / (1.0 + step) for step in steps])


def let_down_lab(job: Task, key: str) -> Array:
    """Return Lab of a pigment's let-downs, measured or else remembered; shape (n, 3)."""
    labs = job.measured["let_downs"]["lab"].get(key, job.pigments.get(key, {}).get("remembered"))
    # White let down in white is one colour, not four.
    return np.array(labs[:1] if key == WHITE else labs, dtype=float)


def let_downs(job: Task, key: str) -> tuple[Array, Array]:
    """Return shares (n, pigments) and Lab (n, 3) of a pigment's let-downs."""
    lab = let_down_lab(job, key)
    return let_down_shares(job, {key: 1.0}, len(lab)), lab


def mixture_rows(job: Task, use: str) -> list[dict[str, Any]]:
    """Return the published mixtures of one use: "fit" or "check"."""
    return [row for row in job.measured["mixtures"]["rows"] if row["use"] == use]


def mixtures(job: Task, use: str) -> tuple[Array, Array]:
    """Return shares (n, pigments) and Lab (n, 3) of the mixtures of one use."""
    rows = mixture_rows(job, use)
    return np.stack([shares(job, r["parts"]) for r in rows]), np.array([r["lab"] for r in rows])


def fit_colours(job: Task) -> Colours:
    """Gather every colour that may be fitted to, each with its standard error.

    The mixtures marked "fit" stand last, in the order of their table.
    """
    tables = [(*let_downs(job, key), _sigma(job, key)) for key in job.keys]
    # Twice the rounding: a curve smoother than the paint's own cannot meet the last tenth.
    tenth = 2.0 * ROUNDING * job.measured["mixtures"]["rounded_to"]
    tables.append((*mixtures(job, "fit"), tenth))
    return Colours(
        np.concatenate([rows for rows, _, _ in tables]),
        np.concatenate([lab for _, lab, _ in tables]),
        np.concatenate([np.full(len(rows), sigma) for rows, _, sigma in tables]),
    )


def _sigma(job: Task, key: str) -> float:
    if job.is_measured(key):
        return float(ROUNDING * job.measured["let_downs"]["rounded_to"])
    return REMEMBERED_SIGMA
