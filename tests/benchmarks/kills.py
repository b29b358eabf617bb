"""Commands stopped at random moments, and what each leaves: whole files, whole paintings, silence.

``python -m tests.benchmarks.kills [COUNT] [SEED]`` stops so many (500 unsaid), turn by turn of each
kind and by each of Ctrl-C, SIGTERM and SIGKILL, at a moment drawn evenly from the command's whole
length. After SIGKILL, which nothing can answer, only the files are looked at.
"""

from __future__ import annotations

import itertools
import random
import shutil
import signal
import sys
import tempfile
from collections import Counter
from pathlib import Path

from tests import kills

HOW = (signal.SIGINT, signal.SIGTERM, signal.SIGKILL)


def main(count: int = 500, seed: int = 17) -> None:
    """Stop so many, and print the counts."""
    chance, done, wrong = random.Random(seed), Counter[str](), list[str]()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        begun = kills.lay_out(folder / "begun")
        lasts_s = {
            name: kills.lasts_s(job, begun, folder / f"whole {name}")
            for name, job in kills.JOBS.items()
        }
        turns = itertools.cycle(itertools.product(kills.JOBS, HOW))
        for number, (name, how) in zip(range(count), turns, strict=False):
            after_s, at = chance.uniform(0.0, lasts_s[name]), folder / str(number)
            why = kills.struck(kills.JOBS[name], begun, at, after_s=after_s, how=how)
            done[f"{name} by {how.name}"] += 1
            if why:
                wrong.append(f"{name} by {how.name} after {after_s:.3f} s: {why}")
            if sum(done.values()) % 10 == 0:
                print(f"stopped {sum(done.values())}, wrong {len(wrong)}", flush=True)
            shutil.rmtree(at)
    for kind, times in done.items():
        print(f"{kind:20s} {times}")
    print(f"stopped {sum(done.values())}, wrong {len(wrong)}", *wrong, sep="\n  ")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
