"""Analytic truths of the film model, and published worked values."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.paint.kubelka_munk import (
    FINISHES,
    Surface,
    film_over_ground,
    k_over_s,
    opaque_reflectance,
    to_inner,
    to_measured,
)

REFLECTANCE = np.linspace(0.001, 1.0, 500)


def test_k_over_s_of_one_half_is_a_quarter() -> None:
    """(1 - 0.5)^2 / (2 x 0.5): Kubelka & Munk 1931."""
    assert k_over_s(np.array(0.5)) == pytest.approx(0.25, abs=1e-15)
    assert opaque_reflectance(np.array(0.25)) == pytest.approx(0.5, abs=1e-15)


def test_reflectance_and_k_over_s_undo_each_other() -> None:
    np.testing.assert_allclose(opaque_reflectance(k_over_s(REFLECTANCE)), REFLECTANCE, rtol=1e-12)


def test_the_form_used_is_that_of_the_paper() -> None:
    ratio = np.geomspace(1e-6, 1e3, 50)
    paper = 1.0 + ratio - np.sqrt(ratio**2 + 2.0 * ratio)  # loses digits where ratio is large
    np.testing.assert_allclose(opaque_reflectance(ratio), paper, atol=1e-12)


def test_no_absorption_is_a_perfect_white_and_much_is_black() -> None:
    assert opaque_reflectance(np.array(0.0)) == 1.0
    assert opaque_reflectance(np.array(1e6)) < 1e-6


@pytest.mark.parametrize("finish", FINISHES)
def test_the_skin_is_undone(finish: str) -> None:
    surface = Surface(f=FINISHES[finish])
    seen = to_measured(REFLECTANCE, surface)
    np.testing.assert_allclose(to_inner(seen, surface, floor=0.0), REFLECTANCE, rtol=1e-10)


def test_the_skin_turns_back_k1_from_a_black_film_and_all_from_a_white_one() -> None:
    """Saunderson 1942 at its ends: R = 0 leaves f k1, R = 1 leaves f k1 + 1 - k1."""
    for share in (0.0, 0.3, 1.0):
        surface = Surface(k1=0.04, k2=0.596, f=share)
        assert to_measured(np.array(0.0), surface) == pytest.approx(share * 0.04)
        assert to_measured(np.array(1.0), surface) == pytest.approx(share * 0.04 + 0.96)


def test_fresnel_gives_the_usual_k1_of_a_binder() -> None:
    """((n - 1) / (n + 1))^2 at n = 1.5 is 0.04; the published 0.0308 means n = 1.426."""
    index = (1.0 + np.sqrt(Surface().k1)) / (1.0 - np.sqrt(Surface().k1))
    assert 1.4 < index < 1.5


def test_inner_reflectance_of_a_dark_reading_stays_above_the_floor() -> None:
    included = Surface(f=1.0)
    inner = to_inner(np.array([0.0, 0.02, included.k1]), included)
    assert np.all(inner > 0.0)
    assert np.ptp(inner) == 0.0


@pytest.mark.parametrize("ground", [0.02, 0.5, 0.9])
def test_a_thick_film_hides_its_ground(ground: float) -> None:
    absorption, scattering = np.array([0.02, 0.3, 4.0]), np.array([0.5, 0.5, 0.5])
    thick = film_over_ground(absorption, scattering, np.array(1e3), np.array(ground))
    np.testing.assert_allclose(thick, opaque_reflectance(absorption / scattering), rtol=1e-9)


def test_no_film_is_the_ground() -> None:
    bare = film_over_ground(np.array(0.3), np.array(0.5), np.array(0.0), np.array(0.7))
    assert bare == pytest.approx(0.7, abs=1e-9)


def test_a_film_that_absorbs_nothing_follows_its_limit() -> None:
    """K -> 0 over black: R = SX / (1 + SX), Kubelka 1948."""
    thickness = np.array([0.1, 1.0, 10.0])
    film = film_over_ground(np.array(1e-9), np.array(1.0), thickness, np.array(0.0))
    np.testing.assert_allclose(film, thickness / (1.0 + thickness), rtol=1e-3)


def test_a_film_over_itself_is_itself() -> None:
    deep = opaque_reflectance(np.array(0.6))
    film = film_over_ground(np.array(0.3), np.array(0.5), np.array(0.8), deep)
    assert film == pytest.approx(float(deep), rel=1e-12)
