"""How strong a tube is beside what was assumed: the truth is laid into it, not fitted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.spectrum import BANDS
from refmatch.paint.box import built_in_tube, strength_beside
from refmatch.web.bench.state import strength_words

BLUE = built_in_tube("PB29")


def blue(ratio: float, doubt: float):
    """Return a blue of so many times the strength, known to so much in every band alike."""
    modes = np.concatenate([np.full(BANDS, doubt), np.zeros(BANDS)])[None]
    return replace(BLUE, absorption=ratio * BLUE.absorption, modes=modes)


@pytest.mark.parametrize(
    ("ratio", "doubt", "words"),
    [
        (1.18, 0.05, "18 % stronger than assumed"),
        (0.75, 0.1, "25 % weaker than assumed"),
        (1.18, 0.15, "as strong as assumed, within its doubt"),
        (1.0, 0.01, "as strong as assumed, within its doubt"),
    ],
)
def test_a_strength_is_told_only_beyond_its_doubt(ratio: float, doubt: float, words: str) -> None:
    found = strength_beside(blue(ratio, doubt), BLUE)
    assert found.ratio == pytest.approx(ratio)
    assert found.doubt == pytest.approx(doubt)
    assert strength_words(found) == words


def test_a_student_grade_is_as_much_weaker_as_it_is_extended() -> None:
    """0.6 of the pigment (`GRADE_STRENGTH`, from memory) takes away 0.6 of the light."""
    student = built_in_tube("PB29", grade="student")
    assert strength_beside(student, BLUE).ratio == pytest.approx(0.6)
    assert strength_words(None) is None
