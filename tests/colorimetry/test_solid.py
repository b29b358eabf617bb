"""The object-colour solid against published limits."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import excess, reflectance_to_lab, xyz_to_lab
from refmatch.colorimetry.spectrum import BANDS
from refmatch.colorimetry.viewing import viewing
from refmatch.errors import TargetError
from refmatch.target import check_lab


def test_black_white_and_grey() -> None:
    assert excess(np.array([0.0, 0.0, 0.0])) == pytest.approx(1.0)
    assert excess(np.array([100.0, 0.0, 0.0])) == pytest.approx(1.0)
    assert excess(np.array([76.0693, 0.0, 0.0])) < 0.01  # half the light of white, to the middle


def test_every_reflectance_lies_within_and_every_optimal_colour_on_the_surface() -> None:
    """Optimal colours reflect all or nothing with at most two jumps (Schrodinger 1920)."""
    draw = np.random.default_rng(7)
    inside = reflectance_to_lab(draw.uniform(0.0, 1.0, (50, BANDS)))
    assert max(excess(lab) for lab in inside) <= 1.0
    for first, last in draw.integers(0, BANDS, (40, 2)):
        optimal = np.zeros(BANDS)
        optimal[min(first, last) : max(first, last) + 1] = 1.0
        assert excess(reflectance_to_lab(optimal)) == pytest.approx(1.0, abs=1e-4)


def test_against_the_macadam_limits_of_the_reference_library() -> None:
    """colour-science's optimal colours under D65, from MacAdam 1935's construction."""
    from colour.volume import is_within_macadam_limits

    white = viewing("D65").white
    draw = np.random.default_rng(3)
    xyz = draw.uniform(0.0, 1.0, (400, 3)) * white
    xyY = np.column_stack([xyz[:, 0], xyz[:, 1], xyz[:, 1] / 100.0])
    xyY[:, :2] /= xyz.sum(axis=1, keepdims=True)
    theirs = np.asarray(is_within_macadam_limits(xyY, "D65"))
    ours = np.array([excess(lab, "D65") <= 1.0 for lab in xyz_to_lab(xyz, white)])
    assert np.mean(theirs == ours) > 0.97


@pytest.mark.parametrize("lab", [(50, 100, -100), (5, 60, 0), (99, 5, 40), (101, 0, 0), (-1, 0, 0)])
def test_a_lab_no_surface_can_have_is_refused(lab: tuple[float, float, float]) -> None:
    with pytest.raises(TargetError):
        check_lab(np.array(lab, dtype=float))


@pytest.mark.parametrize("lab", [(100, 0, 0), (0, 0, 0), (86, 7, 111), (6, 22, -39), (1, 1, -9)])
def test_real_paints_pass(lab: tuple[float, float, float]) -> None:
    """Okumura 2005, rounded masstones of artists' acrylics, and black and white."""
    check_lab(np.array(lab, dtype=float))
