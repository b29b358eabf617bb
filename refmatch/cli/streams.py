"""Standard output as it is met: a full disk, a closed pipe, a screen that lacks letters."""

from __future__ import annotations

import codecs
import contextlib
import errno
import io
import os
import sys
from collections.abc import Iterator

from refmatch.errors import OutputError

FULL = (errno.ENOSPC, errno.EDQUOT)

STAND_INS = {"Δ": "d", "“": '"', "”": '"', "’": "'", "−": "-", "–": "-", "×": "x", "→": "->"}
"""What is written for a letter that the screen's encoding lacks; "?" for any other."""


@contextlib.contextmanager
def standard_output() -> Iterator[None]:
    """Write everything out before the command ends, and say it when that fails.

    A letter that the screen's encoding lacks shows as its stand-in or "?", rather than
    ending the command. A reader that went away (``| head``) is no mistake of the painter's:
    nothing is said, and the exit code is 1.

    Raises:
        OutputError: the disk that standard output goes to is full.
    """
    codecs.register_error("stand-ins", _stand_in)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="stand-ins")
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


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(STAND_INS.get(letter, "?") for letter in missing), error.end


def _drop_the_rest() -> None:
    """Let what is still held back go nowhere, or it would be tried again at the very end."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
