"""Whatever the disk does at whichever call: what was answered for is there, the rest refused."""

from __future__ import annotations

import contextlib
import itertools
import os
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from refmatch.errors import OutputError, PaintingError, RefmatchError
from refmatch.painting import history, states, store
from refmatch.painting.learning import keep_text, switch
from refmatch.painting.remix import save_step
from refmatch.say.sentence import sentence_of
from tests import faults
from tests.painting import example
from tests.refusals import refused

STEPS = 3


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A painting of a few steps."""
    folder = tmp_path_factory.mktemp("begun") / "pears"
    photo = folder.parent / "pears.png"
    photo.write_bytes(example.picture())
    store.create(folder, photo, example.painting(2), example.pictures())
    for number in range(STEPS):
        retitle(folder, f"step {number}")
    return folder


def retitle(folder: Path, title: str) -> None:
    mark, old = store.mark_of(folder), store.read_painting(folder)
    save_step(folder, example.asking(old, title=title), old, f"call it {title}", over=mark)


def new_picture(folder: Path) -> None:
    painting = store.read_painting(folder)
    store.save(folder, painting, {"balanced": example.picture(40, 30)})


def keep_check(folder: Path) -> None:
    store.keep_check(folder, folder.parent / "dabs.png")


def keep_box(folder: Path) -> None:
    keep_text(folder, "a box")


CHANGES = {
    "step": lambda folder: retitle(folder, "new"),
    "picture": new_picture,
    "check": keep_check,
    "box": keep_box,
    "switch": lambda folder: switch(folder, on=True),
}


def told(folder: Path) -> tuple[object, ...]:
    """Return all that a folder says: the painting, its history, and photos and boxes kept."""
    found = store.open_folder(folder)
    road = history.read_history(folder, found.painting.step)
    kept = [
        (path.name, path.read_bytes())
        for place in ("checks", "boxes")
        for path in sorted((folder / place).glob("[0-9a-f]*"))
    ]
    steps = [(step.number, step.after, step.said) for step in road.steps.values()]
    return store.to_bytes(found.painting), steps, kept


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize(
    ("code", "stays"),
    [
        (faults.FULL, False),
        (faults.FULL, True),
        (faults.READ_ONLY, True),
        (faults.WORN, False),
        (faults.GONE, True),
    ],
)
def test_at_every_call_in_turn(begun, tmp_path, change, code, stays):
    (tmp_path / "dabs.png").write_bytes(b"dabs" * 1000)
    before, counted = told(begun), 0
    for first in itertools.count():
        folder = tmp_path / f"at {first}"
        shutil.copytree(begun, folder)
        refusal = ""
        with faults.failing_disk(first, code, stays=stays) as disk:
            try:
                CHANGES[change](folder)
            except RefmatchError as error:
                refusal = sentence_of(error)
        now = told(folder)
        assert (now[::2] == before[::2]) == bool(refusal), f"{change}, call {first}"
        assert "\n" not in refusal
        if refusal and (not stays or code == faults.FULL):
            assert now[1] == before[1]
        counted += disk.struck
        CHANGES[change](folder)
        after = told(folder)
        if not disk.struck:
            break
    assert counted >= 4
    assert after != before


@pytest.mark.parametrize("code", [faults.FULL, faults.READ_ONLY, faults.GONE])
def test_beginning_a_painting_at_every_call_in_turn(tmp_path, code):
    photo = tmp_path / "pears.png"
    photo.write_bytes(example.picture())
    for first in itertools.count():
        folder = tmp_path / f"at {first}"
        with faults.failing_disk(first, code, stays=True) as disk:
            try:
                store.create(folder, photo, example.painting(1), example.pictures())
            except OutputError:
                assert not store.is_painting(folder)
        with contextlib.suppress(PaintingError):
            store.create(folder, photo, example.painting(1), example.pictures())
        assert store.open_folder(folder).pictures == example.pictures()
        if not disk.struck:
            break
    assert first >= 10


def test_a_line_that_older_versions_glued_to_a_cut_one_is_read(begun, tmp_path):
    """A full disk cut a line, and the next step was written on behind it."""
    folder = tmp_path / "glued"
    shutil.copytree(begun, folder)
    path = folder / history.NAME
    *lines, last = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines) + last[: len(last) // 2] + last)
    found = history.read_history(folder)
    assert found.is_mended
    assert [step.said for step in found.steps.values()][1:] == [
        f"call it step {number}" for number in range(STEPS)
    ]
    assert path.read_bytes() == b"".join(lines) + last
    assert not history.read_history(folder).is_mended


def test_a_cut_line_is_left_out_where_nothing_can_be_mended(begun, tmp_path):
    folder = tmp_path / "cut"
    shutil.copytree(begun, folder)
    path = folder / history.NAME
    path.write_bytes(path.read_bytes()[:-5])
    with faults.failing_disk(0, faults.READ_ONLY, stays=True):
        found = history.read_history(folder)
    assert found.is_mended
    assert len(found.steps) == STEPS  # the first is that before any, the last is cut
    found.record(found.asked(STEPS), "again", STEPS)
    assert [step.said for step in history.read_history(folder).steps.values()][-1] == "again"


def test_a_step_that_led_nowhere_is_taken_back(begun, tmp_path):
    folder = tmp_path / "stale"
    shutil.copytree(begun, folder)
    before = (folder / history.NAME).read_bytes()
    old, mark = store.read_painting(folder), store.mark_of(folder)
    store.save(folder, replace(old, learns=True))
    with refused(PaintingError, match="changed by another program"):
        save_step(folder, example.asking(old, title="late"), old, "late", over=mark)
    assert (folder / history.NAME).read_bytes() == before


def test_a_history_is_shortened_to_where_the_painting_stands_by_now(begun, tmp_path, monkeypatch):
    """Another program may have gone on since the caller looked."""
    folder = tmp_path / "long"
    shutil.copytree(begun, folder)
    stale = store.read_painting(folder).step
    for number in range(6):
        retitle(folder, f"later {number}")
    monkeypatch.setattr(history, "MOST_STEPS", 8)
    found = history.read_history(folder, stale)
    assert len(found.steps) == 4
    assert found.asked(store.read_painting(folder).step).title == "later 5"


# What lies in a painting's folder that refmatch did not put there.

OTHERS = (
    "pictures/my study.jpg",
    "pictures/0123456789abcdef.jpg",  # called like one of refmatch's, but by no digest of its own
    "pictures/.nomedia",
    "pictures/.garden.12345678",
    "states/2024.json",
    "states/000000.json",
    "states/notes.json",
    "states/.keep",
    "checks/.thumbs",
    "boxes/.old",
    ".painting.json.bak",
    "notes.txt",
)


def test_saving_leaves_every_file_of_the_painter_s(begun, tmp_path):
    folder = tmp_path / "pears"
    shutil.copytree(begun, folder)
    for name in OTHERS:
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(b'{"schema": 4, "photo": {"sha256": "0"}}')
    for number in range(states.KEPT + 3):
        retitle(folder, f"step {number}")
        store.save(
            folder,
            store.read_painting(folder),
            {"balanced": example.picture(40 + number, 30)},
        )
    gone = [name for name in OTHERS if not (folder / name).is_file()]
    assert gone == []
    assert len([path for path in states.all_states(folder) if path.stat().st_size > 100]) == 10


@pytest.mark.skipif(os.name != "posix", reason="links need rights of their own on Windows")
@pytest.mark.parametrize("place", ["pictures", "states", "checks", "boxes"])
def test_saving_follows_no_link_out_of_the_folder(begun, tmp_path, place):
    folder, elsewhere = tmp_path / "pears", tmp_path / "elsewhere"
    shutil.copytree(begun, folder)
    (folder / place).mkdir(exist_ok=True)
    (folder / place).rename(elsewhere)
    (folder / place).symlink_to(elsewhere)
    (elsewhere / ".0123456789abcdef.jpg.01234567").write_bytes(b"")
    before = {path.name: path.read_bytes() for path in elsewhere.iterdir()}
    (tmp_path / "dabs.png").write_bytes(b"dabs")
    for change in CHANGES.values():
        with contextlib.suppress(OutputError):
            change(folder)
    assert {path.name: path.read_bytes() for path in elsewhere.iterdir()} == before
    assert store.open_folder(folder).painting


@pytest.mark.skipif(os.name != "posix", reason="links need rights of their own on Windows")
@pytest.mark.parametrize("name", [history.NAME, ".lock", "painting.json"])
def test_a_file_that_is_a_link_is_never_written_through(begun, tmp_path, name):
    folder, elsewhere = tmp_path / "pears", tmp_path / "elsewhere"
    shutil.copytree(begun, folder)
    (folder / name).rename(elsewhere)
    (folder / name).symlink_to(elsewhere)
    before = elsewhere.read_bytes()
    with contextlib.suppress(OutputError):
        retitle(folder, "new")
    assert elsewhere.read_bytes() == before
