"""Every step can be taken back, after any crash; nothing undone is lost."""

from __future__ import annotations

from dataclasses import replace

import pytest

from refmatch.errors import PaintingError
from refmatch.painting import history
from refmatch.painting.asked import Asked, AskedHole
from tests.refusals import refused

FIRST = Asked("Pears", "a box")


def steps(folder, count: int) -> list[Asked]:
    """Record the first state and then a new title for each step."""
    asked = [FIRST, *(replace(FIRST, title=f"Pears {i}") for i in range(1, count))]
    found, after = history.read_history(folder), None
    for number, each in enumerate(asked, start=1):
        after = found.record(each, f"step {number}", after)
    return asked


def test_every_step_is_read_back_as_it_was_asked(tmp_path):
    asked = steps(tmp_path, 5)
    found = history.read_history(tmp_path)
    assert [found.asked(number) for number in range(1, 6)] == asked


def test_undo_and_redo_walk_the_same_road(tmp_path):
    steps(tmp_path, 3)
    found = history.read_history(tmp_path)
    assert found.said(3) == "step 3"
    assert found.before(3).number == 2
    assert found.before(1) is None
    assert found.said(1) is None
    assert found.next(1).number == 2
    assert found.next(3) is None


def test_a_new_step_after_undoing_leaves_the_undone_one_in_the_file(tmp_path):
    steps(tmp_path, 3)
    found = history.read_history(tmp_path)
    new = found.record(replace(FIRST, title="Plums"), "another way", 2)
    again = history.read_history(tmp_path)
    assert again.next(2).number == new
    assert again.asked(3).title == "Pears 2"


def test_a_line_holds_only_what_changed(tmp_path):
    long = replace(FIRST, box="x" * 10_000)
    found = history.read_history(tmp_path)
    first = found.record(long, "begin", None)
    size = (tmp_path / history.NAME).stat().st_size
    found.record(replace(long, holes=(AskedHole("h1", 1.0, 2.0, 3.0),)), "punch", first)
    assert (tmp_path / history.NAME).stat().st_size < size + 500


@pytest.mark.parametrize("cut", range(1, 60, 7))
def test_a_last_line_cut_short_by_a_crash_is_dropped(tmp_path, cut):
    asked = steps(tmp_path, 3)
    path = tmp_path / history.NAME
    path.write_bytes(path.read_bytes()[:-cut])
    found = history.read_history(tmp_path)
    assert found.asked(2) == asked[1]
    assert 3 not in found.steps
    assert found.record(asked[2], "again", 2) == 3
    assert history.read_history(tmp_path).asked(3) == asked[2]


@pytest.mark.parametrize(
    "line",
    [
        b"not json",
        b"[]",
        b'{"step": 1}',
        b'{"step": 9, "after": 1, "said": "x", "set": {"title": 7}}',
    ],
)
def test_a_damaged_line_is_told_with_its_place(tmp_path, line):
    steps(tmp_path, 2)
    path = tmp_path / history.NAME
    path.write_bytes(path.read_bytes() + line + b"\n")
    with refused(PaintingError, match=r"line 3.*move that file away"):
        history.read_history(tmp_path)


def test_a_long_history_is_shortened_to_the_road_that_led_here(tmp_path, monkeypatch):
    monkeypatch.setattr(history, "MOST_STEPS", 10)
    asked = steps(tmp_path, 12)
    found = history.read_history(tmp_path, 12)
    assert sorted(found.steps) == [8, 9, 10, 11, 12]
    assert found.asked(12) == asked[11]
    assert found.before(8) is None
    again = history.read_history(tmp_path, 12)
    assert again.asked(9) == asked[8]
    assert again.record(FIRST, "on", 12) == 13
