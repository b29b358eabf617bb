"""Finish a box's index after the answer was given, in a process of its own.

The painter has waited for the answer and shall not wait for the index; the next
answer from the same box finds it there.
"""

from __future__ import annotations

import contextlib
import subprocess
import sys

from refmatch.paint.box_file import box_from_toml, box_to_toml
from refmatch.recipe.entries import entries_of
from refmatch.recipe.index import store
from refmatch.recipe.solve import Bench


def complete_behind(bench: Bench) -> None:
    """Start building the whole index, unless it is there or being built, or has no place."""
    options = bench.options
    if not store.is_wanted(bench.entries, options.tubes, options.total):
        return
    words = [sys.executable, "-m", __name__, str(options.tubes), str(options.total)]
    with contextlib.suppress(OSError):  # then the next answer is no quicker, and that is all
        builder = subprocess.Popen(
            words,
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        assert builder.stdin is not None
        builder.stdin.write(box_to_toml(bench.entries.box).encode("utf-8"))
        builder.stdin.close()
        builder.returncode = 0  # it goes on by itself; nobody waits for it


def main() -> None:
    """Build the index of the box on standard input."""
    tubes, total = (int(word) for word in sys.argv[1:3])
    box = box_from_toml(sys.stdin.buffer.read().decode("utf-8"))
    store.build_and_keep(entries_of(box), tubes, total)


if __name__ == "__main__":
    main()
