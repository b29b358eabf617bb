"""A canvas as it is written, and the tubes that are bought for it."""

from __future__ import annotations

import pytest

from refmatch.errors import UsageError
from refmatch.plan.amounts import Canvas, canvas_of, tubes_for
from tests.refusals import refused


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


def test_tubes_always_hold_enough() -> None:
    for volume_ml in range(1, 700):
        small, large = tubes_for(float(volume_ml))
        assert 37.0 * small + 150.0 * large >= volume_ml
