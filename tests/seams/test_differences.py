"""Each difference that is told is the difference that it is called, wherever it is told."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pytest

from tests.seams.doors import Doors, Json
from tests.seams.test_doors import HOLE_WORDS


def recipes_in(told: Any, target: list[float] | None = None) -> Iterator[tuple[Any, Json]]:
    """Give every recipe in a JSON, each with the Lab of the target that it stands under."""
    if isinstance(told, list):
        for each in told:
            yield from recipes_in(each, target)
    if not isinstance(told, dict):
        return
    if "delta_cstar" in told and "portions" in told:
        yield target, told
        return
    colours = [told.get("lab"), told.get("target"), told.get("colour")]
    labs = [each.get("lab") if isinstance(each, dict) else each for each in colours]
    own = next((lab for lab in labs if lab), target)
    for value in told.values():
        yield from recipes_in(value, own)


def check(told: Json) -> int:
    """See to it that L*, C* and H* differ as CIE 1976 defines; return how many were seen."""
    count = 0
    for target, recipe in recipes_in(told):
        lab, count = recipe["lab"], count + 1
        chroma, wanted = math.hypot(*lab[1:]), math.hypot(*target[1:])
        apart = math.dist(lab[1:], target[1:]) ** 2 - (chroma - wanted) ** 2
        assert recipe["delta_lstar"] == pytest.approx(lab[0] - target[0], abs=0.02)
        assert recipe["delta_cstar"] == pytest.approx(chroma - wanted, abs=0.02)
        assert recipe["delta_hstar"] ** 2 == pytest.approx(max(apart, 0.0), abs=0.2)
    return count


def test_differences_are_what_they_are_called_in_every_json(doors: Doors) -> None:
    folder = doors.planned(*HOLE_WORDS)
    assert check(doors.told("mix", "62,14,38", "30,2,-20")) >= 2
    assert check(doors.told("sheet", folder)) >= 3
    assert check(doors.told("plan", folder)) >= 3
    assert check(doors.page(doors.opened(folder))) >= 3
