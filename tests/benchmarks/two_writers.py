"""Two programs at once on one painting, one bench, one shelf of boxes, each change counted.

``python -m tests.benchmarks.two_writers [SECONDS]`` runs each pair for so long (60 unsaid). A
writer notes every change that was acknowledged to it; afterwards each must be found: in the
painting's history, on the bench, on the shelf. Who comes second is told, and looks again.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from PIL import Image

from refmatch.errors import StaleRevision
from refmatch.paint.box import built_in_tube
from refmatch.painting import history, store
from refmatch.painting.remix import save_step
from refmatch.web.bench.benches import Benches
from refmatch.web.shelf import Shelf
from tests.painting import example

PAIRS = (("studio", "studio"), ("studio", "prompt"), ("prompt", "prompt"), ("bench", "bench"))
MANY = 1_000_000
"""Steps of a history here: one that is shortened has its oldest steps no more, as it should."""

TUBES = (("PW6", "chalk"), ("PY43", "ochre"), ("PB29", "blue"))


@dataclass(frozen=True)
class Counts:
    """What came of it: changes acknowledged by writer, and how often one was told it was late.

    ``lost`` are changes acknowledged and not there; ``wrong`` are steps that undo from where
    nobody stood; ``faults`` are answers that should not be.
    """

    acknowledged: dict[str, int]
    told: int
    lost: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    faults: tuple[str, ...] = field(default=())


def together(shelf: Path, *kinds: str, seconds: float) -> Counts:
    """Let writers of these kinds work at once for so long, and look for every change."""
    if "bench" in kinds:
        _lay_bench(shelf)
    names = [f"{kind}-{number}" for number, kind in enumerate(kinds)]
    command = [sys.executable, "-m", "tests.benchmarks.two_writers", "--write", str(shelf)]
    root = Path(__file__).parents[2]
    writers = [
        subprocess.Popen(
            [*command, name, str(seconds)], cwd=root, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        for name in names
    ]
    for writer in writers:  # all are ready before the first begins
        assert writer.stdout is not None
        assert writer.stdout.readline() == b"ready\n"
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write(b"go\n")
        writer.stdin.flush()
    said = [json.loads(writer.communicate(timeout=seconds + 120.0)[0]) for writer in writers]
    made = {name: rows["made"] for name, rows in zip(names, said, strict=True)}
    faults = tuple(fault for rows in said for fault in rows["faults"])
    acknowledged = {name: len(changes) for name, changes in made.items()}
    told = sum(rows["told"] for rows in said)
    every = [change for changes in made.values() for change in changes]
    found, wrong = _on_shelf(shelf) if "bench" in kinds else _in_history(shelf / "pears")
    lost = tuple(change for change in every if change not in found)
    return Counts(acknowledged, told, lost, wrong, faults)


def _in_history(folder: Path) -> tuple[set[str], tuple[str, ...]]:
    """Return the titles that were ever saved, and what is wrong with the road of undoing."""
    history.MOST_STEPS = MANY
    painting = store.open_folder(folder).painting
    road = history.read_history(folder, painting.step)
    titles = {str(step.asked["title"]) for step in road.steps.values()}
    wrong = []
    if road.asked(painting.step) != painting.asked:
        wrong.append(f"step {painting.step} is not what the painting is")
    at, steps = road.steps[painting.step], 1
    while (before := road.before(at.number)) is not None:
        at, steps = before, steps + 1
    if steps != len(road.steps):
        wrong.append(f"undoing leads through {steps} of {len(road.steps)} steps")
    numbers = [
        json.loads(line)["step"] for line in (folder / history.NAME).read_bytes().splitlines()
    ]
    if len(numbers) != len(set(numbers)):
        wrong.append("two steps have one number")
    return titles, tuple(wrong)


def _on_shelf(folder: Path) -> tuple[set[str], tuple[str, ...]]:
    """Return the boxes on a shelf, and the dabs that its bench leaves out."""
    shelf = Shelf(folder)
    (row,) = Benches(shelf).listed()
    left_out = {
        f"dab {number}"
        for number, mend in Benches(shelf).open(row["id"]).folder.notes().mends.items()
        if mend.left_out
    }
    return left_out | {box.name for box in shelf.boxes().values()}, ()


def _lay_bench(folder: Path) -> None:
    shelf = Shelf(folder)
    Benches(shelf).begin(shelf.new_box("orchard", [built_in_tube(*tube) for tube in TUBES]))


# A writer: a program of its own.

Change = Callable[[int], str]
"""Makes a change by its number, and returns what must be found of it."""


def _studio(folder: Path, name: str) -> Change:
    shelf = Shelf(folder)
    (card,) = shelf.paintings()
    desk = shelf.open(card.key)

    def change(number: int) -> str:
        title = f"{name} {number}"
        desk.change(desk.sitting().painting.revision, "title", {"title": title})
        return title

    return change


def _prompt(folder: Path, name: str) -> Change:
    painting = folder / "pears"

    def change(number: int) -> str:
        mark, old = store.mark_of(painting), store.open_folder(painting).painting
        title = f"{name} {number}"
        save_step(painting, example.asking(old, title=title), old, title, over=mark)
        return title

    return change


def _bench(folder: Path, name: str) -> Change:
    shelf = Shelf(folder)
    (row,) = Benches(shelf).listed()
    bench = Benches(shelf).open(row["id"])
    own = int(name.rpartition("-")[2])
    free: Iterator[int] = iter(range(own, len(bench.folder.card().windows), 2))

    def change(number: int) -> str:
        dab = next(free, None)
        if number % 2 and dab is not None:
            bench.change("leave_out", {"dab": dab, "left_out": True})
            return f"dab {dab}"
        shelf.new_box(f"box {name} {number}", [built_in_tube("PW6", "chalk")])
        return f"box {name} {number}"

    return change


WRITERS = {"studio": _studio, "prompt": _prompt, "bench": _bench}


def write(folder: Path, name: str, seconds: float) -> None:
    """Make change after change for so long, and say which were acknowledged."""
    history.MOST_STEPS = MANY
    change = WRITERS[name.partition("-")[0]](folder, name)
    print("ready", flush=True)
    sys.stdin.readline()
    said: dict[str, Any] = {"made": [], "told": 0, "faults": []}
    until, number = time.monotonic() + seconds, 0
    while time.monotonic() < until and len(said["faults"]) < 10:
        number += 1
        try:
            said["made"].append(change(number))
        except StaleRevision:
            said["told"] += 1
        except Exception as error:
            said["faults"].append(repr(error))
    print(json.dumps(said))


def main(seconds: float = 60.0) -> None:
    """Run each pair and print its counts."""
    sample = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
    for pair in PAIRS:
        with tempfile.TemporaryDirectory() as folder:
            photo = Path(folder) / "pears.jpg"
            with Image.open(sample) as whole:
                whole.resize((160, 120)).save(photo)
            shelf = Shelf(Path(folder) / "paintings")
            shelf.new_from_photo(photo, "pears")
            counts = together(shelf.folder, *pair, seconds=seconds)
        print(f"{' and '.join(pair)}, {seconds:g} s:")
        print(f"  acknowledged {counts.acknowledged}, told to look again {counts.told},")
        print(f"  lost {len(counts.lost)}, wrong roads {len(counts.wrong)}, ", end="")
        print(f"faults {len(counts.faults)}", *counts.lost[:9], *counts.wrong, *counts.faults)


if __name__ == "__main__":
    if "--write" in sys.argv:
        write(Path(sys.argv[2]), sys.argv[3], float(sys.argv[4]))
    else:
        main(*map(float, sys.argv[1:]))
