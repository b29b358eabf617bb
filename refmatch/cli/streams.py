"""Standard output as it is met: a full disk, a closed pipe, a screen that lacks letters."""

from __future__ import annotations

import contextlib
import errno
import io
import os
import sys
from collections.abc import Iterator

from refmatch.errors import OutputError

FULL = (errno.ENOSPC, errno.EDQUOT)


@contextlib.contextmanager
def standard_output() -> Iterator[None]:
    """Write everything out before the command ends, and say it when that fails.

    A letter that the screen's encoding lacks shows as "?", rather than ending the
    command. A reader that went away (``| head``) is no mistake of the painter's:
    nothing is said, and the exit code is 1.

    Raises:
        OutputError: the disk that standard output goes to is full.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        try:
            yield
        finally:
            if sys.stdout is not None:
                sys.stdout.flush()
    except BrokenPipeError:
        _drop_the_rest()
        sys.exit(1)
    except OSError as error:
        if error.errno not in FULL:
            raise
        _drop_the_rest()
        raise OutputError(
            "The disk is full: the answer was not written whole; free some space and try again."
        ) from error


def _drop_the_rest() -> None:
    """Let what is still held back go nowhere, or it would be tried again at the very end."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
