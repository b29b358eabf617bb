"""What is said of a plan."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.say.plan import SQUEEZES


def test_sizes_are_spheres_of_their_fruit():
    """Common practice, no source: a pea is 10 mm across, a hazelnut 17, a walnut 27."""
    ends = {word: end for end, word in SQUEEZES}
    for word, across_mm in (("a pea", 10), ("a hazelnut", 17), ("a walnut", 27)):
        volume_ml = np.pi / 6.0 * across_mm**3 / 1000.0
        assert volume_ml == pytest.approx(ends[word], rel=0.2)
    assert ends["two walnuts"] == 2 * ends["a walnut"]
