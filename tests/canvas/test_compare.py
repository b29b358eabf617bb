"""The canvas laid over its reference: what is shown, where the light falls off, what shines."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.canvas.compare import (
    MASS,
    Reference,
    Wanted,
    fall_of,
    look_at,
    part_shown,
    regions_of,
)
from refmatch.canvas.corners import Squared
from refmatch.colorimetry.lab import lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.plan.amounts import Canvas
from tests.canvas.test_corners import COLUMNS, ROWS, picture


def reference() -> Reference:
    lab, masses = picture()
    labels = ("wall", "table", "pear", "jug")
    return Reference(lab_to_xyz(lab, PHOTO_WHITE), masses.astype(np.int16), labels, ())


def as_painted(factor: float | np.ndarray = 1.0) -> Squared:
    xyz = reference().xyz * np.asarray(factor)
    return Squared(xyz, np.zeros((ROWS, COLUMNS), bool))


@pytest.mark.parametrize(
    ("aspect", "sides", "shown"),
    [
        (1.5, None, (0.0, 0.0, 1.0, 1.0)),
        (4 / 3, (40, 30), (0.0, 0.0, 1.0, 1.0)),
        (4 / 3, (30, 40), (0.0, 0.0, 1.0, 1.0)),  # a canvas lies as the photo does
        (1.5, (40, 30), (1 / 18, 0.0, 8 / 9, 1.0)),
        (1.5, (60, 30), (0.0, 1 / 8, 1.0, 3 / 4)),
        (2 / 3, (30, 30), (0.0, 1 / 6, 1.0, 2 / 3)),
    ],
)
def test_what_of_a_photo_a_canvas_shows(aspect: float, sides, shown) -> None:
    canvas = Canvas(*map(float, sides)) if sides else None
    np.testing.assert_allclose(part_shown(aspect, canvas), shown)


@pytest.mark.parametrize("slope", [(0.0, 0.0), (0.12, -0.05), (-0.2, 0.1)])
@pytest.mark.parametrize("wrong", [1.0, 1.8])
def test_light_that_falls_off_is_told_from_masses_painted_wrong(slope, wrong: float) -> None:
    """A plane of light is found within 0.03, however wrong a mass is painted as a whole."""
    across = np.linspace(-1, 1, COLUMNS)[None, :, None]
    down = np.linspace(-1, 1, ROWS)[:, None, None]
    light = np.exp(slope[0] * across + slope[1] * down)
    error = np.where(reference().masses == 2, wrong, 1.0)[..., None]
    fall = fall_of(as_painted(light * error), reference())
    np.testing.assert_allclose(fall.slope, slope, atol=0.03)


def test_masses_are_read_within_their_rims() -> None:
    """A shape that is drawn 1 % off leaves every reading as it was."""
    regions = [one for one in regions_of(reference(), ()) if one.kind == MASS]
    assert [one.label for one in regions] == ["wall", "table", "pear", "jug"]
    moved = Squared(np.roll(as_painted().xyz, 3, axis=1), as_painted().clipped)
    fall = fall_of(as_painted(), reference())
    for region in regions:
        before, after = (look_at(canvas, region, fall) for canvas in (as_painted(), moved))
        lab = [xyz_to_lab(look.spot.xyz, PHOTO_WHITE) for look in (before, after)]
        assert np.abs(lab[0] - lab[1]).max() < 0.5


def test_a_shine_is_left_out_and_told() -> None:
    xyz = as_painted().xyz.copy()
    pear = np.argwhere(reference().masses == 2)
    middle = pear.mean(axis=0)
    glint = pear[np.hypot(*(pear - middle).T) < 12]
    xyz[glint[:, 0], glint[:, 1]] = 0.95 * PHOTO_WHITE
    canvas = Squared(xyz, np.zeros((ROWS, COLUMNS), bool))
    (region,) = [one for one in regions_of(reference(), ()) if one.label == "pear"]
    look = look_at(canvas, region, fall_of(canvas, reference()))
    assert look.shine == pytest.approx(len(glint) / region.mask.sum(), abs=0.02)
    lab = xyz_to_lab(look.spot.xyz, PHOTO_WHITE)
    assert np.abs(lab - region.target_lab).max() < 1.0


def test_a_hole_is_read_where_its_colour_is() -> None:
    target = np.array([62.0, 18.0, 44.0])
    at_the_rim = Wanted("pear", target, 48 / COLUMNS, 115 / ROWS)
    (hole,) = [one for one in regions_of(reference(), (at_the_rim,)) if one.kind == "hole"]
    assert (reference().masses[hole.mask] == 2).all()


def test_a_thin_mass_is_in_doubt_by_what_lies_beside_it() -> None:
    """A stripe as narrow as shapes may be off is read as its neighbours are; no wide mass is."""
    lab, masses = picture()
    masses = masses.copy()
    masses[120:123, :30] = 4
    lab = lab.copy()
    lab[120:123, :30] = [5.0, 0.0, 0.0]
    labels = ("wall", "table", "pear", "jug", "line")
    thin = Reference(lab_to_xyz(lab, PHOTO_WHITE), masses.astype(np.int16), labels, ())
    doubt = {one.label: one.drawn_off[0, 0] ** 0.5 for one in regions_of(thin, ())}
    assert doubt["line"] > 10.0
    assert doubt["wall"] < 2.0
