"""Palettes of the trade, and what may be bought."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.lab import chroma
from refmatch.paint.box import WHITES, Box, built_in_tube
from refmatch.paint.box_file import built_in_box
from refmatch.plan.advise import KNOWN, advise, all_to_buy, known_palettes, reaches
from refmatch.plan.cores import cores_of

GREEN_LAKE = np.array([40.0, -45.0, 5.0])
BROWN = np.array([40.0, 10.0, 18.0])


def test_the_twelve_usual_tubes_play_the_palettes_of_the_trade() -> None:
    """All but a second, cool yellow, which the box has not."""
    found = {each.name: each for each in known_palettes(built_in_box())}
    assert set(found) == set(KNOWN)
    assert found["earths and white"].tubes == (
        "titanium white",
        "yellow ochre",
        "burnt sienna",
        "burnt umber",
        "ivory black",
    )
    assert found["three primaries and white"].missing == ()
    assert found["a warm and a cool of each"].missing == ("a cool yellow",)


def test_no_tube_plays_two_parts() -> None:
    for box in (built_in_box(), all_to_buy(built_in_box())):
        for each in known_palettes(box):
            assert len(set(each.tubes)) == len(each.tubes)


def test_earths_reach_no_strong_green_and_primaries_do() -> None:
    """A palette of earths and white is a quiet one (common practice, no source)."""
    cores = cores_of(built_in_box(), np.array([GREEN_LAKE, BROWN]))
    found = advise(cores, np.array([0.5, 0.5]), 5)
    does = {known.name: choice for known, choice in found.known}
    assert does["earths and white"].missed == [0]
    assert does["three primaries and white"].missed == []
    earths = [known.name for known, _ in found.known].index("earths and white")
    helper = found.helpers[earths]
    assert helper is not None
    assert helper[0] == "phthalo green"
    assert helper[1].missed == []


def test_the_outline_of_earths_lies_within_the_box_and_is_the_quietest() -> None:
    box = built_in_box()
    found = advise(cores_of(box, np.array([BROWN])), np.ones(1))
    by_name = {reach.name: reach for reach in reaches(box, found)}
    strongest = {
        name: chroma(np.insert(r.outline_ab, 0, 50.0, axis=1)).max() for name, r in by_name.items()
    }
    assert strongest["earths and white"] < strongest["three primaries and white"]
    assert max(strongest, key=lambda name: strongest[name]) == box.name


def test_nothing_that_fades_is_advised_and_one_white_only() -> None:
    """Alizarin's tints fade (ASTM D4303 class III); lead poisons."""
    tubes = all_to_buy(built_in_box()).tubes
    keys = [tube.keys[0] for tube in tubes]
    assert "alizarin-crimson" not in keys
    assert [key for key in keys if key in WHITES] == ["titanium-white"]
    assert len(keys) > 40


def test_what_to_buy_comes_at_least_as_near_as_the_box() -> None:
    """All pigments hold those of this box, so their best palette costs no more."""
    few = Box(
        "few", tuple(built_in_tube(n) for n in ("PW6", "yellow-ochre", "PB29", "burnt-umber"))
    )
    labs, shares = np.array([GREEN_LAKE, BROWN]), np.array([0.3, 0.7])
    own = advise(cores_of(few, labs), shares, 4).chosen
    bought = advise(cores_of(all_to_buy(few), labs), shares, 4).chosen
    assert bought.cost < own.cost
    assert bought.bound <= bought.cost
