"""How far the work has come: on standard error, where somebody looks, and gone when it is done."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from refmatch.interrupt import on_end

WIDTH = 28
SOON_S = 0.5
"""Work that is done by then is not spoken of."""

WIPE = "\r\x1b[2K"
"""To the line's beginning, and erase it (ECMA-48, EL)."""


@contextmanager
def bar() -> Iterator[Callable[[int, int, str], None]]:
    """Yield what the work calls as it goes; nothing is drawn where no terminal is."""
    if not sys.stderr.isatty():
        yield _silent
        return
    on_end(_wipe)
    try:
        yield _draw
    finally:
        on_end(None)
        _wipe()


@contextmanager
def busy(doing: str) -> Iterator[None]:
    """Say what is being done for as long as it lasts, of work that cannot tell how far it is."""
    if not sys.stderr.isatty():
        yield
        return
    soon = threading.Timer(SOON_S, _write, [f"{WIPE}{doing} ..."])
    soon.daemon = True
    on_end(_wipe)
    soon.start()
    try:
        yield
    finally:
        soon.cancel()
        soon.join()
        on_end(None)
        _wipe()


def _silent(done: int, of: int, doing: str) -> None: ...


def _draw(done: int, of: int, doing: str) -> None:
    filled = WIDTH * done // max(of, 1)
    _write(f"{WIPE}[{'#' * filled}{'.' * (WIDTH - filled)}] {doing}")


def _wipe() -> None:
    _write(WIPE)


def _write(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
