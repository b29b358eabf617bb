"""Two programs write to one painting, one bench, one shelf: no acknowledged change is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from tests.benchmarks.two_writers import Counts, together
from tests.web.asking import SAMPLES, Browser

SECONDS = 4.0


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    photo = tmp_path / "pears.jpg"
    with Image.open(SAMPLES / "garden-table.jpg") as whole:
        whole.resize((160, 120)).save(photo)
    browser = Browser(tmp_path / "paintings")
    browser.shelf.new_from_photo(photo, "pears")
    return browser.shelf.folder


@pytest.mark.parametrize("other", ["studio", "prompt"])
def test_a_painting(shelf: Path, other: str) -> None:
    counts = together(shelf, "studio", other, seconds=SECONDS)
    assert min(counts.acknowledged.values()) >= 2
    assert counts.told >= 1
    assert counts == Counts(counts.acknowledged, counts.told)  # none lost, no wrong road, no fault


def test_a_bench_and_boxes(shelf: Path) -> None:
    counts = together(shelf, "bench", "bench", seconds=SECONDS)
    assert min(counts.acknowledged.values()) >= 2
    assert counts == Counts(counts.acknowledged, counts.told)
