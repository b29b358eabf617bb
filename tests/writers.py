"""Every command that writes: its words, what stands afterwards, and the disk failing meanwhile.

A word that begins with ``@`` is a path within the folder that the command works in. What takes
long and touches no disk is reckoned once for each command, and remembered (`remembering`).
"""

from __future__ import annotations

import contextlib
import functools
import importlib
import math
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch

import typer.main
from PIL import Image
from pypdf import PdfReader

from refmatch.atelier.roll import read_roll
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import box_to_toml, read_box
from refmatch.painting import history, store
from refmatch.painting.model import Painting
from refmatch.saved import read_json
from refmatch.web.boxes import sample_card
from refmatch.web.shelf import Shelf
from tests import faults
from tests.cli.running import SAMPLES, Ran, Shell
from tests.kills import HALF
from tests.paint.test_measure import files as measured_files
from tests.painting.learning_example import a_table, kept, looked_at, planned

HOLE = ("--hole", "80,60,20=pear", "--balance", "as-shot")
AT_TABLE = ("--painting", "@table")


@dataclass(frozen=True)
class Writes:
    """A command that writes.

    ``record`` tells what is acknowledged by success, and is as before where it was refused, unless
    only one of ``outs``, the files it is asked for, is said not to be written. ``before`` puts the
    folder into the state that the command needs.
    """

    words: tuple[str, ...]
    record: Callable[[Path], object] = lambda folder: None
    outs: tuple[str, ...] = ()
    before: Callable[[Path], object] = lambda folder: None


def _painting(folder: Path) -> Painting:
    return store.open_folder(folder / "table").painting


def _spoil(folder: Path) -> None:
    """Spoil a painting as a careless hand does: it can be read, and is none."""
    (folder / "table" / store.NAME).write_bytes(b"{}")


def _title(folder: Path) -> object:
    with contextlib.suppress(store.PaintingError):
        return store.read_painting(folder / "table").title
    return None


def _new(folder: Path) -> object:
    return store.is_painting(folder / "new") and store.open_folder(folder / "new").painting.title


def _students(folder: Path) -> object:
    """Return a class's students, each with the text of a box of their own."""
    roll = read_roll(folder / "tuesday")
    boxes = folder / "tuesday" / "boxes"
    return [
        (one.name, one.tubes, one.box and (boxes / one.box).read_bytes()) for one in roll.students
    ]


def _add_list(folder: Path) -> None:
    (folder / "all.csv").write_text("Cleo, PW6, PB29\nDan, box.toml\nEve, box.toml\n")


COMMANDS: dict[str, Writes] = {
    "sample": Writes(("sample", "@photo.png", *HOLE, "--card-out", "@a.png"), outs=("a.png",)),
    "families": Writes(
        (
            *("families", "@photo.png", "--families", "3", "--values-out", "@v.png"),
            *("--squint-out", "@s.png", "--masses-out", "@m.png"),
        ),
        outs=("v.png", "s.png", "m.png"),
    ),
    "sheet": Writes(
        ("sheet", "@photo.png", *HOLE, "--box", "@box.toml", "--out", "@a.pdf"), outs=("a.pdf",)
    ),
    "sheet, a new painting": Writes(
        (
            *("sheet", "@photo.png", *HOLE, "--box", "@box.toml", "--out", "@a.json"),
            *("--painting", "@new"),
        ),
        _new,
        ("a.json",),
    ),
    "sheet, a painting": Writes(
        ("sheet", "@table", "--title", "New", "--out", "@a.txt", *AT_TABLE),
        lambda folder: (_painting(folder).title, len(_painting(folder).sheets)),
        ("a.txt",),
    ),
    "sheet, another photo": Writes(
        (
            *("sheet", "@table", "--hole", "80,60,20=pear", "--hole", "sky:80,60,20=leaf"),
            "--also",
            f"sky={SAMPLES / 'orchard-shade.jpg'}",
            *("--out", "@a.txt", *AT_TABLE),
        ),
        lambda folder: [photo.sha256 for photo in _painting(folder).asked.photos],
        ("a.txt",),
    ),
    "card": Writes(
        ("card", "--box", "@box.toml", "--short", "--out", "@c.pdf"), outs=("c.pdf", "c.json")
    ),
    "card, of a painting": Writes(
        ("card", *AT_TABLE),
        lambda folder: (
            (folder / "table" / "dab-card.json").exists()
            and (folder / "table" / "dab-card.pdf").exists()
        ),
    ),
    "card, a value finder": Writes(
        ("card", "--values", "--out", "@f.pdf"), outs=("f.pdf", "f.json")
    ),
    "demonstrate": Writes(
        ("demonstrate", "--box", "@box.toml", "--only", "lightened", "--out", "@d.pdf"),
        outs=("d.pdf",),
    ),
    "check": Writes(
        (
            *("check", f"{SAMPLES / 'dab-board.jpg'}", "--hole", "612,616,58"),
            *("--neutral", "781,1280,77"),
            *(*AT_TABLE, "--target-label", "pear"),
        ),
        lambda folder: len(_painting(folder).rounds),
    ),
    "did": Writes(
        ("did", *AT_TABLE, "--target-label", "pear", "--mixed", "4 chalk, 1 blue"),
        lambda folder: len(_painting(folder).pencilled),
    ),
    "canvas": Writes(
        (
            *("canvas", f"{SAMPLES / 'garden-canvas.jpg'}", *AT_TABLE, "--neutral", "1296,520,120"),
            *("--out", "@canvas.pdf"),
        ),
        lambda folder: len(_painting(folder).canvases),
        ("canvas.pdf",),
    ),
    "box new": Writes(("box", "new", "--tube", "PW6", "--out", "@new.toml"), outs=("new.toml",)),
    "box measure": Writes(
        (
            *("box", "measure", "@readings.txt", "--painted", "@plan.csv", "--specular"),
            *("excluded", "--by", "mass", "--out", "@mine.toml"),
        ),
        outs=("mine.toml",),
    ),
    "box photograph": Writes(
        (
            *("box", "photograph", f"{SAMPLES / 'calibration-card.jpg'}"),
            *("--box", "@sample.toml", "--out", "@known.toml"),
        ),
        outs=("known.toml",),
    ),
    "box learn": Writes(
        ("box", "learn", "--painting", "@looked", "--out", "@learnt.toml"),
        lambda folder: len(store.read_painting(folder / "looked").learnings),
        ("learnt.toml",),
    ),
    "box learn, switched": Writes(
        ("box", "learn", *AT_TABLE, "--automatic", "on"),
        lambda folder: _painting(folder).learns,
    ),
    "class new": Writes(
        ("class", "new", "@friday", "@photo.png", *HOLE, "--box", "@box.toml"),
        lambda folder: (
            (folder / "friday" / "class.toml").exists()
            and store.open_folder(folder / "friday" / "lesson").painting.title
        ),
    ),
    "class add": Writes(
        ("class", "add", "@tuesday", "--student", "Ben", "--box", "@box.toml"), _students
    ),
    "class add, anew": Writes(
        ("class", "add", "@tuesday", "--student", "Ann", "--box", "@sample.toml", "--replace"),
        _students,
    ),
    "class add, everybody": Writes(
        ("class", "add", "@tuesday", "--everybody", "@all.csv"), _students, before=_add_list
    ),
    "class print": Writes(
        ("class", "print", "@tuesday"),
        outs=tuple(f"tuesday/prints/{name}.pdf" for name in ("tutor", "hand-outs", "01-ann")),
    ),
    "painting rescue": Writes(("painting", "rescue", "@table"), _title, before=_spoil),
    "studio": Writes(
        ("studio", "@photo.png", "--no-browser", "--paintings", "@shelf"),
        lambda folder: [card.title for card in Shelf(folder / "shelf").paintings()],
    ),
}
"""Each command that writes, at least once; its name stands before the comma."""

READ_ONLY: dict[str, tuple[str, ...]] = {
    "plan": ("plan", "@table"),
    "mix": ("mix", "--again", "pear", *AT_TABLE, "--amount", "5"),
    "predict": ("predict", "PB29=1", "PW6=3"),
    "nudge": ("nudge", "blue=1", "chalk=3", "--box", "@box.toml"),
    "box list": ("box", "list"),
    "box show": ("box", "show", "@box.toml"),
    "box advise": ("box", "advise", "62,14,38", "--box", "@box.toml"),
    "class mix": ("class", "mix", "@tuesday"),
}
"""Each command that writes nothing, wherever it is."""

SLOW = (
    "refmatch.painting.reckon:Reckoner.reckon",
    "refmatch.painting.reckon:Reckoner.pictures",
    "refmatch.photo.masses:find_in",
    "refmatch.photo.studies:flat",
    "refmatch.painting.canvas:find_corners",
    "refmatch.painting.canvas:reference_of",
    "refmatch.painting.canvas:squared",
    "refmatch.painting.canvas:surroundings",
    "refmatch.painting.canvas:fall_of",
    "refmatch.painting.canvas:regions_of",
    "refmatch.painting.canvas:believed_camera",
    "refmatch.sheet.canvas_content:seen_at",
    "refmatch.painting.canvas:look_at",
    "refmatch.painting.canvas:judge",
    "refmatch.painting.canvas:_as_seen",
    "refmatch.painting.canvas:_large_reference",
    "refmatch.painting.canvas:pictures_of",
    "refmatch.painting.learning:gate",
    "refmatch.painting.learning:learn",
    "refmatch.painting.learning:with_box",
    "refmatch.web.shelf:_let_go",
    "refmatch.web.bench.files:_read",
    "refmatch.web.bench.benches:card_shown",
    "refmatch.web.bench.workbench:dabs_by_card",
    "refmatch.web.bench.workbench:calibrated",
    "refmatch.web.prints:_made",
    "refmatch.dabs.spots:surroundings",
    "refmatch.dabs.checked:look",
    "refmatch.dabs.photographs:dabs_on_shown_card",
    "refmatch.dabs.photographs:photographed_box",
    "refmatch.paint.measured_box:characterise",
    "refmatch.atelier.mixes:lesson_of",
    "refmatch.sheet.canvas_page:write",
    "refmatch.sheet.handout_pages:write_handouts",
    "refmatch.sheet.tutor_pages:write_tutor",
    "refmatch.sheet.demonstration_pages:write",
    "refmatch.sheet.card_pages:write",
    "refmatch.sheet.dab_card_pages:write",
    "refmatch.sheet.value_finder_pages:write",
)
"""What takes long and writes nothing: the same again for the same command."""


@contextlib.contextmanager
def remembering(found: dict[tuple[str, int], Any]) -> Iterator[None]:
    """Give the n-th answer of what is `SLOW` again where it is ``found``; else find it."""
    with contextlib.ExitStack() as patches:
        for place in SLOW:
            module, _, name = place.partition(":")
            owner: Any = importlib.import_module(module)
            *within, name = name.split(".")
            for each in within:
                owner = getattr(owner, each)
            patches.enter_context(
                patch.object(owner, name, _once(place, getattr(owner, name), found))
            )
        yield


def _once(place: str, true: Callable[..., Any], found: dict[tuple[str, int], Any]) -> Any:
    count = iter(range(1_000_000))

    def call(*args: Any, **kwargs: Any) -> Any:
        key = place, next(count)
        if key not in found:
            found[key] = true(*args, **kwargs)
        return found[key]

    return call


TUBES = (("PW6", "chalk"), ("PB29", "blue"), ("PY43", "ochre"))


def lay_out(folder: Path) -> Path:
    """Make a folder with all that the commands work on: a photo, paintings, boxes, a class."""
    folder.mkdir()
    with Image.open(SAMPLES / "garden-table.jpg") as whole:
        whole.resize((160, 120)).save(folder / "photo.png")
    measured_files(folder)
    box = Box("orchard", tuple(built_in_tube(*tube) for tube in TUBES))
    (folder / "box.toml").write_text(box_to_toml(box), "utf-8")
    (folder / "sample.toml").write_text(box_to_toml(sample_card()[0]), "utf-8")
    table = a_table()
    painting = planned(table)
    for place in range(4):
        painting = looked_at(painting, table, place)
    kept(folder / "looked", painting)
    for words in (
        ("sheet", "@photo.png", *HOLE, "--box", "@box.toml", "--out", "@old.txt", *AT_TABLE),
        ("class", "new", "@tuesday", "@photo.png", *HOLE, "--box", "@box.toml"),
        ("class", "add", "@tuesday", "--student", "Ann", "--box", "@box.toml"),
    ):
        ran = run(words, folder)
        assert ran.code == 0, ran.err
    return folder


_command = functools.cache(typer.main.get_command)


def run(words: tuple[str, ...], folder: Path) -> Ran:
    """Run a command on a folder; a studio only lays out what it is given, and does not serve."""
    with patch("refmatch.web.serve.Studio"), patch("typer.main.get_command", _command):
        return Shell()(*(word.replace("@", f"{folder}/", 1) for word in words))


def check_files(folder: Path, begun: Path, *, with_halves: bool = False) -> None:
    """See that every file that is new can be read whole, and that no half one is left."""
    for path in folder.rglob("*"):
        if (
            not path.is_file()
            or path.name == ".lock"
            or _same(path, begun / path.relative_to(folder))
        ):
            continue
        if HALF.fullmatch(path.name):
            assert with_halves, f"half a file is left: {path}"
        if path.suffix in (".jpg", ".png"):
            with Image.open(path) as picture:
                picture.load()
        elif path.suffix == ".pdf":
            assert PdfReader(path).pages
        elif path.name == "class.toml":
            read_roll(path.parent)
        elif path.suffix == ".toml":
            read_box(path)
        elif path.name == store.NAME and path.read_bytes() != b"{}":
            history.read_history(path.parent, store.read_painting(path.parent).step)
        elif path.suffix == ".json" and "damaged" not in path.name:
            read_json(path.read_bytes())


def _same(path: Path, old: Path) -> bool:
    return old.is_file() and path.read_bytes() == old.read_bytes()


FULL, READ_ONLY_DISK, WORN, PULLED = "full", "read-only", "worn", "pulled out"
DISKS = (FULL, READ_ONLY_DISK, WORN, PULLED)
_CODES = {FULL: faults.FULL, READ_ONLY_DISK: faults.READ_ONLY, WORN: faults.WORN}


def failing(disk: str, first: int, folder: Path) -> AbstractContextManager[faults.Faults]:
    """Let a disk fail from its ``first``-th writing call on."""
    if disk == PULLED:
        return faults.pulled_stick(first, folder)
    return faults.failing_disk(first, _CODES[disk], stays=True)


NEVER = 1_000_000
MOST_CALLS = 4
"""Where a command writes more often, so many calls fail in the suite, each in the benchmark."""


def some(calls: int, turn: int) -> Iterator[tuple[int, str]]:
    """Yield calls at which a disk fails, and how: each kind in its turn."""
    step = math.ceil(calls / MOST_CALLS)
    for number, first in enumerate(range(turn % step, calls, step)):
        yield first, DISKS[(number + turn) % len(DISKS)]


class Trial:
    """A command tried on a disk that fails: begun with, and how it ends where nothing fails."""

    def __init__(self, name: str, begun: Path, within: Path) -> None:
        self.writes, self.begun, self.within = COMMANDS[name], begun, within
        self._found: dict[tuple[str, int], Any] = {}
        folder = self._folder()
        self.before = self.writes.record(folder)
        with failing(FULL, NEVER, folder) as counted:
            ran = self._run(folder)
        assert ran.code == 0, ran.err
        self.calls = counted.calls
        check_files(folder, begun)
        self._check_done(folder)
        self.after = self.writes.record(folder)
        shutil.rmtree(folder)

    def at(self, first: int, disk: str) -> None:
        """Let the disk fail at a call, see what came of it, and try again."""
        folder = self._folder()
        with failing(disk, first, folder):
            ran = self._run(folder)
        where = f"{self.writes.words[:2]}, {disk} at call {first}: {ran.err}"
        said = [line for line in ran.err.splitlines() if not line.startswith("!")]
        assert ran.code in (0, 1), where
        # what is half written when a stick goes cannot be taken away; nothing takes it for whole
        check_files(folder, self.begun, with_halves=disk == PULLED)
        if ran.code:
            assert len(said) == 1, where
            assert said[0].startswith("refmatch: "), where
            assert said[0].endswith((".", "?")), where
        else:
            assert not said, where
            self._check_done(folder)
        record = self.writes.record(folder)
        outs = [folder / out for out in self.writes.outs]
        names_out = any(
            f"'{out}'" in said[0] or f"'{out.parent}'" in said[0] for out in outs if said
        )
        refused = ran.code and not names_out
        assert record == self.before or (record == self.after and not refused), where
        assert record == self.after or ran.code, where
        if ran.code:
            again = self._run(folder)
            assert again.code == 0, f"{where}again: {again.err}"
            self._check_done(folder)
            assert self.writes.record(folder) == self.after, where
        shutil.rmtree(folder)

    def _folder(self) -> Path:
        folder = Path(shutil.copytree(self.begun, self.within / "at"))
        self.writes.before(folder)
        return folder

    def _run(self, folder: Path) -> Ran:
        with remembering(self._found):
            return run(self.writes.words, folder)

    def _check_done(self, folder: Path) -> None:
        gone = [out for out in self.writes.outs if not (folder / out).is_file()]
        assert not gone, f"said to be there: {gone}"
