"""Files that are either whole or not there: atomic writes, appended lines, and a lock."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import secrets
import threading
from collections.abc import Iterator
from pathlib import Path

from refmatch.errors import OutputError
from refmatch.interrupt import held

TEMPORARY_LETTERS = 8
"""Hexadecimal digits at the end of a temporary file's name."""

_NO_LINK = getattr(os, "O_NOFOLLOW", 0)
_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
_GROWING = os.O_RDWR | os.O_CREAT | _NO_LINK | getattr(os, "O_BINARY", 0)
_FULL = (errno.ENOSPC, errno.EDQUOT)
_NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EMLINK, errno.ENOSYS)
_REFUSED = (errno.EACCES, errno.EPERM, errno.EROFS)
_MODE = 0o666
"""What any new file gets, less the umask."""


def write_whole(path: Path, data: bytes, *, over: bool = True) -> None:
    """Write ``data`` so that a crash leaves the old file or the new one, never a part.

    The bytes go to a temporary file beside ``path``, are fsynced, and the file
    is renamed over ``path``; then the folder's entry is fsynced too. Where nothing may be
    written ``over``, of two writers at once one is refused.

    Raises:
        OutputError: the folder is not there or not writable, the disk is full, or something is
            there that may not be written over.
    """
    path = Path(path)
    check_folder_of(path)
    if path.is_dir():
        raise OutputError("output_is_folder", path=str(path))
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(TEMPORARY_LETTERS // 2)}")
    with held():
        _write_named(temporary, path, data, over=over)
    _sync_folder(path.parent)


def _write_named(temporary: Path, path: Path, data: bytes, *, over: bool) -> None:
    try:
        with _opened(temporary, _NEW) as descriptor:
            _write_all(descriptor, data)
        if over:
            temporary.replace(path)
        else:
            _name_first(temporary, path)
    except (OSError, OutputError) as error:
        with contextlib.suppress(OSError):
            temporary.unlink()
        if isinstance(error, OutputError):
            raise
        raise _not_written(path, error) from error


def _name_first(temporary: Path, path: Path) -> None:
    """Give a file its name where nothing has it: a link, unlike a rename, takes none away."""
    try:
        os.link(temporary, path)
    except FileExistsError as error:
        raise OutputError("written_meanwhile", path=str(path)) from error
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        with _claimed(path):  # such as a stick's file system
            temporary.replace(path)
    with contextlib.suppress(OSError):
        temporary.unlink()


@contextlib.contextmanager
def _claimed(path: Path) -> Iterator[None]:
    """Hold a name by an empty file, which goes where what should take its place does not come."""
    try:
        os.close(os.open(path, _NEW, _MODE))
    except FileExistsError as error:
        raise OutputError("written_meanwhile", path=str(path)) from error
    try:
        yield
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


def append_line(path: Path, line: bytes) -> int:
    """Append a line to a file of lines, whole or not at all; return the size before, in bytes.

    What an earlier writer left behind the last end of a line was never answered for: it goes
    first, so that nothing is glued to it. Only one writer at a time may append (`locked`).

    Args:
        path: the file; it is begun where it is not there. A link is not followed.
        line: ends with a newline.

    Raises:
        OutputError: it cannot be written; the file is as it was.
    """
    try:
        with held(), _opened(path, _GROWING) as descriptor:
            size = _end_of_lines(descriptor)
            os.ftruncate(descriptor, size)
            os.lseek(descriptor, size, os.SEEK_SET)
            try:
                _write_all(descriptor, line)
            except OSError:
                with contextlib.suppress(OSError):
                    os.ftruncate(descriptor, size)
                raise
    except OSError as error:
        raise _not_written(path, error) from error
    return size


def cut_back(path: Path, size: int) -> None:
    """Take back what was appended since a file had ``size`` bytes, where the disk lets it."""
    with contextlib.suppress(OSError), _opened(path, _GROWING) as descriptor:
        os.ftruncate(descriptor, size)
        os.fsync(descriptor)


def check_folder_of(path: Path) -> None:
    """Refuse, before any work, a place whose folder is not there.

    Raises:
        OutputError: so it is.
    """
    try:
        is_there = path.parent.is_dir()
    except OSError as error:
        raise _not_written(path, error) from error
    if not is_there:
        raise OutputError("output_folder_missing", folder=str(path.parent))


def make_folder(path: Path) -> None:
    """Make a folder where its parent is there, unless it is there already.

    Raises:
        OutputError: it cannot be made, or a file or a link is in its place.
    """
    try:
        path.mkdir(exist_ok=True)
    except FileNotFoundError as error:
        raise OutputError("output_folder_missing", folder=str(path.parent)) from error
    except FileExistsError as error:
        raise OutputError("folder_is_a_file", folder=str(path)) from error
    except OSError as error:
        if error.errno in _FULL:
            raise _not_written(path, error) from error
        raise OutputError("folder_not_made", folder=str(path)) from error


def own_files(folder: Path, names: re.Pattern[str]) -> list[Path]:
    """Return the files of a folder that have names such as refmatch gives; no link is followed.

    Raises:
        OSError: the folder cannot be read.
    """
    if folder.is_symlink() or not folder.is_dir():
        return []
    within = [path for path in folder.iterdir() if names.fullmatch(path.name)]
    return [path for path in within if path.is_file() and not path.is_symlink()]


@contextlib.contextmanager
def _opened(path: Path, flags: int) -> Iterator[int]:
    descriptor = os.open(path, flags, _MODE)
    try:
        yield descriptor
    finally:
        os.close(descriptor)


def _write_all(descriptor: int, data: bytes) -> None:
    """Write all of it, however little the disk takes at a time, and see it onto the disk."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]
    os.fsync(descriptor)


_STEP = 64 * 1024


def _end_of_lines(descriptor: int) -> int:
    """Return the place behind the last newline of a file, 0 where it has none."""
    end = os.lseek(descriptor, 0, os.SEEK_END)
    while end > 0:
        begin = max(end - _STEP, 0)
        os.lseek(descriptor, begin, os.SEEK_SET)
        place = os.read(descriptor, end - begin).rfind(b"\n")
        if place >= 0:
            return begin + place + 1
        end = begin
    return 0


def _not_written(path: Path, error: OSError) -> OutputError:
    if error.errno in _FULL:
        return OutputError("disk_full", path=str(path))
    if error.errno in _REFUSED:
        return OutputError("output_not_allowed", folder=str(path.parent), file=path.name)
    if error.errno == errno.ENOENT:
        return OutputError("output_folder_missing", folder=str(path.parent))
    if error.errno == errno.ELOOP:
        return OutputError("output_is_link", path=str(path))
    reason = (error.strerror or "unknown reason").lower()
    return OutputError("output_not_written", path=str(path), reason=reason)


def _sync_folder(folder: Path) -> None:
    """Make the rename itself durable, where the system can."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


class _Held(threading.local):
    """The folders that this thread holds the lock of."""

    def __init__(self) -> None:
        self.folders: set[Path] = set()


_held = _Held()


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the folder for one writer at a time; others wait their turn.

    An advisory lock on ``.lock`` inside the folder, released by the system
    even after a crash. Who holds it already may ask for it again.

    Raises:
        OutputError: the folder is not there, or nothing may be written in it.
    """
    key = Path(os.path.realpath(folder))
    if key in _held.folders:
        yield
        return
    path = Path(folder) / ".lock"
    try:
        descriptor = os.open(path, _GROWING, _MODE)
    except OSError as error:
        raise _not_written(path, error) from error
    try:
        _lock(descriptor, path)
        _held.folders.add(key)
        yield
    finally:
        _held.folders.discard(key)
        os.close(descriptor)


def _lock(descriptor: int, path: Path) -> None:
    try:
        import fcntl
    except ImportError:  # Windows
        import msvcrt

        msvcrt.locking(descriptor, msvcrt.LK_LOCK, 1)  # type: ignore[attr-defined]
    else:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX)
        except OSError as error:  # some shared disks have no locks
            raise _not_written(path, error) from error
