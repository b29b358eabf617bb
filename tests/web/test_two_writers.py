"""Two programs write to one painting, one bench, one shelf: no acknowledged change is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from tests.benchmarks.two_writers import Counts, together
from tests.web.asking import Browser

SECONDS, ENOUGH = 60.0, 10
"""A writer ends when it was acknowledged often enough, on a slow machine after so long."""


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    photo = tmp_path / "pears.jpg"
    Image.new("RGB", (48, 36), (150, 120, 90)).save(photo)
    browser = Browser(tmp_path / "paintings")
    browser.shelf.new_from_photo(photo, "pears")
    return browser.shelf.folder


@pytest.mark.parametrize(
    "pair",
    [("studio", "studio"), ("studio", "prompt"), ("prompt", "prompt"), ("prompt", "printer")],
)
def test_a_painting(shelf: Path, pair: tuple[str, str]) -> None:
    counts = together(shelf, *pair, seconds=SECONDS, enough=ENOUGH)
    assert min(counts.acknowledged.values()) >= 2
    assert counts.told >= 1
    assert counts == Counts(counts.acknowledged, counts.told)  # none lost, no wrong road, no fault


def test_a_history_that_is_shortened_meanwhile(shelf: Path) -> None:
    counts = together(shelf, "studio", "prompt", seconds=SECONDS, enough=ENOUGH, most_steps=8)
    assert counts.shortened >= 1
    assert counts == Counts(counts.acknowledged, counts.told, shortened=counts.shortened)


@pytest.mark.parametrize("pair", [("bench", "bench"), ("box", "box")])
def test_a_bench_and_a_box(shelf: Path, pair: tuple[str, str]) -> None:
    counts = together(shelf, *pair, seconds=SECONDS, enough=ENOUGH)
    assert sum(counts.acknowledged.values()) >= 2
    assert counts.told >= 1
    assert counts == Counts(counts.acknowledged, counts.told)
