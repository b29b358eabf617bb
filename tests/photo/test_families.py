"""Families: the masses of pictures whose colours are known, and of real photographs."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.errors import UsageError
from refmatch.photo.hole import sample
from refmatch.photo.light.balance import as_shot
from refmatch.photo.masses import Families, find, names
from refmatch.photo.photo import overview
from tests.photo.made_photos import patches, photo_of_srgb, photo_of_xyz, photograph
from tests.refusals import refused

WHITE = ICC_WHITE / 100.0
PHOTOGRAPHS = ("coffee", "chelsea", "astronaut", "rocket")


def of_labs(labs: np.ndarray):  # type: ignore[no-untyped-def]
    """Return the photo of a picture in Lab (rows, columns, 3)."""
    return photo_of_xyz(lab_to_xyz(labs, WHITE))


def dull_ground(rng: np.random.Generator) -> np.ndarray:
    """Return Lab (240, 320, 3) of an invented dull ground: two greys and an earth, uneven."""
    labs = np.empty((240, 320, 3))
    labs[:, :130], labs[:, 130:230], labs[:, 230:] = [62, 1, 6], [40, 6, 14], [75, 0, 2]
    return labs + rng.normal(0.0, 2.0, labs.shape)


@pytest.mark.parametrize("count", [2, 4, 6, 8])
def test_flat_colours_are_each_a_family(count):
    colours = np.array(
        [
            [30.0, 40, 20],
            [55, -45, 30],
            [40, 10, -45],
            [82, 5, 75],
            [93, 0, 2],
            [12, 0, 0],
            [60, 35, 55],
            [60, 0, 0],
        ]
    )[:count]
    families = find(of_labs(patches(colours, count // 2)), as_shot())
    assert len(families.items) == count
    for family in families.items:
        assert delta_e_00(colours, family.lab).min() < 0.1  # 16-bit codes
        assert family.share == pytest.approx(1.0 / count, abs=1e-6)
        assert family.spread_delta_e_00 < 0.05


def test_a_flat_picture_is_one_family():
    families = find(of_labs(np.full((60, 80, 3), [50.0, 10.0, 10.0])), as_shot())
    assert [family.share for family in families.items] == [1.0]


def test_near_duplicates_are_one_family():
    colours = np.array([[50.0, 20, 10], [51, 21, 11], [80, 0, 0], [20, 0, -20]])
    families = find(of_labs(patches(colours, 2)), as_shot())
    assert len(families.items) == 3
    assert families.items[0].share == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize("side_px", [10, 14, 24])
def test_a_small_strong_accent_is_not_drowned(side_px):
    """A red spot of 0.13 to 0.75 % of a large dull picture."""
    labs = dull_ground(np.random.default_rng(7))
    labs[100 : 100 + side_px, 60 : 60 + side_px] = [45.0, 65.0, 45.0]
    families = find(of_labs(labs), as_shot())
    reds = [f for f in families.items if f.lab[1] > 40.0]
    assert len(reds) == 1
    assert reds[0].share == pytest.approx(side_px**2 / (240 * 320), rel=0.05)
    assert abs(reds[0].hole.x_px - 60 - side_px / 2) < side_px / 2
    assert abs(reds[0].hole.y_px - 100 - side_px / 2) < side_px / 2


def test_an_accent_stays_when_the_painter_asks_for_few():
    labs = dull_ground(np.random.default_rng(8))
    labs[30:50, 200:220] = [45.0, 65.0, 45.0]
    families = find(of_labs(labs), as_shot(), count=4)
    assert len(families.items) == 4
    assert any(family.lab[1] > 40.0 for family in families.items)


@pytest.mark.parametrize("name", PHOTOGRAPHS)
@pytest.mark.parametrize("count", [1, 3, 5, 8, 12])
def test_as_many_as_asked_for(name, count):
    found = len(find(photo_of_srgb(photograph(name)), as_shot(), count).items)
    assert found == count


@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_the_families_of_a_photograph_hold_together(name):
    photo = photo_of_srgb(photograph(name))
    families = find(photo, as_shot())
    shares = [family.share for family in families.items]
    assert 3 <= len(shares) <= 12
    assert sum(shares) == pytest.approx(1.0)
    assert shares == sorted(shares, reverse=True)
    assert len({family.label for family in families.items}) == len(shares)
    xyz = overview(photo).xyz
    for i, family in enumerate(families.items):
        mask = families.mask(i)
        assert mask.mean() == pytest.approx(family.share)
        mean = xyz_to_lab(xyz[mask].astype(float).mean(axis=0), WHITE)
        assert delta_e_00(mean, family.lab) < 0.01  # means are of light, not of Lab
    labs = np.array([family.lab for family in families.items])
    apart = delta_e_00(labs[:, None], labs[None])[np.triu_indices(len(labs), 1)]
    assert apart.min() > 4.0


@pytest.mark.parametrize("name", PHOTOGRAPHS)
def test_a_family_s_hole_shows_its_colour(name):
    """Within 2 dE00 for most, 4 for all: some families are hardly wider than a hole."""
    photo = photo_of_srgb(photograph(name))
    off = []
    for family in find(photo, as_shot()).items:
        hole = family.hole
        seen = sample(photo, as_shot(), hole)
        assert "partly_outside" not in {flag.name for flag in seen.flags}
        off.append(float(delta_e_00(seen.lab, family.lab)))
    print(name, np.round(off, 1))
    assert np.median(off) < 2.0
    assert max(off) < 4.0


def test_a_hole_lies_well_inside_a_flat_mass():
    colours = np.array([[30.0, 40, 20], [55, -45, 30], [40, 10, -45], [82, 5, 75]])
    for family in find(of_labs(patches(colours, 2)), as_shot()).items:
        for place in (family.hole.x_px, family.hole.y_px):
            from_border = min(abs(place - border) for border in (0.0, 40.0, 80.0))
            assert from_border >= family.hole.diameter_px / 2.0


def test_the_balance_is_looked_through():
    photo = photo_of_srgb(photograph("coffee"))
    from refmatch.photo.light import estimate
    from refmatch.photo.light.balance import AskedLight

    shot = find(photo, as_shot(), 5)
    balanced = find(photo, estimate(photo, AskedLight("temperature", kelvin=3000.0)), 5)
    b_star = [float(np.average([f.lab[2] for f in fs.items])) for fs in (shot, balanced)]
    assert b_star[1] < b_star[0] - 10.0


def test_names_are_never_alike():
    labs = np.array([[40.0, 20, 30], [41, 20, 30], [30, 20, 30], [80, 0, 0]])
    assert len(set(names(labs))) == 4


def test_masses_of_one_name_are_told_apart_by_which_is_lighter() -> None:
    """No value is in a name: a key moves it, and the mass's own is not quite its hole's."""
    brown, lighter, darker = [54.0, 14, 20], [61.0, 14, 20], [47.0, 14, 20]
    assert [name.rpartition(" ")[2] for name in names(np.array([lighter, brown]))] == [
        "(lighter)",
        "(darker)",
    ]
    three = names(np.array([brown, darker, lighter]))
    assert [name.rpartition(" ")[2] for name in three] == ["(middle)", "(darkest)", "(lightest)"]
    alike = names(np.array([brown, [54.5, 14, 20]]))
    assert alike[1] == f"{alike[0]} (2)"
    assert not any("value" in name for name in (*three, *alike))


@pytest.mark.parametrize("count", [0, -3, 100])
def test_impossible_counts_are_refused(count):
    with refused(UsageError, match="ask for 1 to 24"):
        find(of_labs(np.full((20, 20, 3), 50.0)), as_shot(), count)


SHOW = """
import numpy as np
from refmatch.photo.light.balance import as_shot
from refmatch.photo.masses import find
from tests.photo.made_photos import photo_of_srgb, photograph
found = find(photo_of_srgb(photograph("coffee")), as_shot())
print(found.labels.tobytes().hex()[::97], [f.lab.tobytes().hex() for f in found.items])
print([(f.hole.x_px, f.hole.y_px, f.hole.diameter_px) for f in found.items])
"""


def test_the_number_of_threads_changes_nothing():
    """One and two BLAS threads, to the last bit, in processes of their own."""
    shown = [
        subprocess.run(
            [sys.executable, "-c", SHOW],
            env={**os.environ, "OPENBLAS_NUM_THREADS": threads, "OMP_NUM_THREADS": threads},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for threads in ("1", "2")
    ]
    assert shown[0]
    assert shown[0] == shown[1]


def test_the_same_photo_gives_the_same_families():
    runs: list[Families] = [find(photo_of_srgb(photograph("rocket")), as_shot()) for _ in range(2)]
    np.testing.assert_array_equal(runs[0].labels, runs[1].labels)
    assert [f.label for f in runs[0].items] == [f.label for f in runs[1].items]
