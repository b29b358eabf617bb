"""The page to transfer the drawing by: the canvas's shape, and lines that divide it truly."""

from __future__ import annotations

from dataclasses import replace

import pymupdf
import pytest

from refmatch.plan.amounts import Canvas
from refmatch.sheet import pdf
from refmatch.sheet.compose import Wanted, compose
from refmatch.sheet.content import Study
from tests.painting import example
from tests.sheet.cases import to_draw_by


def study(size: tuple[int, int], canvas: Canvas, grid: str = "") -> Study:
    made = to_draw_by(1, size, canvas, grid).study
    assert made
    return made


def test_squares_of_centimetres_and_of_inches() -> None:
    by_cm = study((800, 600), Canvas(40.0, 30.0))
    assert [line.label for line in by_cm.across] == ["5", "10", "15", "20", "25", "30", "35"]
    assert by_cm.down[1].along == pytest.approx(10.0 / 30.0)
    by_inch = study((750, 600), Canvas(50.8, 40.64))
    assert [line.label for line in by_inch.across[:2]] == ["2", "4"]
    assert by_inch.across[0].along == pytest.approx(2.0 / 20.0)
    assert "20 × 16 in" in by_inch.words


def test_squares_asked_for_are_drawn() -> None:
    assert len(study((800, 600), Canvas(40.0, 30.0, 10.0)).across) == 3


def test_thirds_need_no_canvas() -> None:
    made = compose(example.painting(1), example.pictures(), Wanted(grid="thirds")).study
    assert made
    assert [line.along for line in made.across] == pytest.approx([1 / 3, 2 / 3])
    assert (made.width, made.height) == (1.0, 1.0)
    assert compose(example.painting(1), example.pictures()).study is None


def test_the_largest_middle_part_of_the_canvas_shape_is_shown() -> None:
    made = study((900, 600), Canvas(30.0, 30.0))
    assert (made.width, made.height) == pytest.approx((2.0 / 3.0, 1.0))
    assert (made.left, made.top) == pytest.approx((1.0 / 6.0, 0.0))
    assert "33 %" in made.words


def test_a_canvas_lies_as_the_photo_does() -> None:
    """In the trade 16 x 20 is one canvas, hung either way (common practice, no source)."""
    assert study((900, 600), Canvas(40.0, 50.0)).aspect == pytest.approx(50.0 / 40.0)
    assert study((600, 900), Canvas(50.0, 40.0)).aspect == pytest.approx(40.0 / 50.0)


@pytest.mark.parametrize("size", [(900, 600), (600, 900)])
def test_both_pictures_have_the_canvas_shape_on_the_page(size: tuple[int, int]) -> None:
    made = to_draw_by(1, size, Canvas(30.0, 30.0))
    pages = pymupdf.open(stream=pdf.write(made))
    (page,) = (page for page in pages if "to transfer the drawing" in page.get_text())
    boxes = [pymupdf.Rect(info["bbox"]) for info in page.get_image_info()]
    assert len(boxes) == 2
    for box, info in zip(boxes, page.get_image_info(), strict=True):
        assert box.width / box.height == pytest.approx(1.0, abs=1e-3)
        assert info["width"] / info["height"] == pytest.approx(1.0, abs=0.02)  # not squeezed


def test_without_values_the_photo_stands_alone() -> None:
    made = replace(to_draw_by(1, (900, 600), Canvas(40.0, 30.0)), values=None)
    pages = pymupdf.open(stream=pdf.write(made))
    (page,) = (page for page in pages if "to transfer the drawing" in page.get_text())
    assert len(page.get_image_info()) == 1
