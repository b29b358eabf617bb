"""Two programs at once on one painting, one bench, one box, each change counted.

``python -m tests.benchmarks.two_writers [SECONDS]`` runs each pair for so long (60 unsaid). A
writer notes every change that was acknowledged to it; afterwards each must be found: in the
painting's history and record, on the bench, on the shelf. Who comes second is told, and looks
again. Of a history that is shortened time and again, all that is younger than the oldest step
kept must be found.
"""

from __future__ import annotations

import contextlib
import io
import json
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from PIL import Image

from refmatch.cli.main import app
from refmatch.dabs.photographs import MOST_PARTS
from refmatch.errors import OutputError, StaleRevision
from refmatch.paint.box import built_in_tube
from refmatch.paint.box_file import read_box
from refmatch.painting import history, store
from refmatch.painting.remix import save_step
from refmatch.web.bench.benches import Benches
from refmatch.web.bench.files import key_of
from refmatch.web.shelf import Shelf
from tests.apart import programs_apart
from tests.painting import example

PAIRS = (
    ("studio", "studio"),
    ("studio", "prompt"),
    ("prompt", "prompt"),
    ("studio", "printer"),
    ("prompt", "printer"),
    ("bench", "bench"),
    ("box", "box"),
    ("shelf", "box"),
)
OF_DAB = "paint of dab"
SHORT_PAIRS = (("studio", "studio"), ("studio", "prompt"), ("prompt", "prompt"))
MANY, FEW = 1_000_000, 40
"""Steps of a history here: many, so that it is never shortened, and few, so that it often is."""

TUBES = (("PW6", "chalk"), ("PY43", "ochre"), ("PB29", "blue"))


@dataclass(frozen=True)
class Counts:
    """What came of it: changes acknowledged by writer, and how often one was told it was late.

    ``lost`` are changes acknowledged and not there; ``wrong`` are steps that undo from where
    nobody stood; ``faults`` are answers that should not be. ``shortened`` are steps that went, as
    the oldest of a long history do.
    """

    acknowledged: dict[str, int]
    told: int
    lost: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    shortened: int = 0


def together(
    shelf: Path, *kinds: str, seconds: float, enough: int = MANY, most_steps: int = MANY
) -> Counts:
    """Let writers of these kinds work at once, and look for every change.

    Each works for so many seconds, or until it was acknowledged often ``enough``.
    """
    if "bench" in kinds:
        _lay_bench(shelf)
    names = [f"{kind}-{number}" for number, kind in enumerate(kinds)]
    programs = programs_apart()
    ends = []
    for name in names:
        here, there = programs.Pipe()
        programs.Process(
            target=write, args=(there, shelf, name, seconds, enough, most_steps), daemon=True
        ).start()
        there.close()
        ends.append(here)
    for end in ends:  # all are ready before the first begins
        assert end.recv() == "ready"
    for end in ends:
        end.send("go")
    assert all(end.poll(seconds + 120.0) for end in ends), "a writer hangs"
    said = [end.recv() for end in ends]
    made = {name: rows["made"] for name, rows in zip(names, said, strict=True)}
    faults = tuple(fault for rows in said for fault in rows["faults"])
    acknowledged = {name: len(changes) for name, changes in made.items()}
    for changes in made.values():  # what a writer says of a dab stands until it says otherwise
        paints = [change for change in changes if change[0].startswith(OF_DAB)]
        changes[:] = [change for change in changes if change not in paints[:-1]]
    told = sum(rows["told"] for rows in said)
    every = [(change, step) for changes in made.values() for change, step in changes]
    saved, wrong, oldest = _in_painting(shelf / "pears", most_steps)
    found = saved | _on_shelf(shelf, with_bench="bench" in kinds)
    lost = tuple(
        change for change, step in every if change not in found and (step is None or step >= oldest)
    )
    shortened = sum(1 for _, step in every if step is not None and step < oldest)
    return Counts(acknowledged, told, lost, wrong, faults, shortened)


def _in_painting(folder: Path, most_steps: int) -> tuple[set[str], tuple[str, ...], int]:
    """Return all that was saved, what is wrong with the road of undoing, and its oldest step."""
    history.MOST_STEPS = MANY
    painting = store.open_folder(folder).painting
    road = history.read_history(folder, painting.step)
    saved = {str(step.asked["title"]) for step in road.steps.values()}
    saved |= {str(sheet["file"]) for sheet in painting.sheets}
    wrong = []
    if not road.steps:
        return saved, (), 0
    oldest = min(road.steps)
    if oldest > 1 and len(road.steps) < most_steps // 2:
        wrong.append(f"only {len(road.steps)} steps were kept")
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
    return saved, tuple(wrong), oldest


def _on_shelf(folder: Path, *, with_bench: bool) -> set[str]:
    """Return the boxes on a shelf, by file and name, and the dabs that its bench leaves out."""
    shelf = Shelf(folder)
    files = {path: read_box(path) for path in folder.glob("boxes/*.toml")}
    boxes = {f"{path.name}: {box.tubes[0].name}" for path, box in files.items()}
    boxes |= {box.name for box in shelf.boxes().values()}
    if not with_bench:
        return boxes
    (row,) = Benches(shelf).listed()
    mends = Benches(shelf).open(row["id"]).folder.notes().mends
    left_out = {f"dab {number}" for number, mend in mends.items() if mend.left_out}
    paints = {f"{OF_DAB} {n}: {mend.paint.parts}" for n, mend in mends.items() if mend.paint}
    return left_out | paints | boxes


def _lay_bench(folder: Path) -> None:
    shelf = Shelf(folder)
    Benches(shelf).begin(shelf.new_box("orchard", [built_in_tube(*tube) for tube in TUBES]))


# A writer: a program of its own.

Done = tuple[str, int | None]
"""What must be found of a change, and the step of the history that it is, where it is one."""

Change = Callable[[int], Done]
"""Makes a change by its number."""


def _studio(folder: Path, name: str) -> Change:
    shelf = Shelf(folder)
    (card,) = shelf.paintings()
    desk = shelf.open(card.key)

    def change(number: int) -> Done:
        title = f"{name} {number}"
        revision = desk.sitting().painting.revision
        changed, _ = desk.change(revision, "title", {"title": title})
        return title, changed.painting.step

    return change


def _prompt(folder: Path, name: str) -> Change:
    painting = folder / "pears"

    def change(number: int) -> Done:
        mark, old = store.mark_of(painting), store.open_folder(painting).painting
        title = f"{name} {number}"
        saved = save_step(painting, example.asking(old, title=title), old, title, over=mark)
        return title, saved.step

    return change


def _printer(folder: Path, name: str) -> Change:
    """Note sheets that were printed: they are in the record, and no step."""
    shelf = Shelf(folder)
    (card,) = shelf.paintings()
    desk = shelf.open(card.key)

    def change(number: int) -> Done:
        file = f"{name} {number}.pdf"
        desk.note_sheet(file, "a4")
        return file, None

    return change


def _bench(folder: Path, name: str) -> Change:
    shelf = Shelf(folder)
    (row,) = Benches(shelf).listed()
    bench = Benches(shelf).open(row["id"])
    own = int(name.rpartition("-")[2])
    free: Iterator[int] = iter(range(own, len(bench.folder.card().windows), 2))

    def change(number: int) -> Done:
        revision, dab = bench.bench()["revision"], next(free, None)
        if dab is not None:
            bench.change("leave_out", {"dab": dab, "left_out": True}, revision)
            return f"dab {dab}", None
        parts = number % MOST_PARTS + 1
        paint = {"dab": own, "tube": "ochre", "parts": parts, "white_parts": own + 1}
        bench.change("painted", paint, revision)
        return f"{OF_DAB} {own}: {parts}", None

    return change


def _shelf(folder: Path, name: str) -> Change:
    """Put boxes onto the shelf as the page does, all under one name."""
    shelf = Shelf(folder)

    def change(number: int) -> Done:
        tube = f"{name} {number}"
        key = shelf.new_box("box", [built_in_tube("PW6", tube)])
        (file,) = (
            path.name for path in (folder / "boxes").glob("*.toml") if f"own-{key_of(path)}" == key
        )
        return f"{file}: {tube}", None

    return change


def _box(folder: Path, name: str) -> Change:
    """Write the box that comes next on the shelf at the prompt: two may choose one name for it."""
    boxes = folder / "boxes"
    boxes.mkdir(exist_ok=True)

    def change(number: int) -> Done:
        tube, file = f"{name} {number}", f"box-{len(list(boxes.glob('*.toml'))) + 2}.toml"
        words = ["box", "new", "--tube", f"PW6={tube}", "--out", str(boxes / file)]
        try:
            with contextlib.redirect_stdout(io.StringIO()):
                app(words, standalone_mode=False)
        except OutputError as error:
            if error.name not in ("kept_there", "written_meanwhile"):
                raise
            raise StaleRevision("painting_changed_meanwhile") from error
        return f"{file}: {tube}", None

    return change


WRITERS = {
    "studio": _studio,
    "prompt": _prompt,
    "printer": _printer,
    "bench": _bench,
    "shelf": _shelf,
    "box": _box,
}


def write(
    end: Connection, folder: Path, name: str, seconds: float, enough: int, most_steps: int
) -> None:
    """Make change after change, and say which were acknowledged.

    Whoever was never told to look again goes on past what is enough, four times as far.
    """
    history.MOST_STEPS = most_steps
    change = WRITERS[name.partition("-")[0]](folder, name)
    end.send("ready")
    end.recv()
    said: dict[str, Any] = {"made": [], "told": 0, "faults": []}
    until, number = time.monotonic() + seconds, 0
    while time.monotonic() < until and len(said["faults"]) < 10:
        if len(said["made"]) >= (enough if said["told"] else 4 * enough):
            break
        number += 1
        try:
            said["made"].append(change(number))
        except StaleRevision:
            said["told"] += 1
        except Exception as error:
            said["faults"].append(repr(error))
    end.send(said)


def main(seconds: float = 60.0) -> None:
    """Run each pair and print its counts."""
    sample = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
    pairs = [(pair, MANY) for pair in PAIRS] + [(pair, FEW) for pair in SHORT_PAIRS]
    for pair, most in pairs:
        with tempfile.TemporaryDirectory() as folder:
            photo = Path(folder) / "pears.jpg"
            with Image.open(sample) as whole:
                whole.resize((160, 120)).save(photo)
            shelf = Shelf(Path(folder) / "paintings")
            shelf.new_from_photo(photo, "pears")
            counts = together(shelf.folder, *pair, seconds=seconds, most_steps=most)
        shortened = f", a history of {FEW} steps at most" if most == FEW else ""
        print(f"{' and '.join(pair)}, {seconds:g} s{shortened}:")
        print(f"  acknowledged {counts.acknowledged}, told to look again {counts.told},")
        print(f"  shortened away {counts.shortened}, ", end="")
        print(f"lost {len(counts.lost)}, wrong roads {len(counts.wrong)}, ", end="")
        print(f"faults {len(counts.faults)}", flush=True)
        for line in (*counts.lost[:9], *counts.wrong, *counts.faults):
            print(f"  {line}", flush=True)


if __name__ == "__main__":
    main(*map(float, sys.argv[1:]))
