"""Which dab to paint next: the doubt falls, and the dabs are those a colourist would paint."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from refmatch.errors import UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.painting.advise import advise_box
from refmatch.recipe.advice import MEASURED, advise
from tests.refusals import refused

BOX = Box(
    "small",
    tuple(
        built_in_tube(key) for key in ("titanium-white", "PB29", "PY74", "prussian-blue", "PBk9")
    ),
)


def parts(**amounts: float) -> np.ndarray:
    keys = ("white", "blue", "yellow", "prussian", "black")
    return np.array([amounts.get(key, 0.0) for key in keys])


def test_each_dab_leaves_less_in_doubt():
    found = advise(BOX, [parts(white=4, blue=1), parts(white=2, yellow=3, blue=0.5)])
    assert found
    for dab in found:
        assert dab.after < dab.before
    for dab, following in itertools.pairwise(found):
        assert following.before == pytest.approx(dab.after)


def test_only_tubes_that_the_mixes_hold_are_asked_for():
    found = advise(BOX, [parts(white=4, blue=1)])
    assert {name for dab in found for name, _ in dab.portions} <= {"titanium-white", "PB29"}


def test_a_dark_staining_paint_is_asked_for_in_tints():
    """Its masstone says almost nothing; tints serve (own trials on published oils)."""
    found = advise(BOX, [parts(white=20, prussian=1)], count=2, lab_error=MEASURED)
    assert dict(found[0].portions).get("titanium-white", 0.0) >= 1.0


def test_a_colour_with_black_is_asked_for_where_it_is_wanted_so():
    found = advise(BOX, [parts(yellow=5, black=1)])
    assert any(dict(dab.portions).keys() >= {"PY74"} for dab in found)


def test_without_a_wish_it_is_asked_for_which_mixes():
    with refused(UsageError, match="For which mixes"):
        advise_box((), None, None, 3)
