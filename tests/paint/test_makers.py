"""What makers' paints of one pigment differ by."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest

from refmatch.paint.box import built_in_tube
from refmatch.paint.fit.belief import ways_of
from refmatch.paint.library import FROM_MEMORY, KINDS, MEDIA, pigments
from refmatch.paint.makers import Spread, spread_of
from refmatch.recipe.doubt import covariance, uncertainty
from refmatch.recipe.mixture import Palette

BETWEEN = ("unmeasured", "ready_mixed")


def stated_p90(parts: dict[str, float]) -> float:
    tubes = [built_in_tube(key) for key in parts]
    amounts, palette = np.array(list(parts.values())), Palette.of(tubes)
    lab = palette.lab(amounts)
    return uncertainty(lab, covariance(palette, tubes, amounts, lab))[1]


def test_every_kind_has_a_row_and_every_row_a_source() -> None:
    rows = tomllib.loads(files("refmatch.paint").joinpath("makers.toml").read_text("utf-8"))
    assert set(rows) == {*KINDS, *BETWEEN}
    assert all(row["source"] for row in rows.values())
    assert all(p.kind in KINDS and p.medium in MEDIA for p in pigments().values())


@pytest.mark.parametrize("doubtful", ["ivory-black", "cobalt-blue", "cadmium-red-light"])
def test_blacks_cobalts_and_cadmiums_differ_more_than_phthalos(doubtful: str) -> None:
    """Common practice, no source: the former by a factor in strength, phthalos little."""
    white = {"titanium-white": 9.0}
    assert stated_p90({doubtful: 1.0}) > 0.0
    assert built_in_tube(doubtful).doubt > 1.5 * built_in_tube("phthalo-blue").doubt
    assert stated_p90({"ivory-black": 1.0, **white}) > stated_p90({"PB15:3": 0.1, **white})


def test_curves_from_memory_carry_more() -> None:
    known = pigments()["cobalt-blue"]
    remembered = spread_of([replace(known, medium=FROM_MEMORY)])
    of_known = spread_of([known])
    assert remembered.level > of_known.level
    assert remembered.shift_nm > of_known.shift_nm


def test_a_box_says_what_its_curves_come_from() -> None:
    assert built_in_tube("viridian").curves_from == ("oil, measured",)
    assert built_in_tube("cobalt-blue").curves_from == ("acrylic, published",)
    assert built_in_tube("cobalt-blue-oil").curves_from == ("oil, measured",)
    assert built_in_tube("mars-black").curves_from == (FROM_MEMORY,)
    assert len(built_in_tube("paynes-grey").curves_from) == 2
    assert built_in_tube("PB29").keys == ("ultramarine-blue",)


def test_more_pigment_in_a_paint_moves_its_tints_and_not_its_masstone() -> None:
    """K and S grow together with load (Duncan 1940): K/S of a masstone does not know of it."""
    blue = built_in_tube("cobalt-blue")
    plain = replace(spread_of([pigments()["cobalt-blue"]]), load=0.0)
    loaded = replace(plain, load=0.5)

    def p90(spread: Spread, parts: list[float]) -> float:
        tubes = [built_in_tube("titanium-white"), replace(blue, modes=ways_of(blue, spread))]
        amounts, palette = np.array(parts), Palette.of(tubes)
        lab = palette.lab(amounts)
        return uncertainty(lab, covariance(palette, tubes, amounts, lab))[1]

    assert p90(loaded, [9.0, 1.0]) > 1.2 * p90(plain, [9.0, 1.0])
    assert p90(loaded, [0.0, 1.0]) == pytest.approx(p90(plain, [0.0, 1.0]), rel=0.1)
