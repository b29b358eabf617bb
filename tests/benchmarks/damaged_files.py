"""Thousands of damaged files of every kind: how many are read, refused, or end in something else.

Run by hand: ``python -m tests.benchmarks.damaged_files [TIMES] [SEED] [KIND]``. A file that is
neither read nor refused is counted by its error and shown with the number that makes it again.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from tests.damage import damaged, parsers, try_to_read

TIMES, SEED = 2000, 1
LONG_S = 5.0


def run(kind: str, times: int, seed: int, folder: Path) -> None:
    parser, path = parsers()[kind], folder / kind.rpartition(" ")[2]
    counts: Counter[str] = Counter()
    shown, longest = [], 0.0
    for number in range(times):
        data = damaged(parser.whole, random.Random(f"{seed} {kind} {number}"))
        began = time.perf_counter()
        try:
            counts["read" if try_to_read(parser, data, path) else "refused"] += 1
        except Exception as error:  # what this looks for
            counts["other"] += 1
            place = traceback.extract_tb(error.__traceback__)[-1]
            shown.append(f"    {number}: {type(error).__name__} in {place.name}: {error}"[:160])
        took = time.perf_counter() - began
        longest = max(longest, took)
        counts["long"] += took > LONG_S
    print(
        f"{kind:28s} {times:6d} files  {counts['read']:6d} read  {counts['refused']:6d} refused  "
        f"{counts['other']:4d} other  {counts['long']:3d} over {LONG_S:.0f} s  "
        f"longest {longest:5.2f} s",
        *shown[:5],
        sep="\n",
        flush=True,
    )


if __name__ == "__main__":
    asked = sys.argv[1:]
    how_many = int(asked[0]) if asked else TIMES
    first = int(asked[1]) if len(asked) > 1 else SEED
    with tempfile.TemporaryDirectory() as place:
        for one in parsers():
            if one.startswith(asked[2] if len(asked) > 2 else ""):
                run(one, how_many, first, Path(place))
