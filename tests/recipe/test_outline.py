"""The reach of a box: nothing beyond what the model mixes, and nearly all of it inside."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import lstar_from_value, munsell_value
from refmatch.colorimetry.lab import chroma, delta_e_00, hue_deg
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.kubelka_munk import Surface
from refmatch.recipe.mixture import Palette, entries_of, predict
from refmatch.recipe.outline import Outline, outline
from refmatch.recipe.solve import candidates, lay_out
from refmatch.recipe.subsets import members_of
from tests.recipe.boxes import eight_tubes, garden_table, whole_ratios

PARTS = {1: 1, 2: 32, 3: 18, 4: 9}
"""The largest totals of the recipes looked at, by the number of entries: 1.2 million in all."""


def inside(corners, points):
    """Say which points, (n, 2), lie within a polygon: a ray to the right crosses it oddly.

    Source: Shimrat 1962, Communications of the ACM 5, 434, algorithm 112.
    """
    x, y = points.T
    odd = np.zeros(len(points), dtype=bool)
    for (x_1, y_1), (x_2, y_2) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if y_1 != y_2:
            right = x < (x_2 - x_1) * (y - y_1) / (y_2 - y_1) + x_1
            odd ^= ((y_1 > y) != (y_2 > y)) & right
    return odd


def beyond(corners, points):
    """Return how far points lie beyond a polygon, (n,), in units of a* and b*; 0 inside."""
    sides = np.roll(corners, -1, axis=0) - corners
    from_corner = points[:, None] - corners
    along = np.sum(from_corner * sides, axis=2) / np.maximum(np.sum(sides**2, axis=1), 1e-12)
    foot = from_corner - np.clip(along, 0.0, 1.0)[..., None] * sides
    return np.where(inside(corners, points), 0.0, np.linalg.norm(foot, axis=2).min(axis=1))


@pytest.fixture(scope="module")
def recipes():
    """Lab of all plain recipes of the garden table, in whole parts."""
    entries, labs = entries_of(garden_table()), []
    for size, most in PARTS.items():
        ratios = whole_ratios(size, most).astype(np.float32)
        for row in members_of(entries, size, 4):
            members = np.broadcast_to(row, ratios.shape)
            labs.append(entries.palette.single.lab(members.T, ratios.T).T)
    return np.concatenate(labs).astype(float)


@pytest.fixture(scope="module")
def reach() -> Outline:
    return outline(garden_table())


def test_all_that_can_be_laid_out_lies_inside(reach, recipes):
    outside = ~inside(reach.whole, recipes[:, 1:])
    assert outside.mean() < 0.002
    assert beyond(reach.whole, recipes[outside, 1:]).max() < 1.0


@pytest.mark.parametrize("value", range(1, 9))
def test_all_of_one_value_lies_inside(reach, recipes, value):
    """Of recipes within a hundredth of the value: the reach itself changes along it."""
    same = recipes[np.abs(munsell_value(recipes) - value) < 0.01]
    far = beyond(reach.by_value[value], same[:, 1:])
    assert len(same) > 200
    assert np.quantile(far, 0.98) < 0.6
    assert far.max() < 2.5


@pytest.mark.parametrize("value", range(1, 10))
def test_between_two_corners_the_solver_finds_a_mix(reach, value):
    """Its recipes and continuous optima of up to four tubes share no search with the outline."""
    corners = reach.by_value[value]
    between = (corners + np.roll(corners, -1, axis=0)) / 2.0
    chosen = np.random.default_rng(value).choice(len(between), 4, replace=False)
    bench = lay_out(garden_table())
    for a, b in between[chosen]:
        ranked = candidates(bench, np.array([float(lstar_from_value(value)), a, b]))
        assert ranked.within_reach


def test_every_corner_is_a_mix_and_no_single_tube_lies_beyond(reach):
    """All pairs of the box in a hundred ratios touch the outline and never pass it."""
    box = garden_table()
    palette = Palette.of(box.tubes)
    ratios = np.geomspace(0.001, 1000.0, 101)
    pairs = np.zeros((12, 12, 101, 12))
    for one in range(12):
        for other in range(12):
            pairs[one, other, :, one] = 1.0
            pairs[one, other, :, other] += ratios
    plane = palette.lab(pairs.reshape(-1, 12))[:, 1:]
    assert beyond(reach.whole, plane).max() < 0.5
    gaps = np.linalg.norm(reach.whole[:, None] - plane, axis=2).min(axis=1)
    assert np.median(gaps) < 1.0


def test_white_opens_a_dark_transparent_paint(reach):
    """Ultramarine 1:1 in white, Lab 54, 5, -51, is stronger than its masstone, 6, 22, -39
    (Okumura 2005); its hue is 276 degrees and its value 5.2."""
    tint, masstone = np.array([54.0, 5.0, -51.0]), np.array([6.0, 22.0, -39.0])
    assert beyond(reach.by_value[5], tint[None, 1:]).max() < 3.0
    blue = np.column_stack([np.full(len(reach.by_value[5]), 52.0), reach.by_value[5]])
    near = np.abs(hue_deg(blue) - hue_deg(tint)) < 8.0
    assert chroma(blue)[near].max() > chroma(masstone) + 3.0


def test_a_yellow_is_strong_only_where_it_is_light(reach):
    """Yellows reach their chroma at high values, blues at low ones (Munsell's own solid)."""
    strongest = {value: corners[:, 1].max() for value, corners in reach.by_value.items()}
    assert strongest[8] > strongest[5] > strongest[2]
    assert reach.by_value[8][:, 1].min() > reach.by_value[3][:, 1].min()


def test_warm_tubes_alone_do_not_surround_grey():
    """White and two yellows mix no blue, and at value 3 nothing at all."""
    box = Box("warm", tuple(built_in_tube(name) for name in ("PW6", "PY74", "yellow-ochre")))
    reach = outline(box)
    assert len(reach.by_value[3]) == 0
    assert not inside(reach.whole, np.array([[-20.0, 0.0], [0.0, -20.0], [30.0, 0.0]])).any()
    assert reach.whole[:, 1].min() > -1.0
    mixed = Palette.of(box.tubes).lab(np.random.default_rng(2).dirichlet([1, 1, 1], 2000))
    assert np.quantile(beyond(reach.whole, mixed[:, 1:]), 0.99) < 0.5


def test_one_tube_is_a_point_and_black_and_white_a_line():
    blue = Box("blue", (built_in_tube("PB29"),))
    (point,) = outline(blue).whole
    np.testing.assert_allclose(point, predict(blue.tubes, [1.0])[1:], atol=0.01)
    greys = outline(Box("greys", (built_in_tube("PW6"), built_in_tube("PBk9"))))
    assert all(len(corners) <= 2 for corners in greys.by_value.values())
    assert chroma(np.column_stack([np.zeros(len(greys.whole)), greys.whole])).max() < 8.0


def test_a_smaller_box_reaches_no_farther():
    """Eight tubes, and six of them."""
    box = eight_tubes()
    fewer = outline(box.without(["PG7", "PR122"]))
    assert beyond(outline(box).whole, fewer.whole).max() < 1.0
    assert beyond(fewer.whole, outline(box).whole).max() > 10.0


def test_sunken_paint_reaches_less_in_the_darks():
    """The skin of matt paint alone gives back 3.08 % of the light, and Munsell value 2
    is 3.05 % (ASTM D1535-08e1): no matt mix is so dark. One value up its colours are dull."""
    box = garden_table()
    matt = Box("matt", box.tubes, surface=Surface(f=1.0))
    glossy, sunken = outline(box).by_value, outline(matt).by_value
    assert len(sunken[2]) == 0
    assert beyond(glossy[3], sunken[3]).max() < 1.0
    assert beyond(sunken[3], glossy[3]).max() > 10.0


def test_it_is_there_while_the_painter_moves_on(monkeypatch):
    """A tube put away redraws the chart: far fewer mixes are reckoned than the box has of three."""
    reckoned, lab = [], Palette.lab

    def counted(palette, amounts):
        reckoned.append(len(amounts))
        return lab(palette, amounts)

    monkeypatch.setattr(Palette, "lab", counted)
    outline(garden_table())
    assert 1000 < sum(reckoned) < 300_000


def test_delta_e_of_the_gap_is_small(reach, recipes):
    """Where recipes of value 5 lie beyond the outline, no eye tells them from its edge."""
    same = recipes[np.abs(munsell_value(recipes) - 5) < 0.01]
    corners = reach.by_value[5]
    dense = np.concatenate(
        [corners + share * (np.roll(corners, -1, axis=0) - corners) for share in np.arange(8) / 8]
    )
    edge = np.column_stack([np.full(len(dense), float(lstar_from_value(5))), dense])
    out = same[~inside(corners, same[:, 1:])]
    assert all(delta_e_00(edge, lab).min() < 0.8 for lab in out)
