"""What holds for every test: one thread of linear algebra, and nothing kept on the disk.

The solver's matrices are small: on a busy machine threads wait for each other longer than
they work, and its exam takes more than twice as long. That they change no mass of a
picture and no recipe has tests of its own (`photo/test_families`, `recipe/test_index`).
"""

from __future__ import annotations

import os

import pytest

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


@pytest.fixture(autouse=True)
def no_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests neither read nor leave indexes in the user's cache, nor build them behind."""
    monkeypatch.setenv("REFMATCH_CACHE", "off")
