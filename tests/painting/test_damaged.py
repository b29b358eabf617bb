"""A damaged painting is refused in a sentence that names the key, and can be rescued."""

from __future__ import annotations

import contextlib
import json
import shutil
from pathlib import Path

import pytest

from refmatch.errors import OutputError, PaintingError
from refmatch.painting import history, store
from refmatch.painting.form import from_bytes
from refmatch.painting.remix import save_step
from refmatch.painting.rescue import rescue
from refmatch.say.sentence import sentence_of
from tests import faults
from tests.damage import WRONG_JSON, places_in, with_wrong
from tests.painting import example
from tests.refusals import refused


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    photo = tmp_path / "pears.png"
    photo.write_bytes(example.picture())
    folder = tmp_path / "pears"
    store.create(folder, photo, example.painting(2), example.pictures())
    old = store.read_painting(folder)
    save_step(folder, example.asking(old, title="good"), old, "good", over=store.mark_of(folder))
    return folder


@pytest.mark.parametrize("wrong", WRONG_JSON, ids=lambda wrong: wrong[:12].decode())
def test_a_wrong_value_anywhere_is_a_sentence(folder, wrong):
    saved = json.loads((folder / store.NAME).read_bytes())
    refusals = 0
    for place in places_in(saved):
        try:
            from_bytes(with_wrong(saved, place, wrong))
        except PaintingError as error:
            refusals += 1
            said = sentence_of(error)
            assert "\n" not in said
            assert len(said) < 250
    assert refusals >= 10


def test_the_key_at_fault_is_named(folder):
    saved = json.loads((folder / store.NAME).read_bytes())
    for place, named in (
        (("targets", 0, "lab"), r"'targets\[0\]\.lab'"),
        (("asked", "holes", 0, "x_px"), r"'asked\.holes\[0\]\.x_px'"),
        (("balance", "matrix"), r"'balance\.matrix'"),
    ):
        with refused(PaintingError, match=named):
            from_bytes(with_wrong(saved, place, b'"words"'))


@pytest.mark.parametrize("wrong", WRONG_JSON, ids=lambda wrong: wrong[:12].decode())
def test_a_wrong_line_of_the_history_is_a_sentence(folder, wrong):
    path = folder / history.NAME
    *lines, last = path.read_bytes().splitlines()
    row = json.loads(last)
    for place in places_in(row):
        path.write_bytes(b"\n".join([*lines, with_wrong(row, place, wrong), b""]))
        said = "line 2"
        try:
            history.read_history(folder)
        except PaintingError as error:
            said = sentence_of(error)
        assert "line 2" in said


@pytest.mark.parametrize("damage", [b"", b"{", b'{"schema": 1}', b"\x00" * 300])
def test_a_rescue_goes_back_to_the_newest_whole_state(folder, damage):
    (folder / store.NAME).write_bytes(damage)
    result = rescue(folder)
    assert result.painting.title == "good"
    assert store.open_folder(folder).painting.title == "good"
    assert [path.read_bytes() for path in result.kept_beside] == [damage]
    (folder / store.NAME).write_bytes(damage)
    again = rescue(folder)
    assert {path.name for path in (*result.kept_beside, *again.kept_beside)} == {
        "painting.damaged.json",
        "painting.damaged-2.json",
    }


def test_a_painting_thrown_away_is_rescued_from_its_states(folder):
    (folder / store.NAME).unlink()
    assert rescue(folder).kept_beside == ()
    assert store.open_folder(folder).painting.title == "good"


def test_a_damaged_history_is_put_aside(folder):
    path = folder / history.NAME
    path.write_bytes(b"no step\n" + path.read_bytes())
    damaged = path.read_bytes()
    result = rescue(folder)
    assert result.saved_at is None
    assert [beside.read_bytes() for beside in result.kept_beside] == [damaged]
    assert history.read_history(folder).steps == {}
    assert store.open_folder(folder).painting.title == "good"


def test_what_is_whole_or_newer_or_lost_is_not_rescued(folder, tmp_path):
    with refused(PaintingError, match="nothing to rescue"):
        rescue(folder)
    with refused(PaintingError, match="no painting in"):
        rescue(tmp_path)
    newer = (folder / store.NAME).read_bytes().replace(b'"schema": 4', b'"schema": 99')
    (folder / store.NAME).write_bytes(newer)
    with refused(PaintingError, match="newer refmatch"):
        rescue(folder)
    assert (folder / store.NAME).read_bytes() == newer
    (folder / store.NAME).write_bytes(b"{")
    shutil.rmtree(folder / "states")
    with refused(PaintingError, match="No whole state is left"):
        rescue(folder)


def test_a_rescue_on_a_full_disk_changes_nothing(folder):
    (folder / store.NAME).write_bytes(b"{")
    for first in range(20):
        disk = faults.failing_disk(first, faults.FULL, stays=True)
        with contextlib.suppress(OutputError), disk as struck:
            rescue(folder)
            break
        assert struck.struck
        assert (folder / store.NAME).read_bytes() == b"{"
    assert store.open_folder(folder).painting.title == "good"
