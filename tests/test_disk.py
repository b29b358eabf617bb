"""Whole files or none: what a crash, a full disk or a closed folder leaves behind."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from refmatch.disk import locked, write_whole
from refmatch.errors import OutputError
from tests.refusals import refused


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    write_whole(tmp_path / "a.bin", b"one")
    write_whole(tmp_path / "a.bin", b"two")
    assert (tmp_path / "a.bin").read_bytes() == b"two"
    assert [path.name for path in tmp_path.iterdir()] == ["a.bin"]


def test_a_file_gets_the_permissions_of_any_other(tmp_path: Path) -> None:
    write_whole(tmp_path / "ours", b"")
    (tmp_path / "plain").touch()
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_what_all_threads_share_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The umask is the process's: two threads that set it aside at once lose it (umask(2))."""
    monkeypatch.setattr(os, "umask", lambda _: pytest.fail("the umask was changed"))
    write_whole(tmp_path / "ours", b"")


@pytest.mark.parametrize(
    ("step", "code", "says"),
    [
        ("fsync", errno.ENOSPC, "The disk is full"),
        ("fsync", errno.EIO, "could not be written"),
    ],
)
def test_a_failed_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, code: int, says: str
) -> None:
    path = tmp_path / "sheet.pdf"
    write_whole(path, b"old")

    def fail(_: int) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, step, fail)
    with refused(OutputError, match=says):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert len(list(tmp_path.iterdir())) == 1


def test_a_missing_folder_and_a_folder_as_file(tmp_path: Path) -> None:
    with refused(OutputError, match="is not there"):
        write_whole(tmp_path / "gone" / "a", b"")
    with refused(OutputError, match="is a folder"):
        write_whole(tmp_path, b"")


def test_a_folder_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    with refused(OutputError, match="does not let"):
        write_whole(tmp_path / "a", b"")


def test_a_writer_killed_at_any_moment_leaves_a_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "painting.json"
    write_whole(path, b"0" * 200_000)
    program = (
        "import sys; from pathlib import Path; from refmatch.disk import write_whole\n"
        "print('ready', flush=True)\n"
        "i = 0\n"
        "while True:\n"
        "    i = (i + 1) % 10\n"
        "    write_whole(Path(sys.argv[1]), str(i).encode() * 200_000)\n"
    )
    for wait in (0.05, 0.11, 0.17):
        command = [sys.executable, "-c", program, str(path)]
        with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
            assert writer.stdout is not None
            assert writer.stdout.readline() == b"ready\n"
            time.sleep(wait)
            writer.kill()
        data = path.read_bytes()
        assert len(data) == 200_000
        assert len(set(data)) == 1


def test_two_writers_take_turns(tmp_path: Path) -> None:
    order: list[str] = []
    started = threading.Event()

    def second() -> None:
        started.set()
        with locked(tmp_path):
            order.append("second")

    with locked(tmp_path):
        waiting = threading.Thread(target=second)
        waiting.start()
        assert started.wait(timeout=30.0)
        time.sleep(0.1)
        order.append("first")
    waiting.join(timeout=30.0)
    assert order == ["first", "second"]


def test_nothing_is_written_over_what_came_there_meanwhile(tmp_path: Path) -> None:
    path = tmp_path / "box.toml"
    write_whole(path, b"first", over=False)
    with refused(OutputError, match="by another program meanwhile"):
        write_whole(path, b"second", over=False)
    assert path.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [path]


def test_a_disk_without_links_keeps_what_came_first_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """FAT has none: link(2) fails with EPERM there."""

    def no_links(*_: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "link", no_links)
    path = tmp_path / "box.toml"
    write_whole(path, b"first", over=False)
    with refused(OutputError, match="by another program meanwhile"):
        write_whole(path, b"second", over=False)
    assert path.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [path]
