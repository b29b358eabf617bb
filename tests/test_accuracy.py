"""The accuracy page's figures on the sample photos are what the tool gives on them."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from tests.benchmarks.sample_images import SAMPLES, distances

PAGE = (Path(__file__).parents[1] / "docs" / "accuracy.md").read_text("utf-8")
PHOTOS = {"dab board": "dab-board", "garden table": "garden-table", "orchard": "orchard-shade"}


def rows() -> list[tuple[str, str, list[float]]]:
    """Return (photo, method, five figures) of each row of the page's table."""
    table = PAGE.split("| photo | method |", 1)[1].split("\n\n", 1)[0].splitlines()[2:]
    found, photo = [], ""
    for line in table:
        first, method, *figures = [cell.strip() for cell in line.strip("|").split("|")]
        photo = next((PHOTOS[name] for name in PHOTOS if first.startswith(name)), photo)
        method = method.split(":")[0].replace("as shot", "as-shot")
        found.append((photo, method, [float(f) for f in re.findall(r"[0-9.]+", " ".join(figures))]))
    return found


@pytest.mark.parametrize(("photo", "method", "said"), rows(), ids=lambda each: str(each)[:13])
def test_the_page_says_what_is_read_on_the_sample_photos(photo, method, said):
    whole, alone = distances(SAMPLES / f"{photo}.json", method)
    figures = [np.median(whole), np.percentile(whole, 90), whole.max()]
    figures += [np.median(alone), np.percentile(alone, 90)]
    np.testing.assert_allclose(figures, said, atol=0.05)


def test_the_page_has_every_photo_and_every_method():
    assert {photo for photo, _, _ in rows()} == set(PHOTOS.values())
    assert len(rows()) == 16
