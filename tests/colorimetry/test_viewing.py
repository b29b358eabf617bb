"""The tabulated weights against colour-science, on published spectra and lights."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import BANDS, WAVELENGTHS_NM
from refmatch.colorimetry.viewing import ICC_WHITE, viewing
from tests.colorimetry.charts import PATCHES, colour, patch_reflectances, xyz_by_colour_science

ILLUMINANTS = ("D50", "D65", "A", "LED-B3")


def test_the_grid_is_400_to_700_in_tens():
    assert BANDS == 31
    np.testing.assert_array_equal(WAVELENGTHS_NM, np.arange(400, 701, 10))


@pytest.mark.parametrize("illuminant", ILLUMINANTS)
def test_weights_give_the_xyz_of_astm_e308(illuminant):
    """The 24-patch chart's spectra on our grid: colour-science folds the ends as we do."""
    for values in patch_reflectances().values():
        theirs = xyz_by_colour_science(values, illuminant)
        np.testing.assert_allclose(values @ viewing(illuminant).weights, theirs, atol=2e-5)


@pytest.mark.parametrize("illuminant", ILLUMINANTS)
def test_what_the_grid_leaves_out_is_not_seen(illuminant):
    """The same chart as measured from 380 to 730 nm: the ends cost less than 0.1 dE00."""
    seen = viewing(illuminant)
    for name, spectrum in colour.SDS_COLOURCHECKERS[PATCHES].items():
        theirs = xyz_to_lab(xyz_by_colour_science(spectrum, illuminant), seen.white)
        ours = xyz_to_lab(patch_reflectances()[name] @ seen.weights, seen.white)
        assert delta_e_00(ours, theirs) < 0.1


@pytest.mark.parametrize("illuminant", ILLUMINANTS)
def test_whites_have_the_published_chromaticity(illuminant):
    published = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"][illuminant]
    white = viewing(illuminant).white
    np.testing.assert_allclose(white[:2] / white.sum(), published, atol=3e-4)
    assert white[1] == pytest.approx(100.0, abs=1e-4)


def test_the_white_of_photos_is_the_icc_d50():
    """ICC.1:2022, 7.2.16: 0.9642, 1.0000, 0.8249; a rounded D50."""
    np.testing.assert_allclose(ICC_WHITE, viewing("D50").white, atol=0.03)


def test_weights_cannot_be_spoilt():
    with pytest.raises(ValueError, match="read-only"):
        viewing().weights[0, 0] = 1.0
