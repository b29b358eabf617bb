"""The sample photos against the true colours beside them, for each balance method.

The truth is the renderer's, before any camera (sample_images/ORIGIN.md); the figures
stand in docs/accuracy.md, and ``python -m tests.benchmarks.sample_images`` prints them.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from refmatch.photo.light import METHODS
from tests.benchmarks.sample_images import asked, distances, photos

CASES = [
    pytest.param(photo, method, id=f"{photo.stem}-{method}")
    for photo in photos()
    for method in METHODS
    if asked(json.loads(photo.read_text("utf-8")), method) is not None
]
"""Every method on every photo that has what it needs: the orchard has no card and no white."""


@pytest.mark.parametrize(("photo", "method"), CASES)
def test_marked_places_against_the_truth(photo: Path, method: str) -> None:
    found = distances(photo, method)
    assert found is not None
    whole, _ = found
    print(f"{photo.stem}, {method}: median {np.median(whole):.2f}, largest {whole.max():.2f}")
    as_shot = distances(photo, "as-shot")
    assert as_shot is not None
    if method == "neutral":  # a card of known lightness: what a camera still gets wrong
        assert np.median(whole) < 1.0
        assert whole.max() < 4.0
    elif method == "temperature":  # the light as shown: colours right, exposure as shot
        assert np.median(found[1]) < 1.0
    else:  # guesses, and whites that are not paper: never wildly off
        assert np.median(whole) < 10.0
        assert np.median(found[1]) < np.median(as_shot[1]) + 2.5
