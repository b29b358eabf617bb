"""A disk that fails: full, read-only, worn out or pulled out, at one call or from one call on."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

WRITING = tuple(
    name
    for name in (
        "open",
        "write",
        "fsync",
        "replace",
        "rename",
        "mkdir",
        "ftruncate",
        "link",
        "sendfile",
    )
    if hasattr(os, name)
)
"""The system's calls that a write is made of."""

FULL, QUOTA, READ_ONLY, WORN, GONE = (
    errno.ENOSPC,
    errno.EDQUOT,
    errno.EROFS,
    errno.EIO,
    errno.ENOENT,
)


class Faults:
    """Lets the ``first``-th call fail with ``code``, and all that follow where it ``stays`` so.

    A failing write puts half of its bytes onto the disk first, as a full one does. A full disk
    lets a file that is there be opened and cut short: neither takes room. A stick that is
    ``pulled`` out takes its folder along at that call; what is open stays open.
    """

    def __init__(self, first: int, code: int, *, stays: bool, pulled: Path | None = None) -> None:
        self.first, self.code, self.stays = first, code, stays
        self.pulled = pulled
        self.calls = 0

    @property
    def struck(self) -> bool:
        """Whether any call failed."""
        return self.calls > self.first

    def failing(self, name: str, true: Callable[..., Any]) -> Callable[..., Any]:
        """Return one of the system's calls as this disk has it."""

        def call(*args: Any, **kwargs: Any) -> Any:
            if not self._strikes(name, args):
                return true(*args, **kwargs)
            number, self.calls = self.calls, self.calls + 1
            if self.pulled is not None:
                if number == self.first:
                    _rename(self.pulled, away(self.pulled))
                return true(*args, **kwargs)
            if number == self.first or (self.stays and number > self.first):
                if name == "write":
                    true(args[0], bytes(args[1])[: len(args[1]) // 2])
                elif name == "sendfile":
                    true(*args[:3], 100)
                raise OSError(self.code, os.strerror(self.code))
            return true(*args, **kwargs)

        return call

    def _strikes(self, name: str, args: tuple[Any, ...]) -> bool:
        if name == "open" and not args[1] & (os.O_WRONLY | os.O_RDWR):
            return False
        takes_no_room = name == "ftruncate" or (name == "open" and Path(args[0]).exists())
        return not (takes_no_room and self.code in (FULL, QUOTA))


_rename = os.rename  # the true one, whatever a test puts in its place


def away(folder: Path) -> Path:
    """Return where a folder is while its stick is pulled out."""
    return folder.with_name(f"{folder.name} pulled out")


@contextlib.contextmanager
def pulled_stick(first: int, folder: Path) -> Iterator[Faults]:
    """Pull a folder out at the ``first``-th call, and put it back afterwards."""
    with failing_disk(first, GONE, stays=True, pulled=folder) as faults:
        yield faults
    if faults.struck:
        assert not folder.exists(), "something was written where no stick is"
        _rename(away(folder), folder)


@contextlib.contextmanager
def failing_disk(
    first: int, code: int, *, stays: bool, pulled: Path | None = None
) -> Iterator[Faults]:
    """Let the disk fail at its ``first``-th call, 0 for the very first."""
    faults = Faults(first, code, stays=stays, pulled=pulled)
    with pytest.MonkeyPatch.context() as patch:
        for name in WRITING:
            patch.setattr(os, name, faults.failing(name, getattr(os, name)))
        yield faults
