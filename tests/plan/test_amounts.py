"""How much paint: areas and films by plain geometry, and what adds up."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.plan.amounts import LEAST_PUDDLE_ML, Canvas, amounts, squeezed_cm
from refmatch.plan.mothers import Mixed
from refmatch.recipe.model import Laid


def mixed(label: str, net: list[float], target: int | None, **drawn: object) -> Mixed:
    told = {"drawn_from": None, "of_it": 0, "laid_out": (), "delta_e_00": None, **drawn}
    return Mixed(
        label=label,
        net=np.array(net),
        target=target,
        lab=np.zeros(3),
        alone_delta_e_00=None,
        share=0.0,
        dries=None,
        **told,  # type: ignore[arg-type]
    )


def test_a_film_of_a_tenth_of_a_millimetre_on_a_square_metre_is_a_tenth_of_a_litre() -> None:
    assert Canvas(100.0, 100.0).film_ml == pytest.approx(100.0)


def test_tubes_and_puddles_add_up_to_the_film_and_its_spare() -> None:
    canvas = Canvas(60.0, 50.0)
    puddles = [mixed("wall", [0.75, 0.25], 0), mixed("sky", [0.0, 1.0], 1)]
    found = amounts(canvas, np.array([3.0, 1.0]), puddles, ["ochre", "white"])
    whole = canvas.film_ml * 1.5
    np.testing.assert_allclose(found.puddles_ml, [0.75 * whole, 0.25 * whole])
    assert found.tubes_ml["ochre"] == pytest.approx(0.75 * 0.75 * whole)
    assert sum(found.tubes_ml.values()) == pytest.approx(whole)


def test_what_is_drawn_from_a_puddle_is_mixed_with_it() -> None:
    """Two parts of the mother and three of white are five of the light: two fifths are hers."""
    canvas = Canvas(60.0, 50.0)
    draw = {"drawn_from": "mother", "of_it": 2, "laid_out": (Laid("white", 3),)}
    puddles = [mixed("mother", [1.0, 0.0], None), mixed("light", [0.4, 0.6], 0, **draw)]
    found = amounts(canvas, np.ones(1), puddles, ["ochre", "white"])
    whole = canvas.film_ml * 1.5
    np.testing.assert_allclose(found.puddles_ml, [0.4 * whole, whole])
    assert found.tubes_ml == pytest.approx({"ochre": 0.4 * whole, "white": 0.6 * whole})


def test_no_puddle_is_too_small_for_the_knife() -> None:
    puddles = [mixed("large", [1.0, 0.0], 0), mixed("spot", [0.0, 1.0], 1)]
    found = amounts(Canvas(20.0, 20.0), np.array([0.999, 0.001]), puddles, ["a", "b"])
    assert found.puddles_ml[1] == LEAST_PUDDLE_ML
    assert found.tubes_ml["b"] == pytest.approx(LEAST_PUDDLE_ML)


def test_a_full_tube_is_a_metre_of_paint() -> None:
    """40 ml as a cylinder 7 mm wide: 4 V / (pi d^2)."""
    assert squeezed_cm(40.0) == pytest.approx(4.0 * 40.0 / (np.pi * 0.49))
    assert 90.0 < squeezed_cm(40.0) < 120.0
