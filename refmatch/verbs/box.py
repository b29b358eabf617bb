"""Boxes: which come with refmatch, what is in one, and making a new one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from refmatch.errors import BoxError, OutputError
from refmatch.paint.box import Box, Tube, built_in_tube
from refmatch.paint.box_file import (
    box_from_toml,
    box_to_toml,
    built_in_box,
    built_in_boxes,
    read_box,
    write_box,
)


def find_box(name: str) -> Box:
    """Return a box by its file, or by its name where it came with refmatch.

    Raises:
        BoxError: there is neither.
    """
    if name in built_in_boxes() and not Path(name).exists():
        return built_in_box(name)
    return read_box(Path(name))


def new_box(tubes: Sequence[str], out: Path, name: str | None = None) -> Box:
    """Write a box of built-in pigments, each given as ``PIGMENT`` or ``PIGMENT=name``.

    Raises:
        BoxError: no tube, two of one name, or no white. UnknownTube: no such pigment.
        OutputError: a file of that name is there, or it cannot be written.
    """
    if not tubes:
        raise BoxError("A box needs tubes; add them one by one, such as --tube PW6 --tube PB29.")
    if out.exists():
        raise OutputError(f"'{out}' is already there; choose another name, or edit it by hand.")
    box = Box(name or out.stem, tuple(_tube(text) for text in tubes))
    _ = box.white
    box = box_from_toml(box_to_toml(box), str(out))
    write_box(out, box)
    return box


def _tube(text: str) -> Tube:
    pigment, equals, name = text.rpartition("=") if "=" in text else (text, "", "")
    return built_in_tube(pigment, name.strip() if equals and name.strip() else None)
