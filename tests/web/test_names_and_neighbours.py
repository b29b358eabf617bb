"""Names follow a hole until the painter gives one; two holes of one colour are told."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.painting.puddles import same_colours
from refmatch.target import Target
from refmatch.web.page import sitting_shown
from tests.web.test_light_on_the_page import do


def holes(desk):
    return sitting_shown(desk.sitting())["holes"]


@pytest.mark.parametrize("own", ["", "my pear"])
def test_the_name_of_a_mass_stays_behind_when_its_hole_is_moved(desk, own: str) -> None:
    do(desk, "punch_masses", count=3)
    first, second, *_ = holes(desk)
    assert first["named"]
    if own:
        do(desk, "name", hole=first["key"], label=own)
    do(desk, "move", hole=first["key"], x_px=second["x_px"] + 9.0, y_px=second["y_px"])
    moved = holes(desk)[0]
    assert moved["heading"] == own if own else moved["heading"] != first["heading"]
    assert moved["named"] is bool(own)


def test_a_second_hole_of_the_same_colour_is_told(desk) -> None:
    for x_px in (983.0, 1258.0, 984.0):
        do(desk, "punch", x_px=x_px, y_px=896.0 if x_px < 1000 else 736.0, diameter_px=60.0)
    assert [hole["same_as"] for hole in holes(desk)] == [None, None, 1]


def test_one_puddle_serves_two_holes_of_one_colour_until_it_is_said_otherwise(desk) -> None:
    for x_px in (983.0, 984.5):
        do(desk, "punch", x_px=x_px, y_px=896.0, diameter_px=60.0)
    first, second = holes(desk)
    assert second["joined"]
    assert second["colour"] != first["colour"], "nearly the same, not the very same"
    assert second["recipes"] == first["recipes"]
    do(desk, "join", hole=second["key"], joined=False)
    alone = holes(desk)[1]
    assert (alone["joined"], alone["same_as"]) == (False, 1)
    assert desk.sitting().undo == "mix hole 2 by itself"
    desk.undo(desk.sitting().painting.revision)
    assert holes(desk)[1]["joined"]


def test_a_hole_of_the_same_colour_with_wishes_of_its_own_is_mixed_by_itself(desk) -> None:
    for x_px in (983.0, 984.5):
        do(desk, "punch", x_px=x_px, y_px=896.0, diameter_px=60.0)
    first, second = holes(desk)
    out = next(
        line["tube"] for line in second["recipes"][0]["lines"] if "white" not in line["tube"]
    )
    do(desk, "habits", hole=second["key"], without=[out], insist=[])
    first, second = holes(desk)
    assert not second["joined"]
    assert out in {line["tube"] for line in first["recipes"][0]["lines"]}
    assert out not in {line["tube"] for line in second["recipes"][0]["lines"]}
    do(desk, "join", hole=second["key"], joined=True)
    assert holes(desk)[1]["recipes"] == holes(desk)[0]["recipes"]


def test_a_row_of_colours_does_not_drift_into_one_puddle() -> None:
    """Each a step of 0.8 from the last: the third is 1.6 from the first, a colour of its own."""
    row = [Target(str(n), np.array([50.0 + 0.8 * n, 0.0, 0.0])) for n in range(4)]
    assert same_colours(row) == (0, 0, 2, 2)
