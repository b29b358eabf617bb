"""Colour temperature and tint against colour-science and the CIE's own illuminants."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.photo.light.locus import (
    Temperature,
    blackbody_uv,
    light_of,
    temperature_of,
    xyz_to_uv,
)
from tests.photo.made_photos import colour_science


@pytest.fixture(scope="module")
def colour():  # type: ignore[no-untyped-def]
    return colour_science()


@pytest.mark.parametrize(
    ("illuminant", "kelvin"),
    [("A", 2856.0), ("D50", 5003.0), ("D55", 5503.0), ("D65", 6504.0), ("D75", 7504.0)],
)
def test_cie_illuminants_have_their_published_temperatures(colour, illuminant, kelvin):
    """CIE 015:2018, table of correlated colour temperatures."""
    x, y = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"][illuminant]
    found = temperature_of(np.array([x / y, 1.0, (1.0 - x - y) / y]))
    assert found.kelvin == pytest.approx(kelvin, rel=0.006)


@pytest.mark.parametrize("kelvin", [1500, 2300, 2856, 3200, 4500, 5003, 6500, 8000, 12000])
@pytest.mark.parametrize("duv", [-0.02, 0.0, 0.006, 0.02])
def test_temperature_and_tint_agree_with_ohno(colour, kelvin, duv):
    """Ohno 2014 as in colour-science, computed from Planck's law and the observer."""
    uv = colour.temperature.CCT_to_uv_Ohno2013([kelvin, duv])
    x, y = colour.UCS_uv_to_xy(uv)
    found = temperature_of(np.array([x / y, 1.0, (1.0 - x - y) / y]))
    assert 1e6 / found.kelvin == pytest.approx(1e6 / kelvin, abs=2.0)  # 2 mired: no eye sees it
    assert found.duv == pytest.approx(duv, abs=3e-4)


def test_blackbody_agrees_with_krystek(colour):
    kelvin = np.linspace(1000.0, 15000.0, 60)
    expected = colour.temperature.CCT_to_uv_Krystek1985(kelvin)
    np.testing.assert_allclose(blackbody_uv(kelvin), expected, atol=1e-9)


@pytest.mark.parametrize("kelvin", [1900.0, 3200.0, 5600.0, 9000.0])
@pytest.mark.parametrize("duv", [-0.015, 0.0, 0.015])
def test_a_stated_light_reads_back_as_stated(kelvin, duv):
    found = temperature_of(light_of(Temperature(kelvin, duv)))
    assert found.kelvin == pytest.approx(kelvin, rel=0.002)
    assert found.duv == pytest.approx(duv, abs=1e-4)
    assert xyz_to_uv(light_of(Temperature(kelvin, duv))).shape == (2,)
