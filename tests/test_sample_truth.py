"""The sample photos against the true colours beside them, for each balance method.

The truth is the renderer's, before any camera (sample_images/ORIGIN.md); the figures
stand in docs/accuracy.md, and ``python -m tests.benchmarks.sample_images`` prints them.
"""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.photo.balance import METHODS
from tests.benchmarks.sample_images import SAMPLES, distances

PHOTOS = sorted(SAMPLES.glob("*.json"))


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("photo", PHOTOS, ids=lambda path: path.stem)
def test_marked_places_against_the_truth(photo, method: str) -> None:
    found = distances(photo, method)
    if found is None:
        pytest.skip(f"{photo.stem} has no spot for the method {method}")
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
