"""What holds for every test: one thread of linear algebra, and nothing kept on the disk.

A box's first index takes half a second and comes out the same each time, so a worker builds it
once for all its tests; the tests of the index itself build their own.

The solver's matrices are small: on a busy machine threads wait for each other longer than
they work, and its exam takes more than twice as long. That they change no mass of a
picture and no recipe has tests of its own (`photo/test_families`, `recipe/test_index`).
"""

from __future__ import annotations

import os
from collections import OrderedDict
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from refmatch.recipe.entries import Entries
    from refmatch.recipe.index.contents import Index

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

MOST_KEPT = 8
"""First indexes kept, those last used; each takes up to 20 MB."""


@pytest.fixture(autouse=True)
def no_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests neither read nor leave indexes in the user's cache, nor build them behind."""
    monkeypatch.setenv("REFMATCH_CACHE", "off")


@pytest.fixture(scope="session", autouse=True)
def first_indexes_once() -> Iterator[None]:
    """Boxes that many tests lay out have their first index built once a worker."""
    from refmatch.recipe import solve
    from refmatch.recipe.index.contents import build_index
    from refmatch.recipe.index.store import digest

    kept: OrderedDict[tuple[Any, ...], Index] = OrderedDict()

    def once(entries: Entries, tubes: int, total: int, *most: int) -> Index:
        key = (digest(entries, tubes, total), most)
        index = kept.pop(key, None) or build_index(entries, tubes, total, *most)
        kept[key] = index
        if len(kept) > MOST_KEPT:
            kept.popitem(last=False)
        return index

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(solve, "build_index", once)
        yield
