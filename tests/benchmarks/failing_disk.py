"""Every command and route that writes, on every kind of failing disk, at every call in turn.

Run by hand: ``python -m tests.benchmarks.failing_disk [NAME]``, for one of them or all. Each row
says how many calls were struck and how many cases ended in something other than what the suite
wants of them (`tests.writers`, `tests.web.steps`), the first of them shown.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from tests import writers
from tests.web import steps


def run(trial: writers.Trial | steps.Trial, name: str, place: Path) -> None:
    wrong = []
    for first in range(trial.calls):
        for disk in writers.DISKS:
            try:
                trial.at(first, disk)
            except Exception as error:  # what this looks for
                wrong.append(f"    {disk} at call {first}: {error!r}"[:300])
                shutil.rmtree(place / "at", ignore_errors=True)
    tried = trial.calls * len(writers.DISKS)
    print(f"{name:28s} {tried:4d} faults  {len(wrong):3d} wrong", *wrong[:3], sep="\n", flush=True)


if __name__ == "__main__":
    wanted = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        at = Path(folder)
        commands = writers.lay_out(at / "commands")
        shelf = steps.lay_out(at / "shelf")
        for kind, table, begun in (
            (writers.Trial, writers.COMMANDS, commands),
            (steps.Trial, steps.STEPS, shelf),
        ):
            for one in table:  # type: ignore[attr-defined]
                if not wanted or one in wanted:
                    inner = Path(tempfile.mkdtemp(dir=at))
                    run(kind(one, begun, inner), one, inner)
