"""What dabs teach of a tube that was only taken to be like a neighbour."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.dabs.calibrate import calibrate
from refmatch.paint.box import built_in_tube
from refmatch.paint.fit.belief import KNOWN, belief_of, tube_beside
from refmatch.paint.fit.tubes import Named
from refmatch.recipe.doubt import generic_flags
from tests.virtual_studio.scene import scene_of


@pytest.mark.parametrize("neighbour", ["phthalo-green", "unknown"])
def test_dabs_outweigh_the_neighbour(neighbour: str) -> None:
    """The true paint is another maker's ultramarine; the neighbour is a green, or none."""
    scene = scene_of(31, "D50")
    place = [tube.name for tube in scene.studio.tubes].index("ultramarine")
    guessed = tube_beside("ultramarine", ["PX999"], neighbour)
    named = [Named.of(guessed) if n == place else one for n, one in enumerate(scene.named)]
    made = calibrate(named, scene.white, scene.dabs, [scene.card], chart=scene.chart).box
    true = np.log(scene.studio.absorption[place])
    before = np.log(guessed.absorption) - true
    after = np.log(made.tubes[place].absorption) - true
    assert np.std(after) < 0.5 * np.std(before)
    assert [flag.name for flag in made.tubes[place].flags].count("unknown_pigment") == 1
    assert made.tubes[place].pigments == ("PX999",)


def test_a_neighbour_is_believed_less_than_a_pigment_and_says_so_once() -> None:
    near = built_in_tube("PG7", "mystery")
    beside = tube_beside("mystery", [], "PG7")
    size = [np.linalg.norm(belief_of(tube, KNOWN).factor) for tube in (near, beside)]
    assert size[1] > 1.5 * size[0]
    assert beside.doubt > near.doubt
    names = [flag.name for flag in generic_flags([near, beside])]
    assert names == ["generic_curves", "neighbour_only"]
    assert not beside.is_known
    assert replace(beside, keys=("phthalo-green",)).is_known
