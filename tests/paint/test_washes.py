"""Watercolour and gouache are left out: how little the curves know of a wash, held to its figures.

`docs/model.md` tells them. Should one of these tests fail since the figure became better, the
decision is to be looked at anew.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Tube, built_in_tube
from refmatch.paint.kubelka_munk import (
    FINISHES,
    SPHERE,
    Surface,
    film_over_ground,
    to_inner,
    to_measured,
)
from refmatch.paint.library import pigments
from refmatch.plan.glaze import FILM_LN
from refmatch.recipe.choice import verdict

OILS = Path(__file__).parents[1] / "data" / "oils.csv"
"""Films over white and over black: Geldof et al. 2018, Heritage Science 6:17, CC0."""

PAPER = np.full(31, 0.88)
"""White watercolour paper, without tone (common practice, no source)."""

SKIN = Surface(f=FINISHES["matt"])
BARE = Surface(k1=0.0, k2=0.0)
"""A wash that lies on its paper as a matt film does, and one that sank into it, with no skin."""

THICKNESS: Array = np.geomspace(1e-4, 50.0, 2000)


def washes(tube: Tube, thickness: Array, surface: Surface = SKIN) -> Array:
    """Return the Lab, (n, 3), of washes (n,) on paper."""
    under = to_inner(PAPER, surface)
    inner = film_over_ground(tube.absorption, tube.scattering, thickness[:, None], under)
    return reflectance_to_lab(to_measured(inner, surface))


def at_value(tube: Tube, value: float, surface: Surface = SKIN) -> tuple[Array, float] | None:
    """Return the wash of a Munsell value, and its thickness; None where the paint reaches none."""
    labs = washes(tube, THICKNESS, surface)
    off = np.abs(labs[:, 0] - lstar_from_value(value))
    at = int(np.argmin(off))
    return (labs[at], float(THICKNESS[at])) if off[at] < 1.0 else None


@pytest.fixture(scope="module")
def paints() -> list[Tube]:
    """Every built-in pigment but the whites."""
    return [built_in_tube(key) for key in pigments() if not built_in_tube(key).is_white]


def film(sample: str) -> dict[str, Array]:
    with OILS.open(newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["sample"] == sample]
    bands = [str(nm) for nm in range(400, 701, 10)]
    return {row["ground"]: np.array([float(row[nm]) for nm in bands]) for row in rows}


def missed(sample: str, pigment: str) -> tuple[float, float]:
    """Return how far a film over white and black is missed at the thickness that suits best."""
    shine = Surface(SPHERE.k1, SPHERE.k2, f=1.0)  # the instrument reads the skin's shine too
    tube, real = built_in_tube(pigment), film(sample)
    off = []
    for ground in ("white", "black"):
        under = to_inner(real[f"bare {ground}"], shine)
        inner = film_over_ground(
            tube.absorption, tube.scattering, np.geomspace(1e-2, 3e3, 400)[:, None], under
        )
        labs = reflectance_to_lab(to_measured(inner, shine))
        off.append(delta_e_00(labs, reflectance_to_lab(real[ground])))
    at = int(np.argmin(off[0] ** 2 + off[1] ** 2))
    return float(off[0][at]), float(off[1][at])


def test_the_one_real_film_of_a_colour_that_lets_its_ground_show_is_missed() -> None:
    """Ultramarine in oil, whose built-in curves are fitted to this very maker's."""
    real = film("11A")
    apart = delta_e_00(reflectance_to_lab(real["white"]), reflectance_to_lab(real["black"]))
    assert apart == pytest.approx(8.2, abs=0.1)
    assert missed("11A", "ultramarine-blue-oil") == pytest.approx((6.1, 6.2), abs=0.2)
    assert missed("11A", "ultramarine-blue") == pytest.approx((5.8, 7.6), abs=0.2)


def test_the_whites_that_let_a_black_ground_show_are_missed_over_it() -> None:
    assert missed("07A", "zinc-white")[1] == pytest.approx(3.7, abs=0.2)
    assert missed("08A", "lead-white")[1] == pytest.approx(6.0, abs=0.2)


def moved_by_thickness(paints: list[Tube]) -> list[float]:
    """Return how far a standard error of a brushed film's thickness moves a wash of value 6."""
    found = [(tube, at_value(tube, 6.0)) for tube in paints]
    return [
        float(delta_e_00(washes(tube, wash[1] * np.exp([-FILM_LN, FILM_LN])), wash[0]).mean())
        for tube, wash in found
        if wash is not None
    ]


def moved_by_skin(paints: list[Tube]) -> list[float]:
    """Return how far apart washes of value 6 are with a skin and without."""
    found = [(at_value(tube, 6.0), at_value(tube, 6.0, BARE)) for tube in paints]
    return [
        float(delta_e_00(one[0], other[0]))
        for one, other in found
        if one is not None and other is not None
    ]


def test_how_thick_a_wash_lies_moves_it_farther_than_a_recipe_may_be_off(paints) -> None:
    moved = moved_by_thickness(paints)
    assert len(moved) > 30
    assert np.median(moved) == pytest.approx(4.4, abs=0.2)


def test_whether_a_wash_has_a_skin_or_sinks_in_moves_its_colour_at_one_value(paints) -> None:
    moved = moved_by_skin(paints)
    assert len(moved) > 30
    assert np.median(moved) == pytest.approx(2.4, abs=0.2)
    assert max(moved) == pytest.approx(4.3, abs=0.2)


def test_all_of_it_together_is_far_by_the_words_for_recipes(paints) -> None:
    film_off = float(np.mean(missed("11A", "ultramarine-blue-oil")))
    others = (np.median(moved_by_thickness(paints)), np.median(moved_by_skin(paints)))
    together = float(np.linalg.norm([film_off, *others]))
    assert verdict(together) == "far"
    assert together == pytest.approx(7.9, abs=0.3)
