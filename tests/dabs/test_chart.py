"""Correction by greys and by a 24-patch chart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.camera import Tone, lamp, lightness, linear_of
from refmatch.dabs.chart_colours import Greys, chart_patches, correction, root_polynomial
from refmatch.dabs.spot import Known, Spot
from tests.virtual_studio.camera import chart

SIGMA = np.full(3, 1e-4)


def photographed(surfaces, exposure=1.0, tone=None):
    linear = exposure * surfaces @ lamp("D50")
    if tone is not None:
        linear = linear_of(tone(lightness(linear)))
    return linear @ SRGB_TO_XYZ.T / 100.0


def patches(**given):
    seen = photographed(chart_patches(), **given)
    return [Known("", Spot(xyz, SIGMA), r) for r, xyz in zip(chart_patches(), seen, strict=True)]


def test_the_table_is_of_the_chart_that_another_source_measured():
    """Beside Ohta's measurement of one such chart (colour-science): charts differ a little."""
    away = delta_e_00(reflectance_to_lab(chart_patches()), reflectance_to_lab(chart()))
    assert np.median(away) < 1.5
    assert away.max() < 4.0


@pytest.mark.parametrize("exposure", [0.5, 2.0, 3.7])
def test_root_polynomial_terms_keep_chromaticity_at_any_exposure(exposure):
    """Finlayson, Mackiewicz & Hurlbert 2015, doi:10.1109/TIP.2015.2405336: their whole point."""
    rng = np.random.default_rng(1)
    linear, matrix = rng.uniform(0.01, 0.4, (20, 3)), rng.uniform(-0.2, 1.0, (6, 3))
    once, more = root_polynomial(linear) @ matrix, root_polynomial(exposure * linear) @ matrix
    assert np.allclose(more, exposure * once, rtol=1e-12)
    total = once.sum(axis=1, keepdims=True)
    assert np.allclose(more / more.sum(axis=1, keepdims=True), once / total, rtol=1e-9)


def test_greys_undo_a_tone_curve_and_exposure():
    tone = Tone.of(np.array([0.2, -0.4, 0.1, 0.0]))
    greys = [
        Known("", Spot(xyz, SIGMA), np.full(31, y))
        for y in np.linspace(0.02, 0.95, 30)
        for xyz in [photographed(np.full((1, 31), y), 0.8, tone)[0]]
    ]
    surface = np.linspace(0.1, 0.6, 31)[None]
    found = Greys.of(greys).undone(photographed(surface, 0.8, tone))
    assert np.allclose(found, surface @ lamp("D50"), atol=2e-3)


def test_the_chart_undoes_what_a_camera_did():
    tone = Tone.of(np.array([0.2, -0.4, 0.1, 0.0]))
    found = correction(patches(exposure=0.8, tone=tone))
    assert found.residual < 1.0
    # colours of everyday saturation; the chart's own are the widest it can answer for
    surfaces = 0.5 * chart() + 0.5 * chart().mean(axis=1, keepdims=True)
    lab = found.lab(photographed(surfaces, 0.8, tone))
    away = delta_e_00(lab, reflectance_to_lab(surfaces))
    assert np.median(away) < 1.0
    assert away.max() < 3.0


def test_clipped_patches_count_for_nothing():
    tone, whole = Tone.of(np.array([0.2, -0.4, 0.1, 0.0])), (True, True, True)
    plain = patches(exposure=0.8, tone=tone)
    spoilt = list(plain)
    spoilt[3] = replace(plain[3], spot=replace(plain[3].spot, xyz=np.ones(3), high=whole))
    without = correction([patch for i, patch in enumerate(plain) if i != 3])
    assert np.allclose(correction(spoilt).matrix, without.matrix)


def test_too_few_patches_are_told():
    with pytest.raises(ValueError, match="too few"):
        correction(patches()[:6])
