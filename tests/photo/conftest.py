"""Most tests of photos hold arithmetic to a few pixels; those of the least size set it back."""

from __future__ import annotations

import pytest

from refmatch.photo import decoded


@pytest.fixture(autouse=True)
def few_pixels(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decoded, "LEAST_SIDE_PX", 1)
