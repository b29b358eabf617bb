"""A single colour in words."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.words import chroma_word, describe, value_words, with_halves
from tests.colorimetry.charts import paint, patch, renotation


@pytest.mark.parametrize(
    ("number", "written"), [(0.0, "0"), (0.4, "½"), (4.26, "4½"), (4.8, "5"), (10.0, "10")]
)
def test_halves(number, written):
    assert with_halves(number) == written


@pytest.mark.parametrize("value", [0, 1, 2.5, 5, 7.5, 10])
def test_value_words_read_the_munsell_value(value):
    lab = np.array([float(lstar_from_value(value)), 0.0, 0.0])
    assert value_words(lab) == f"value {with_halves(value)}"


@pytest.mark.parametrize(
    ("step", "word"), [(2, "dull"), (4, "moderate"), (6, "moderate"), (8, "strong"), (10, "strong")]
)
def test_chroma_words_hold_in_all_hues_of_the_renotation(step, word):
    """One column of the atlas, one word: what C* alone cannot do."""
    real = renotation()
    column = real.lab[(real.chroma == step) & (real.value >= 3) & (real.value <= 7)]
    agreeing = np.mean([chroma_word(lab) == word for lab in column])
    assert len(column) > 50
    assert agreeing > 0.9


def test_describe_says_value_first():
    assert describe(patch("dark skin")) == "value 4, brown, moderate"
    assert describe(patch("neutral 5 (.70 D)")) == "value 5, grey"
    assert describe(paint("pyrrole red")) == "value 4, red, very strong"
