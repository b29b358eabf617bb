"""Files that are either whole or not there: atomic writes, and a lock."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
from collections.abc import Iterator
from pathlib import Path

from refmatch.errors import OutputError


def write_whole(path: Path, data: bytes) -> None:
    """Write ``data`` so that a crash leaves the old file or the new one, never a part.

    The bytes go to a temporary file beside ``path``, are fsynced, and the file
    is renamed over ``path``; then the folder's entry is fsynced too.

    Raises:
        OutputError: the folder is not there or not writable, or the disk is full.
    """
    path = Path(path)
    check_folder_of(path)
    if path.is_dir():
        raise OutputError("output_is_folder", path=str(path))
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        with temporary.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise _not_written(path, error) from error
    _sync_folder(path.parent)


def check_folder_of(path: Path) -> None:
    """Refuse, before any work, a place whose folder is not there.

    Raises:
        OutputError: so it is.
    """
    if not path.parent.is_dir():
        raise OutputError("output_folder_missing", folder=str(path.parent))


def _not_written(path: Path, error: OSError) -> OutputError:
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return OutputError("disk_full", path=str(path))
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return OutputError("output_not_allowed", folder=str(path.parent), file=path.name)
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


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the folder for one writer at a time; others wait their turn.

    An advisory lock on ``.lock`` inside the folder, released by the system
    even after a crash.

    Raises:
        OutputError: the folder is not there, or nothing may be written in it.
    """
    path = Path(folder) / ".lock"
    try:
        stream = path.open("a+b")
    except OSError as error:
        raise _not_written(path, error) from error
    with stream:
        _lock(stream.fileno())
        yield


def _lock(descriptor: int) -> None:
    try:
        import fcntl
    except ImportError:  # Windows
        import msvcrt

        msvcrt.locking(descriptor, msvcrt.LK_LOCK, 1)  # type: ignore[attr-defined]
    else:
        fcntl.flock(descriptor, fcntl.LOCK_EX)
