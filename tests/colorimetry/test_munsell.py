"""Munsell value against the standard's relation, as colour-science carries it."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from refmatch.colorimetry import hues


@pytest.fixture(scope="module")
def colour():  # type: ignore[no-untyped-def]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of plotting libraries that are not there
        import colour
    return colour


def test_luminance_is_the_standard_s_quintic(colour):
    """ASTM D1535-08e1, as in colour-science's `luminance_ASTMD1535`."""
    value = np.linspace(0.0, 10.0, 101)
    expected = colour.colorimetry.luminance_ASTMD1535(value)
    np.testing.assert_allclose(hues.luminance_from_value(value), expected, atol=1e-10)


def test_value_is_the_standard_s_inverse(colour):
    """colour-science's `munsell_value_ASTMD1535` interpolates a table of 0.001 steps."""
    luminance = np.concatenate([np.linspace(0.05, 100.0, 400), np.geomspace(0.01, 1.0, 50)])
    expected = colour.notation.munsell_value_ASTMD1535(luminance)
    np.testing.assert_allclose(hues.value_from_luminance(luminance), expected, atol=2e-3)


def test_value_and_luminance_undo_each_other():
    value = np.linspace(0.0, 10.0, 1001)
    back = hues.value_from_luminance(hues.luminance_from_value(value))
    np.testing.assert_allclose(back, value, atol=1e-9)
    np.testing.assert_allclose(
        hues.value_from_lstar(hues.lstar_from_value(value)), value, atol=1e-9
    )


def test_value_of_the_renotation_samples(colour):
    """The Munsell renotation (Newhall, Nickerson & Judd 1943), values 1 to 9.

    Its luminances are against smoked magnesium oxide, 0.975 of the perfect reflector.
    """
    samples = colour.notation.MUNSELL_COLOURS["Munsell Colours Real"]
    for (_, value, _), xyy in samples:
        if value >= 1:
            assert hues.value_from_luminance(xyy[2] * 0.975) == pytest.approx(value, abs=0.01)


def test_glare_and_noise_get_the_ends():
    value = hues.value_from_luminance(np.array([-0.5, 0.0, 100.0, 140.0]))
    np.testing.assert_allclose(value, [0.0, 0.0, 10.0, 10.0], atol=1e-9)


def test_shape_is_kept():
    assert hues.munsell_value(np.zeros((4, 5, 3))).shape == (4, 5)
