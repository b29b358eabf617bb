"""A canvas as it is written, and the tubes that are bought for it."""

from __future__ import annotations

import pytest

from refmatch.errors import UsageError
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_box
from refmatch.painting.asked import AskedPlan
from refmatch.plan.amounts import Canvas, canvas_of, tubes_for
from refmatch.plan.shop import shop_list
from tests.painting.rounds_example import boxed
from tests.refusals import refused
from tests.sheet.cases import mixed_by_a_plan


@pytest.mark.parametrize(
    ("text", "sides_cm"),
    [
        ("40x30", (40.0, 30.0)),
        ("40x30cm", (40.0, 30.0)),
        ("40 × 30 cm", (40.0, 30.0)),
        ("40,5x30.5", (40.5, 30.5)),
        ("400x300mm", (40.0, 30.0)),
        ("16x20in", (40.64, 50.8)),
        ('16"x20"', (40.64, 50.8)),
        ("16 x 20 inches", (40.64, 50.8)),
    ],
)
def test_a_canvas_is_read_in_centimetres_and_in_inches(
    text: str, sides_cm: tuple[float, float]
) -> None:
    """An inch is 25.4 mm (international yard and pound agreement, 1959)."""
    canvas = canvas_of(text)
    assert (canvas.width_cm, canvas.height_cm) == pytest.approx(sides_cm)


@pytest.mark.parametrize("text", ["", "40", "40x", "x30", "40x30ft", "40inx30furlongs", "a x b"])
def test_what_is_no_canvas_is_told(text: str) -> None:
    with refused(UsageError, match="40x30 or 16x20in"):
        canvas_of(text)


@pytest.mark.parametrize("text", ["0x30", "40x3000", "500x500in"])
def test_a_canvas_that_nobody_stretches_is_told(text: str) -> None:
    with refused(UsageError, match="not offered"):
        canvas_of(text)


def test_a_canvas_of_inches_is_known_as_one() -> None:
    assert canvas_of("16x20in").in_inches
    assert canvas_of("9.5x12in").in_inches
    assert not canvas_of("40x30").in_inches
    assert not Canvas(127.0, 254.0).in_inches  # 50 by 100 inches too, but whole centimetres


@pytest.mark.parametrize(
    ("volume_ml", "small", "large"),
    [(0.2, 1, 0), (37.0, 1, 0), (38.0, 2, 0), (75.0, 0, 1), (150.0, 0, 1), (160.0, 1, 1)],
)
def test_the_tubes_bought_hold_the_paint(volume_ml: float, small: int, large: int) -> None:
    assert tubes_for(volume_ml) == (small, large)


def test_what_is_owned_is_put_aside() -> None:
    painting = mixed_by_a_plan(boxed(4), AskedPlan(), Canvas(40.0, 30.0))
    assert painting.plan
    box = painting.plan.box
    mine = Box("mine", box.tubes[:1])
    items = shop_list(painting.plan, mine)
    amounts = painting.plan.amounts
    assert amounts
    assert {item.tube for item in items} == set(amounts.tubes_ml)
    assert [item.tube for item in items if item.owned] == [box.tubes[0].name]
    assert not any(item.owned for item in shop_list(painting.plan, built_in_box()))


def test_without_a_canvas_there_is_nothing_to_buy() -> None:
    painting = mixed_by_a_plan(boxed(4), AskedPlan(), None)
    assert painting.plan
    assert shop_list(painting.plan, built_in_box()) == ()


def test_tubes_always_hold_enough() -> None:
    for volume_ml in range(1, 700):
        small, large = tubes_for(float(volume_ml))
        assert 37.0 * small + 150.0 * large >= volume_ml
