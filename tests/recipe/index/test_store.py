"""Stored indexes: whole or not there, safe to delete, safe when two processes build one."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import box_to_toml
from refmatch.recipe.entries import Entries, entries_of
from refmatch.recipe.index import store
from refmatch.recipe.index.contents import build_index
from refmatch.recipe.index.measures import ciede2000
from refmatch.recipe.index.search import nearest


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("REFMATCH_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def box() -> Box:
    return Box("four", tuple(built_in_tube(name) for name in ("PW6", "PY74", "PR122", "PB29")))


@pytest.fixture
def entries(box: Box) -> Entries:
    return entries_of(box)


def test_a_stored_index_answers_as_the_one_built(cache: Path, entries: Entries) -> None:
    assert store.find(entries, 3, 10) is None
    built = store.build_and_keep(entries, 3, 10)
    found = store.find(entries, 3, 10)
    assert found is not None
    assert (found.rows, found.complete_to) == (built.rows, built.complete_to)
    target = ciede2000(np.array([50.0, 20.0, -10.0]))
    one, two = (nearest(index, target, len(entries.items)) for index in (built, found))
    np.testing.assert_array_equal(one.parts, two.parts)
    assert not store.is_wanted(entries, 3, 10)


def test_another_box_or_limit_has_another_index(entries: Entries) -> None:
    other = entries_of(Box("other", (*entries.box.tubes[:-1], built_in_tube("PB15:3"))))
    student = entries_of(
        Box("student", (*entries.box.tubes[:-1], built_in_tube("PB29", grade="student")))
    )
    told = {
        store.digest(entries, 3, 10),
        store.digest(entries, 4, 10),
        store.digest(entries, 3, 12),
        store.digest(other, 3, 10),
        store.digest(student, 3, 10),
    }
    assert len(told) == 5


def test_a_damaged_or_deleted_index_is_as_none(cache: Path, entries: Entries) -> None:
    store.build_and_keep(entries, 2, 8)
    (folder,) = [path for path in (cache / "recipes").iterdir() if path.is_dir()]
    (folder / "0-lab.npy").write_bytes(b"")
    assert store.find(entries, 2, 8) is None
    assert store.is_wanted(entries, 2, 8)
    store.build_and_keep(entries, 2, 8)
    assert store.find(entries, 2, 8) is not None


def test_a_cache_that_cannot_be_written_costs_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, entries: Entries
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("REFMATCH_CACHE", str(tmp_path / "file"))
    assert store.build_and_keep(entries, 2, 8).rows == build_index(entries, 2, 8).rows
    monkeypatch.setenv("REFMATCH_CACHE", "off")
    assert not store.is_wanted(entries, 2, 8)


def test_only_the_last_few_boxes_are_kept(cache: Path, entries: Entries) -> None:
    for total in range(4, 4 + store.KEPT_BOXES + 2):
        store.build_and_keep(entries, 2, total)
    assert len(list((cache / "recipes").glob("*/index.json"))) == store.KEPT_BOXES


def test_two_processes_build_one_index(cache: Path, box: Box, entries: Entries) -> None:
    words = [sys.executable, "-m", "refmatch.verbs.behind", "3", "12"]
    builders = [subprocess.Popen(words, stdin=subprocess.PIPE) for _ in range(2)]
    for builder in builders:
        builder.communicate(box_to_toml(box).encode("utf-8"))
    assert [builder.returncode for builder in builders] == [0, 0]
    assert store.find(entries, 3, 12) is not None
    left = [path.name for path in (cache / "recipes").iterdir()]
    assert left == [store.digest(entries, 3, 12)]
