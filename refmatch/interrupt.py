"""Ctrl-C and SIGTERM: the program ends at once and in silence, but never amid a file's writing.

An interrupt that is raised, as Python does it, may come up anywhere: within an import, a library's
callback, the tidying after another error; some of these print a traceback or leave a file behind.
So nothing is raised: the process ends where it stands. A file that is being written is finished
first, or taken away; a second signal does not wait.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from types import FrameType

SIGNALS = (signal.SIGINT, signal.SIGTERM)


class _State:
    """How many files are being written, by whatever thread, and the signal that waits for them."""

    def __init__(self) -> None:
        self.lock = threading.RLock()  # a handler may run while its own thread holds it
        self.writing = 0
        self.waiting: int | None = None
        self.wipe: Callable[[], object] | None = None


_state = _State()


def install() -> None:
    """End the process in silence on a signal from here on, with the exit code that shells expect.

    A signal that the caller has the process ignore, as ``nohup`` and background jobs do, stays so.
    """
    for number in SIGNALS:
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _end)


def on_end(wipe: Callable[[], object] | None) -> None:
    """Have a line of progress wiped before the process ends; None where there is none."""
    _state.wipe = wipe


@contextlib.contextmanager
def held() -> Iterator[None]:
    """Let a signal wait until this is done."""
    with _state.lock:
        _state.writing += 1
    try:
        yield
    finally:
        with _state.lock:
            _state.writing -= 1
            waiting = _state.waiting if _state.writing == 0 else None
        if waiting is not None:
            _leave(waiting)


def _end(number: int, _: FrameType | None) -> None:
    with _state.lock:
        if _state.writing and _state.waiting is None:
            _state.waiting = number
            return
    _leave(number)


def _leave(number: int) -> None:
    """End with 128 and the signal's number (POSIX shells' word for it)."""
    for act in (_state.wipe, sys.stdout and sys.stdout.flush):
        with contextlib.suppress(Exception):  # nobody reads, or the signal came amid a flush
            if act:
                act()
    os._exit(128 + number)
