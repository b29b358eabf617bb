"""What was found, against the true colours beside the sample photo."""

from __future__ import annotations

from typing import Any

import numpy as np
from colour.difference import delta_E_CIE2000

from tests.browser.painter import FOUR, PLACES

MEDIAN, LARGEST = 1.0, 4.0
"""How near a photo comes where its card is of known lightness (tests/test_sample_truth.py)."""


def check_colours(state: dict[str, Any]) -> None:
    """Check the colours of the first four holes (CIEDE2000, by colour-science)."""
    found = np.array([hole["colour"]["lab"] for hole in state["holes"][: len(FOUR)]])
    true = np.array([PLACES[label]["lab"] for label in FOUR])
    apart = delta_E_CIE2000(found, true)
    print("from the truth, dE00:", np.round(apart, 2))
    assert np.median(apart) < MEDIAN
    assert apart.max() < LARGEST


def content(state: dict[str, Any]) -> dict[str, Any]:
    """Return all of a painting but how often and when it was changed."""
    passing = ("revision", "saved_at", "undo", "redo", "made")
    return {key: value for key, value in state.items() if key not in passing}
