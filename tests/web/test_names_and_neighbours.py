"""Names follow a hole until the painter gives one; two holes of one colour are told."""

from __future__ import annotations

import pytest

from refmatch.web.page import sitting_shown
from tests.web.test_light_on_the_page import desk as desk
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
