"""The value finder, printed by simulated printers and photographed in the virtual studio."""

from __future__ import annotations

import functools
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.display import lab_to_srgb8
from refmatch.colorimetry.hues import value_from_luminance
from refmatch.dabs.card import PAPERS
from refmatch.dabs.value_finder import (
    MeasuredFinder,
    ValueFinder,
    compose,
    finder_to_json,
    measure,
    read_finder,
)
from refmatch.errors import CardError
from refmatch.photo.photo import Photo
from refmatch.sheet.value_strip import grey_of
from tests.dabs import studio
from tests.refusals import refused
from tests.virtual_studio.card_photo import page_photographed, setting_of
from tests.virtual_studio.printer import SHOT, Printer, another_printer, printed_page

SEEDS = (1, 2, 3)


def truth(printer: Printer, card: ValueFinder) -> np.ndarray:
    """Return the values that the steps truly have, by the printer's own law."""
    codes = np.array([lab_to_srgb8(grey_of(window.sent))[0] for window in card.strip]) / 255.0
    return value_from_luminance(100.0 * printer.reflectance(codes))


def photo_of(printer: Printer, card: ValueFinder) -> Photo:
    return studio.photographed(printed_page(printer, card), card, SHOT, studio.lamp)


@functools.cache
def measured(seed: int) -> MeasuredFinder:
    return measure(photo_of(another_printer(seed), compose()), compose())


@pytest.mark.parametrize("seed", SEEDS)
def test_the_true_value_of_every_step_is_told(seed: int) -> None:
    told = np.array([step.true for step in measured(seed).steps])
    true = truth(another_printer(seed), compose())
    assert np.abs(true - np.arange(11)).max() > 0.8  # a printer worth measuring
    assert np.abs(told - true).max() < 0.15


@pytest.mark.parametrize("seed", SEEDS)
def test_a_finder_made_for_the_printer_is_what_is_written_on_it(seed: int) -> None:
    printer = another_printer(seed)
    card = compose(steps=measured(seed).corrected())
    written = np.array([window.value for window in card.strip])
    assert np.abs(truth(printer, card) - written).max() < 0.15
    again = measure(photo_of(printer, card), card)  # and a photo of it says so
    assert max(abs(step.true - step.value) for step in again.steps) < 0.3


def test_a_chart_beside_it_undoes_what_a_phone_makes_of_light_and_dark() -> None:
    """Tone curve, glare and noise of a measured camera; a chart, and no curve is known."""
    printer, card = another_printer(4), compose()
    photo = page_photographed(printed_page(printer, card), setting_of(4, "D50"))
    found = measure(photo, card)
    assert found.by_chart
    told = np.array([step.true for step in found.steps])
    assert np.abs(told - truth(printer, card)).max() < 0.5


@pytest.mark.parametrize("paper", PAPERS)
def test_its_file_is_read_back(tmp_path: Path, paper: str) -> None:
    card = compose(paper, measured(1).corrected())
    path = tmp_path / "values.json"
    path.write_text(finder_to_json(card))
    assert read_finder(path) == card


def test_nothing_printed_lies_where_plain_paper_is_read() -> None:
    printer = Printer(1.0, 0.0, 0.85, 0.03, 1.0, 0)
    for paper in ("a4",):
        card = compose(paper)
        page = printed_page(printer, card)
        for stretch in card.papers:
            seen = page[studio.pixels(page, stretch.place)]
            assert seen.min() > 0.85 * (1.0 - 0.15)


def test_another_print_is_refused() -> None:
    card = compose(steps=measured(1).corrected())
    with refused(CardError, match="another print than this value finder"):
        measure(photo_of(another_printer(1), compose()), card)


@pytest.mark.parametrize(
    "damage",
    [
        ("[", "{"),
        ('"value": 3.0', '"value": 30.0'),
        ('"sent"', '"went"'),
        ("refmatch-value-finder", "refmatch-card"),
    ],
)
def test_a_damaged_file_is_refused(tmp_path: Path, damage: tuple[str, str]) -> None:
    path = tmp_path / "values.json"
    path.write_text(finder_to_json(compose()).replace(*damage))
    with refused(CardError):
        read_finder(path)
