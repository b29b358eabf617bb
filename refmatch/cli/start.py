"""The first step of a command: signals and standard streams are seen to before all that is slow."""

from __future__ import annotations

import os
import sys

from refmatch import interrupt


def main() -> None:
    """Run the command line. From the first, Ctrl-C and SIGTERM end it in silence."""
    interrupt.install()
    _open_streams()
    # the solver's matrices are small: threads of linear algebra wait longer than they work
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from refmatch.cli.main import main as run

    run()


def _open_streams() -> None:
    """Let what is said go nowhere where standard streams are closed (``>&-``).

    Else the next file that is opened takes the place of one, and what is meant for a screen
    could be written into it.
    """
    for number, name, mode in ((0, "stdin", "r"), (1, "stdout", "w"), (2, "stderr", "w")):
        try:
            os.fstat(number)
        except OSError:
            nowhere = os.open(os.devnull, os.O_RDWR)
            if nowhere != number:
                os.dup2(nowhere, number)
                os.close(nowhere)
        if getattr(sys, name) is None:
            stream = os.fdopen(number, mode, encoding="utf-8", closefd=False)
            setattr(sys, name, stream)
