"""How long 24 hand-outs take: mixed from every box, printed in one PDF and one each.

    python -m tests.benchmarks.class_print

A class whose students share six boxes, as a course that lends them has, and one where everybody
has another, drawn from the built-in pigments. Times are of a whole command, on the clock and of
both processors, with its start.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from refmatch.atelier.roll import Student
from refmatch.paint.library import advisable
from tests.atelier.example import begun

STUDENTS, LENT, TUBES, SEED = 24, 6, 9, 1


def boxes(count: int) -> list[tuple[str, ...]]:
    """Return white and some pigments each."""
    draw = random.Random(SEED)
    pool = [key for key in advisable() if key != "titanium-white"]
    return [("titanium-white", *draw.sample(pool, TUBES)) for _ in range(count)]


def students(distinct: int) -> tuple[Student, ...]:
    """Return a class of so many different boxes."""
    drawn = boxes(distinct)
    return tuple(
        Student(f"Student {number}", drawn[number % distinct]) for number in range(STUDENTS)
    )


def timed(folder: Path) -> tuple[float, float]:
    """Return seconds by the clock, and of all processors, for printing a class."""
    before, start = os.times(), time.perf_counter()
    words = [sys.executable, "-c", "from refmatch.cli.start import main; main()"]
    subprocess.run([*words, "class", "print", str(folder)], check=True, capture_output=True)
    seconds, after = time.perf_counter() - start, os.times()
    spent = after.children_user - before.children_user
    return seconds, spent + after.children_system - before.children_system


def rows() -> Iterator[str]:
    for distinct in (LENT, STUDENTS):
        with tempfile.TemporaryDirectory() as place:
            folder = begun(Path(place) / "class", students(distinct), 8)
            clock, processors = timed(folder)
            prints = list((folder / "prints").iterdir())
            size = sum(path.stat().st_size for path in prints) / 1e6
            yield (
                f"{STUDENTS} students, {distinct} boxes, 8 targets: {clock:.1f} s by the clock, "
                f"{processors:.1f} s of processors; {len(prints)} files, {size:.1f} MB"
            )


if __name__ == "__main__":
    for row in rows():
        print(row, flush=True)
