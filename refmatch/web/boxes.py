"""The boxes of tubes on the shelf: those that come with refmatch, the painter's, the damaged.

PAINTINGS/
  boxes/my-box.toml       a box that was put together on the page
  boxes/NAME/             a box of the painter's own tubes in the making; box.toml once it is made
  put-away/boxes/         damaged ones that were put away; nothing here is ever removed
"""

from __future__ import annotations

import contextlib
import functools
import os
import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from refmatch.disk import locked
from refmatch.errors import BoxError, OutputError, RefmatchError, UsageError
from refmatch.paint.box import Box, Tube, built_in_tube
from refmatch.paint.box_file import (
    box_from_toml,
    box_to_toml,
    built_in_box,
    built_in_boxes,
    read_box,
    write_box,
)
from refmatch.paint.library import mixtures, pigments
from refmatch.painting.model import TubeOnTable
from refmatch.painting.own_box import tubes_on_table
from refmatch.web.bench.files import CARD, MADE, Folder, key_of, make_folder

BOXES, AWAY = "boxes", "put-away"
CARD_PHOTO = "calibration-card"
"""The one sample photo that nobody paints from: it shows a calibration card."""


@dataclass(frozen=True, eq=False)
class DamagedBox:
    """A box, finished or in the making, that cannot be read, and why."""

    key: str
    name: str
    why: RefmatchError


class Boxes:
    """All boxes that the page may ask for. Safe to ask from several threads."""

    def __init__(self, shelf: Path) -> None:
        self.folder, self._away = shelf / BOXES, shelf / AWAY / BOXES
        self._shelf, self._is_there = shelf, False
        self._lock = threading.Lock()

    def make_shelf(self) -> None:
        """Make the shelf's folder; one that was there and is gone, as with a stick, is missed.

        Raises:
            OutputError: it cannot be made, or was there before.
        """
        self._is_there = self._is_there or self._shelf.is_dir()
        if not self._is_there:
            _make(self._shelf)
            self._is_there = True
        elif not self._shelf.is_dir():
            raise OutputError("output_folder_missing", folder=str(self._shelf))

    def lying(self) -> tuple[dict[str, Box], list[DamagedBox]]:
        """Return every box that can be read by its key, refmatch's first; and what cannot be."""
        by_key = {f"comes-{name}": built_in_box(name) for name in built_in_boxes()}
        damaged = []
        for path in self._files():
            try:
                by_key[f"own-{key_of(path)}"] = read_box(path)
            except BoxError as error:
                damaged.append(DamagedBox(key_of(path), _called(path), error))
        for path in self._benches():
            try:
                _check(Folder(path))
            except RefmatchError as error:
                damaged.append(DamagedBox(key_of(path), path.name, error))
        return by_key, damaged

    def all(self) -> dict[str, Box]:
        """Return every box that can be read by its key, refmatch's own first."""
        return self.lying()[0]

    def text(self, key: str) -> str:
        """Return a box as TOML text.

        Raises:
            BoxError: there is none of that key.
        """
        box = self.all().get(key)
        if box is None:
            raise BoxError("no_such_box")
        return box_to_toml(box)

    def new(self, name: str, tubes: Sequence[Tube], file: str) -> str:
        """Keep a box of tubes, in a file of that name or the next, and return its key.

        Raises:
            BoxError: no tube, two of one name, or no white.
            UsageError: the name is empty. OutputError: the shelf cannot be written.
        """
        if not name.strip():
            raise UsageError("box_without_name")
        box = Box(name, tuple(tubes))
        _ = box.white
        box = box_from_toml(box_to_toml(box), name)
        self.make_shelf()
        make_folder(self.folder)
        with self._lock, locked(self.folder):
            while True:
                path = free(self.folder, file, ".toml")
                with _unless_taken():
                    write_box(path, box, over=False)
                    return f"own-{key_of(path)}"

    def put_away(self, key: str) -> None:
        """Move a damaged box out of sight, whole: nothing of it is removed.

        Raises:
            BoxError: no damaged one has that key. OutputError: it cannot be moved.
        """
        damaged = {row.key for row in self.lying()[1]}
        paths = [path for path in (*self._files(), *self._benches()) if key_of(path) == key]
        if key not in damaged or not paths:
            raise BoxError("no_such_box")
        make_folder(self._away.parent)
        make_folder(self._away)
        (path,) = paths
        stem = path.name if path.is_dir() else Path(_called(path)).stem
        try:
            path.rename(free(self._away, stem, path.suffix))
        except OSError as error:
            raise OutputError("shelf_not_made", folder=str(self._away)) from error

    def plain(self, sentence: str) -> str:
        """Return a sentence without the folder where the boxes lie: the page learns no paths."""
        return sentence.replace(f"{self.folder}{os.sep}", "")

    def _files(self) -> list[Path]:
        return [*sorted(self.folder.glob("*.toml")), *sorted(self.folder.glob(f"*/{MADE}"))]

    def _benches(self) -> list[Path]:
        return sorted(path.parent for path in self.folder.glob(f"*/{CARD}"))


def free(within: Path, name: str, suffix: str = "") -> Path:
    """Return a path of that name that is not taken, with a number where it must be."""
    paths = (within / f"{name}{f'-{i}' if i > 1 else ''}{suffix}" for i in range(1, 10_000))
    return next(path for path in paths if not path.exists())


def _called(path: Path) -> str:
    return f"{path.parent.name}.toml" if path.name == MADE else path.name


def _check(bench: Folder) -> None:
    bench.card()
    bench.notes()
    bench.box()


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError("shelf_not_made", folder=str(folder)) from error


@contextlib.contextmanager
def _unless_taken() -> Iterator[None]:
    """Go on with another name where a command has just taken this one."""
    try:
        yield
    except OutputError as error:
        if error.name != "written_meanwhile":
            raise


# What comes with refmatch.


@functools.cache
def built_in_tubes() -> tuple[TubeOnTable, ...]:
    """Return every built-in pigment and ready mixture as a tube, named by its key."""
    keys = (*pigments(), *mixtures())
    return tubes_on_table(Box("built-in", tuple(built_in_tube(key, key) for key in keys)))


SAMPLE_TUBES = (
    "titanium-white",
    "hansa-yellow",
    "yellow-ochre",
    "pyrrole-red",
    "quinacridone-rose",
    "burnt-sienna",
    "ultramarine-blue",
    "ivory-black",
)
"""The tubes whose dabs the sample card's photo shows, in its order (docs/own-tubes.md)."""


def sample_card() -> tuple[Box, Path]:
    """Return the box that the sample card was printed for, and the photo of it, painted."""
    tubes = tuple(built_in_tube(pigment, pigment) for pigment in SAMPLE_TUBES)
    return Box("sample tubes", tubes), sample_folder() / f"{CARD_PHOTO}.jpg"


def sample_folder() -> Path:
    """Return where the sample photos are: in the package when installed, else in the checkout."""
    packed = Path(str(files("refmatch"))) / "sample_images"
    return packed if packed.is_dir() else packed.parents[1] / "sample_images"
