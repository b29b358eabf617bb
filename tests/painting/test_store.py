"""The painting folder: whole whatever happens, and plain about what is wrong."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from refmatch import disk
from refmatch.errors import OutputError, PaintingError, RefmatchError
from refmatch.painting import states, store
from refmatch.painting.form import from_bytes
from refmatch.painting.model import SCHEMA
from refmatch.painting.record import with_round
from tests.painting import example
from tests.painting.rounds_example import look, round_of
from tests.refusals import refused


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "pears.png"
    path.write_bytes(example.picture())
    return path


@pytest.fixture
def folder(tmp_path: Path, photo: Path) -> Path:
    store.create(tmp_path / "pears", photo, example.painting(2), example.pictures())
    return tmp_path / "pears"


def titles(folder: Path) -> str:
    return store.open_folder(folder).painting.title


def retitled(folder: Path, title: str):
    return example.asking(store.open_folder(folder).painting, title=title)


def test_what_was_saved_is_opened(folder, photo):
    found = store.open_folder(folder)
    assert found.painting.title == "Pears under the lamp"
    assert found.photo.read_bytes() == photo.read_bytes()
    assert found.painting.photo == store.saved_photo(photo)
    assert found.pictures == example.pictures()


def test_the_photo_is_left_as_it_was(tmp_path, photo):
    before = photo.read_bytes(), photo.stat().st_mtime_ns
    store.create(tmp_path / "pears", photo, example.painting(1), {})
    assert (photo.read_bytes(), photo.stat().st_mtime_ns) == before


def test_a_folder_may_hold_its_photo_already(tmp_path):
    folder = tmp_path / "pears"
    folder.mkdir()
    (folder / "pears.png").write_bytes(example.picture())
    store.create(folder, folder / "pears.png", example.painting(1), {})
    assert titles(folder) == "Pears under the lamp"


def test_the_last_ten_states_are_kept(folder):
    for number in range(14):
        store.save(folder, retitled(folder, f"state {number}"))
    kept = states.all_states(folder)
    assert [path.stem for path in kept] == [f"{n:06d}" for n in range(6, 16)]
    assert "state 13" in kept[-1].read_text("utf-8")


def test_pictures_go_when_no_kept_state_names_them(folder):
    for number in range(states.KEPT + 2):
        size = (60 + number, 40)
        store.save(folder, retitled(folder, "resized"), {"balanced": example.picture(*size)})
    kept = {path.name for path in (folder / "pictures").iterdir()}
    assert len(kept) == states.KEPT + 1  # ten balanced pictures and the one value study
    assert store.open_folder(folder).pictures["balanced"] == example.picture(*size)


def test_a_new_painting_does_not_cover_an_old_one(folder, photo):
    with refused(PaintingError, match="already holds a painting"):
        store.create(folder, photo, example.painting(1), {})


@pytest.mark.parametrize("damage", [b"", b"{", b'{"schema": 1}', b"\x00" * 300])
def test_damage_is_told_with_the_last_good_state(folder, damage):
    store.save(folder, retitled(folder, "good"))
    (folder / "painting.json").write_bytes(damage)
    (folder / "states" / "000003.json").write_bytes(b"{")
    with refused(PaintingError, match=r"last good state is '.*000002\.json'") as caught:
        store.open_folder(folder)
    assert "\n" not in str(caught.value)
    # as the sentence says, put in its place by hand
    shutil.copy(states.last_good(folder), folder / "painting.json")
    assert store.open_folder(folder).painting.title == "good"


def test_damage_without_a_way_back_is_told(folder):
    (folder / "painting.json").write_bytes(b"{")
    shutil.rmtree(folder / "states")
    with refused(PaintingError, match="no good state is left"):
        store.open_folder(folder)


def test_a_newer_schema_is_told(folder):
    text = (folder / "painting.json").read_text("utf-8")
    (folder / "painting.json").write_text(
        text.replace(f'"schema": {SCHEMA}', f'"schema": {SCHEMA + 1}'), "utf-8"
    )
    with refused(PaintingError, match="newer refmatch"):
        store.open_folder(folder)


def test_a_changed_photo_is_told(folder):
    with (folder / "pears.png").open("ab") as stream:
        stream.write(b"!")
    with refused(PaintingError, match="has changed since"):
        store.open_folder(folder)


def test_a_lost_photo_or_picture_is_told(folder):
    (folder / "pears.png").rename(folder / "elsewhere.png")
    with refused(PaintingError, match="is gone"):
        store.open_folder(folder)
    (folder / "elsewhere.png").rename(folder / "pears.png")
    for path in (folder / "pictures").iterdir():
        path.write_bytes(b"\x89PNG")
    with refused(PaintingError, match="is damaged"):
        store.open_folder(folder)


@pytest.mark.parametrize("name", ["../pears.png", "/etc/hostname", "", "..", "a\\b"])
def test_a_painting_never_leads_out_of_its_folder(folder, name):
    painting = store.open_folder(folder).painting
    store.save(folder, replace(painting, photo=replace(painting.photo, file=name)))
    with refused(PaintingError, match="outside it"):
        store.open_folder(folder)


def test_a_photo_of_dabs_is_kept_as_it_is(folder, tmp_path):
    photo = tmp_path / "Dabs on the rim.JPG"
    photo.write_bytes(b"\xff\xd8\xff and so on")
    mark = store.keep_check(folder, photo)
    assert mark.file == f"checks/{mark.sha256[:16]}.jpg"
    kept = store.check_photo(folder, mark)
    assert kept.read_bytes() == photo.read_bytes()
    before = kept.stat().st_mtime_ns
    assert store.keep_check(folder, kept) == store.keep_check(folder, photo) == mark
    assert kept.stat().st_mtime_ns == before
    assert titles(folder) == "Pears under the lamp"


def test_a_photo_of_dabs_is_never_removed(folder, tmp_path):
    photo = tmp_path / "dabs"
    photo.write_bytes(b"dabs")
    mark = store.keep_check(folder, photo)
    (folder / "checks" / f".{mark.sha256[:16]}.0123abcd").write_bytes(b"d")
    for number in range(states.KEPT + 2):
        store.save(folder, retitled(folder, f"state {number}"))
    assert [path.name for path in (folder / "checks").iterdir()] == [mark.file.split("/")[1]]


def test_a_painting_opens_without_its_photos_of_dabs(folder, tmp_path):
    photo = tmp_path / "dabs.png"
    photo.write_bytes(b"dabs")
    mark = store.keep_check(folder, photo)
    seen = replace(look(1), photo=mark)
    painting = store.open_folder(folder).painting
    store.save(folder, with_round(painting, seen, round_of(painting, 0, seen)))
    (folder / mark.file).write_bytes(b"other dabs")
    assert store.open_folder(folder).painting.looks[0].photo == mark
    with refused(PaintingError, match="has changed"):
        store.check_photo(folder, mark)
    (folder / mark.file).unlink()
    assert store.open_folder(folder).painting.looks[0].photo == mark
    with refused(PaintingError, match="is gone"):
        store.check_photo(folder, mark)


@pytest.mark.parametrize("name", ["checks/../pears.png", "/etc/hostname", "", "checks/..", "a\\b"])
def test_a_photo_of_dabs_never_leads_out_of_its_folder(folder, name):
    seen = replace(look(1), photo=replace(look(1).photo, file=name))
    painting = store.open_folder(folder).painting
    store.save(folder, with_round(painting, seen, round_of(painting, 0, seen)))
    with refused(PaintingError, match="outside it"):
        store.open_folder(folder)
    with refused(PaintingError, match="outside it"):
        store.check_photo(folder, seen.photo)


@pytest.mark.parametrize("count", range(3))
def test_a_full_disk_leaves_no_half_photo_of_dabs(folder, tmp_path, monkeypatch, count):
    photo = tmp_path / "dabs.png"
    photo.write_bytes(b"dabs" * 1000)
    with monkeypatch.context() as patch:
        _fail_at(patch, ("fsync", "replace", "fsync")[count], count // 2)
        with contextlib.suppress(OutputError):
            store.keep_check(folder, photo)
    for path in (folder / "checks").glob("[0-9a-f]*"):
        assert path.read_bytes() == photo.read_bytes()
    assert store.check_photo(folder, store.keep_check(folder, photo)).is_file()


def test_a_photo_of_dabs_that_is_not_there_is_told(folder, tmp_path):
    for path in (tmp_path / "none.jpg", tmp_path):
        with refused(PaintingError, match="cannot be read"):
            store.keep_check(folder, path)
    with refused(PaintingError, match="no painting in"):
        store.keep_check(tmp_path, tmp_path / "none.jpg")


def test_no_painting_is_told(tmp_path):
    with refused(PaintingError, match="no painting in"):
        store.open_folder(tmp_path)
    with refused(PaintingError, match="no painting in"):
        store.save(tmp_path, example.painting(1))


def test_where_no_folder_can_be_is_told(tmp_path, photo):
    with refused(OutputError, match="is not there"):
        store.create(tmp_path / "no" / "pears", photo, example.painting(1), {})
    with refused(OutputError, match="is a file"):
        store.create(photo, photo, example.painting(1), {})
    with refused(PaintingError, match="cannot be read"):
        store.create(tmp_path / "pears", tmp_path / "none.jpg", example.painting(1), {})


def _fail_at(monkeypatch, name: str, count: int) -> None:
    """Let the ``count``-th call of one of the disk's functions fail as a full disk does."""
    true, calls = getattr(os, name), iter(range(1000))

    def failing(*args, **kwargs):
        if next(calls) == count:
            raise OSError(errno.ENOSPC, "No space left on device")
        return true(*args, **kwargs)

    monkeypatch.setattr(disk.os, name, failing)


@pytest.mark.parametrize("name", ["replace", "fsync", "fdopen", "chmod"])
@pytest.mark.parametrize("count", range(8))
def test_a_full_disk_at_any_call_leaves_old_or_new(folder, monkeypatch, name, count):
    changed = retitled(folder, "new")
    with monkeypatch.context() as patch:
        _fail_at(patch, name, count)
        try:
            store.save(folder, changed, {"balanced": example.picture(40, 30)})
            said = "new"
        except RefmatchError as error:
            assert error.name == "disk_full"  # noqa: PT017
            said = "Pears under the lamp"
    assert titles(folder) == said
    assert not list(folder.rglob(".*.json.*"))
    store.save(folder, retitled(folder, "after"))
    assert titles(folder) == "after"


@pytest.mark.parametrize("count", range(10))
def test_a_full_disk_while_beginning_leaves_nothing_or_all(tmp_path, photo, monkeypatch, count):
    folder = tmp_path / "begun"
    with monkeypatch.context() as patch:
        _fail_at(patch, "replace", count)
        try:
            store.create(folder, photo, example.painting(1), example.pictures())
            assert titles(folder) == "Pears under the lamp"
        except OutputError:
            assert not store.is_painting(folder)
    if not store.is_painting(folder):
        store.create(folder, photo, example.painting(1), example.pictures())
    assert store.open_folder(folder).pictures == example.pictures()


WRITER = """
import sys
from dataclasses import replace
from pathlib import Path
from refmatch.painting import store
from tests.painting import example
folder = Path(sys.argv[1])
painting = store.open_folder(folder).painting
print("ready", flush=True)
sys.stdin.readline()
for number in range(100000):
    picture = example.picture(30 + number % 40, 30)
    titled = example.asking(painting, title=f"state {number}" * 200)
    store.save(folder, titled, {"balanced": picture})
"""


def _writer(folder: Path) -> subprocess.Popen[bytes]:
    root = Path(__file__).parents[2]
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(folder)],
        cwd=root,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )


def _go(*writers: subprocess.Popen[bytes]) -> None:
    """Let writers begin once all have read the painting."""
    for writer in writers:
        assert writer.stdout is not None
        assert writer.stdout.readline() == b"ready\n"
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write(b"\n")
        writer.stdin.flush()


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX signal")
def test_a_writer_killed_at_any_moment_leaves_a_whole_painting(folder):
    for number in range(6):
        with _writer(folder) as writer:
            _go(writer)
            time.sleep(0.05 + 0.017 * number)
            writer.send_signal(signal.SIGKILL)
            writer.wait()
        found = store.open_folder(folder)
        title = found.painting.title
        assert title == "Pears under the lamp" or title == title[: len(title) // 200] * 200
        assert found.pictures["balanced"].startswith(b"\x89PNG")
    store.save(folder, retitled(folder, "after"))
    assert titles(folder) == "after"
    assert not [path for path in folder.rglob(".*") if path.name != ".lock"]


def test_two_writers_take_turns_and_a_reader_sees_only_whole_paintings(folder):
    writers = [_writer(folder), _writer(folder)]
    try:
        _go(*writers)
        seen = set()
        given_up = time.monotonic() + 60.0  # a slow disk is no failure
        while len(seen) < 20 and time.monotonic() < given_up:
            seen.add(from_bytes((folder / states.NAME).read_bytes()).title)
        assert len(seen) == 20
        assert [writer.poll() for writer in writers] == [None, None]
    finally:
        for writer in writers:
            writer.kill()
            writer.communicate()
    assert store.open_folder(folder).painting.title.startswith("state ")
    numbers = [int(path.stem) for path in states.all_states(folder)]
    assert numbers == list(range(numbers[0], numbers[0] + len(numbers)))
