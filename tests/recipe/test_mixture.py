"""The colour of a mixture: pure ends, published colours, exact slopes."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.paint.box import built_in_tube
from refmatch.paint.kubelka_munk import Surface, opaque_reflectance, to_measured
from refmatch.recipe.mixture import Palette, film, predict, reflectance
from tests.recipe.boxes import garden_table


def test_a_pure_end_is_the_tube_itself_whatever_its_parts() -> None:
    for tube in garden_table().tubes:
        own = to_measured(opaque_reflectance(tube.absorption / tube.scattering), Surface())
        np.testing.assert_allclose(reflectance([tube], [3.0]), own, rtol=1e-12)
        np.testing.assert_allclose(predict([tube], [3.0]), reflectance_to_lab(own), atol=1e-9)


def test_only_the_ratio_of_parts_counts() -> None:
    tubes = garden_table().tubes[:3]
    np.testing.assert_allclose(predict(tubes, [1, 2, 3]), predict(tubes, [10, 20, 30]), atol=1e-9)


def test_an_even_tint_is_nothing_like_averaged_light() -> None:
    """Linear-light averaging misses real mixtures by a mean of 18 dE00; the paint is darker."""
    blue, white = built_in_tube("PB15:3"), built_in_tube("PW6")
    mixed = reflectance([blue, white], [1.0, 1.0])
    averaged = (reflectance([blue], [1.0]) + reflectance([white], [1.0])) / 2.0
    assert mixed.mean() < 0.6 * averaged.mean()


def test_k_and_s_add_by_parts() -> None:
    """Duncan 1940: by hand, for one part and three."""
    one, other = built_in_tube("PR254"), built_in_tube("PW6")
    k = (one.absorption + 3.0 * other.absorption) / 4.0
    s = (one.scattering + 3.0 * other.scattering) / 4.0
    np.testing.assert_allclose(reflectance([one, other], [1.0, 3.0]), film(k, s), rtol=1e-12)


@pytest.mark.parametrize("finish", [0.0, 0.3, 1.0])
def test_slopes_are_those_of_finite_differences(finish: float) -> None:
    palette = Palette.of(garden_table().tubes, Surface(f=finish))
    draw = np.random.default_rng(4)
    parts = draw.uniform(0.05, 5.0, (20, 12))
    lab, slopes = palette.lab_and_slopes(parts)
    np.testing.assert_allclose(lab, palette.lab(parts), atol=1e-9)
    for tube in range(12):
        step = np.zeros(12)
        step[tube] = 1e-5
        felt = (palette.lab(parts + step) - palette.lab(parts - step)) / 2e-5
        np.testing.assert_allclose(slopes[..., tube], felt, atol=2e-4, rtol=1e-4)


def test_the_pull_along_a_direction_is_that_of_the_slopes() -> None:
    box = garden_table()
    draw = np.random.default_rng(8)
    palette = Palette.of(box.tubes, Surface(f=0.3))
    parts, along = draw.dirichlet(np.ones(12), 6), draw.normal(size=(6, 3))
    _, slopes = palette.lab_and_slopes(parts)
    pull = palette.pull(parts, along)
    np.testing.assert_allclose(pull, np.einsum("nl,nlt->nt", along, slopes), rtol=1e-9, atol=1e-9)


def test_a_batch_of_palettes_gives_what_each_gives_alone() -> None:
    whole = Palette.of(garden_table().tubes)
    members = np.array([[0, 3, 7], [1, 2, 10]])
    batch = Palette(whole.absorption[members], whole.scattering[members])
    parts = np.array([[1.0, 2.0, 3.0], [4.0, 1.0, 0.5]])
    together, slopes = batch.lab_and_slopes(parts)
    for row, chosen in enumerate(members):
        alone = Palette(whole.absorption[chosen], whole.scattering[chosen])
        lab, own = alone.lab_and_slopes(parts[row])
        np.testing.assert_allclose(together[row], lab, atol=1e-9)
        np.testing.assert_allclose(slopes[row], own, atol=1e-9)
