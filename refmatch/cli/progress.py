"""A progress bar on standard error, where somebody is looking."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from refmatch.painting.reckon import Progress, silent

WIDTH = 28


@contextmanager
def bar() -> Iterator[Progress]:
    """Yield what the work calls as it goes; nothing is drawn where no terminal is."""
    if not sys.stderr.isatty():
        yield silent
        return
    try:
        yield _draw
    finally:
        sys.stderr.write("\r\x1b[2K")
        sys.stderr.flush()


def _draw(done: int, of: int, doing: str) -> None:
    filled = WIDTH * done // max(of, 1)
    sys.stderr.write(f"\r\x1b[2K[{'#' * filled}{'.' * (WIDTH - filled)}] {doing}")
    sys.stderr.flush()
