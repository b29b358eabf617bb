"""What is transparent is left out of every measure; nothing is mixed into what is beside it."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.errors import HoleError, PhotoError
from refmatch.photo import masses, studies, values
from refmatch.photo.hole import Hole, sample
from refmatch.photo.light.balance import as_shot
from refmatch.photo.light.guess import scene_of
from refmatch.photo.load import load
from tests.photo.pictures import save_png
from tests.refusals import refused

GREEN, BROWN = (60, 120, 50), (110, 70, 40)


@pytest.fixture
def cut_out(tmp_path):
    """A pear cut out of its photo: green, brown on the right, and nothing around it."""
    samples = np.zeros((120, 160, 4), np.uint8)  # hidden under clear parts: black
    samples[30:90, 40:80] = (*GREEN, 255)
    samples[30:90, 80:120] = (*BROWN, 255)
    return load(save_png(tmp_path / "pear.png", samples))


@pytest.fixture
def whole(tmp_path):
    samples = np.zeros((60, 80, 3), np.uint8)
    samples[:, :40], samples[:, 40:] = GREEN, BROWN
    return load(save_png(tmp_path / "whole.png", samples))


def test_a_hole_over_the_edge_sees_the_pear_alone(cut_out, whole):
    over = sample(cut_out, as_shot(), Hole(40.0, 60.0, 20.0))
    within = sample(whole, as_shot(), Hole(20.0, 30.0, 20.0))
    assert over.lab == pytest.approx(within.lab, abs=1e-4)
    assert over.pixels == pytest.approx(within.pixels / 2.0, rel=1e-6)
    assert "partly_outside" in [flag.name for flag in over.flags]
    assert over.clipped_fraction == 0.0


def test_a_hole_where_nothing_is_is_refused(cut_out):
    with refused(HoleError, match="transparent"):
        sample(cut_out, as_shot(), Hole(10.0, 10.0, 9.0))


@pytest.mark.parametrize("longest_side_px", [160, 53, 20])
def test_the_small_picture_has_none_of_it(cut_out, whole, longest_side_px):
    working = cut_out.working(longest_side_px)
    seen = working.xyz[working.covered]
    own = np.concatenate([whole.linear(0, 0, 1, 1), whole.linear(0, 79, 1, 1)])[:, 0]
    low, high = own.min(axis=0), own.max(axis=0)
    assert (seen >= low - 1e-5).all()
    assert (seen <= high + 1e-5).all()
    assert not working.clipped.any()


def test_masses_and_values_are_those_of_the_pear(cut_out, whole):
    for found, expected in zip(
        masses.find(cut_out, as_shot(), 2).items,
        masses.find(whole, as_shot(), 2).items,
        strict=True,
    ):
        assert found.share == pytest.approx(0.5, abs=0.02)
        assert found.share == pytest.approx(expected.share, abs=0.02)
    labs = sorted(tuple(mass.lab) for mass in masses.find(cut_out, as_shot()).items)
    own = sorted(tuple(mass.lab) for mass in masses.find(whole, as_shot()).items)
    assert np.allclose(labs, own, atol=0.01)
    assert values.study(cut_out, as_shot()).values == pytest.approx(
        values.study(whole, as_shot()).values, abs=0.01
    )
    assert sum(values.study(cut_out, as_shot()).shares) == pytest.approx(1.0)


def test_the_light_is_guessed_without_it(cut_out):
    assert scene_of(cut_out.working(160)).usable.sum() == 60 * 80


def test_a_study_leaves_the_paper_white(cut_out):
    study = studies.masses_study(masses.find(cut_out, as_shot()), (160, 120))
    assert (study[:20, :20] == 255).all()
    assert (study[60, 60] < 200).any()


def test_a_photo_of_nothing_is_refused(tmp_path):
    path = save_png(tmp_path / "nothing.png", np.zeros((40, 40, 4), np.uint8))
    with refused(PhotoError, match="transparent all over"):
        load(path)
