"""A box as a TOML file that a painter can read and edit by hand."""

from __future__ import annotations

import functools
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.disk import write_whole
from refmatch.errors import BoxError
from refmatch.flag import Flag, flag_from_form, flag_to_form
from refmatch.paint.box import (
    NEIGHBOUR,
    Box,
    Tube,
    built_in_tube,
    camera_of,
    camera_row,
    mixed_tube,
)
from refmatch.paint.kubelka_munk import GLOSS, Surface
from refmatch.paint.library import find_paint, key_of
from refmatch.paint.names import Neighbour
from refmatch.saved import number, whole
from refmatch.saved import text as as_text

FORMAT = "refmatch-box"
VERSION = 1

GENERIC = ("built-in", "mixture", NEIGHBOUR)
"""Sources of tubes whose curves are not in the file: they come with refmatch."""


def read_box(path: Path) -> Box:
    """Read a box file, or one that comes with refmatch by its name where no such file is.

    Raises:
        BoxError: it is not there, not TOML, not a box, or has no tubes; UnknownTube
            where a tube has neither curves nor a neighbour, and no known pigment.
    """
    try:
        text = Path(path).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        if str(path) in built_in_boxes():  # a folder of that name, a painting's, is no box
            return built_in_box(str(path))
        raise BoxError("box_file_not_read", path=str(path)) from error
    return box_from_toml(text, str(path))


def open_box(path: Path | None) -> Box:
    """Return the painter's box, or the one that comes with refmatch."""
    return built_in_box() if path is None else read_box(path)


def write_box(path: Path, box: Box, *, over: bool = True) -> None:
    """Write a box file whole or not at all; ``over`` whatever is there, or only where nothing is.

    Raises:
        OutputError: it cannot be written, or something is there.
    """
    write_whole(Path(path), box_to_toml(box).encode("utf-8"), over=over)


def box_from_toml(text: str, where: str = "the box") -> Box:
    """Read a box from TOML text; ``where`` names it in a complaint.

    Raises:
        BoxError: not TOML, not a box, or without tubes; UnknownTube where a tube has
            neither curves nor a neighbour, and no known pigment.
    """
    try:
        raw = tomllib.loads(text)
    except RecursionError as error:
        raise BoxError("box_file_not_toml", where=where, line=None, column=None) from error
    except ValueError as error:  # numbers of thousands of digits are refused so, too
        at = re.search(r"line (\d+), column (\d+)", str(error))
        line, column = (int(at[1]), int(at[2])) if at else (None, None)
        raise BoxError("box_file_not_toml", where=where, line=line, column=column) from error
    if raw.get("format") != FORMAT:
        raise BoxError("box_file_without_format", where=where, format=FORMAT)
    if not isinstance(raw.get("version"), int) or raw["version"] > VERSION:
        raise BoxError("box_file_newer", where=where)
    if raw.get("parts", "volume") not in ("volume", "mass"):
        raise BoxError("box_parts_unknown", where=where, parts=raw["parts"])
    rows = raw.get("tube", [])
    if not isinstance(rows, list) or not rows:
        raise BoxError("box_without_tubes", where=where)
    for place, row in enumerate(rows, start=1):
        if not isinstance(row, dict):
            raise BoxError("box_value_wrong", where=where, key=f"tube[{place}]")
    tubes = tuple(_tube(row, where) for row in rows)
    _refuse_double_names(tubes, where)
    if raw.get("parts") == "mass" and any(tube.source in GENERIC for tube in tubes):
        raise BoxError("box_by_mass_of_built_in", where=where)
    return Box(
        name=_said(raw, "name", as_text, Path(where).stem, where),
        tubes=tubes,
        parts=raw.get("parts", "volume"),
        surface=_surface(rows, where),
        camera=camera_of(raw.get("camera"), where),
    )


@functools.lru_cache(16)
def box_to_toml(box: Box) -> str:
    """Write a box as TOML text; `box_from_toml` reads the same box back."""
    import tomlkit  # slow to load, and only needed to write

    document = tomlkit.document()
    document.add("format", FORMAT)
    document.add("version", VERSION)
    document.add("name", box.name)
    document.add("parts", box.parts)
    tubes = tomlkit.aot()
    for tube in box.tubes:
        row = tomlkit.table()
        for key, value in _tube_row(tube, box.surface).items():
            row.add(key, value)
        tubes.append(row)
    document.add("tube", tubes)
    if box.camera is not None:
        document.add("camera", camera_row(box.camera))
    return tomlkit.dumps(document)


def built_in_box(name: str = "garden-table") -> Box:
    """Return one of the boxes that come with refmatch.

    Raises:
        BoxError: there is no such box.
    """
    folder = files("refmatch.paint").joinpath("boxes")
    path = folder.joinpath(f"{name}.toml")
    if not path.is_file():
        raise BoxError("unknown_built_in_box", box=name, known=built_in_boxes())
    return box_from_toml(path.read_text("utf-8"), name)


def built_in_boxes() -> tuple[str, ...]:
    """Return the names of the boxes that come with refmatch."""
    folder = files("refmatch.paint").joinpath("boxes")
    names = (path.name for path in folder.iterdir() if path.name.endswith(".toml"))
    return tuple(sorted(name.removesuffix(".toml") for name in names))


def _tube(row: dict[str, Any], where: str) -> Tube:
    name = row.get("name")
    if not isinstance(name, str) or not name.strip():
        raise BoxError("tube_without_name", where=where)
    if "=" in name or "," in name:
        raise BoxError("tube_name_with_signs", tube=name, where=where)
    grade = _said(row, "grade", as_text, "artist", where)
    try:
        strength = _positive(row.get("strength", 1.0))
    except ValueError as error:
        raise BoxError("tube_strength_no_number", tube=name, where=where) from error
    if "absorption" in row:
        return _measured_tube(row, where)
    if row.get("portions"):
        return mixed_tube(name, _portions(row, where), grade, strength)
    pigments = _pigments(row, where)
    if "neighbour" in row:
        from refmatch.paint.fit.belief import tube_beside  # most boxes need no belief

        return tube_beside(
            name, pigments, _said(row, "neighbour", as_text, "", where), grade, strength
        )
    if not pigments:
        raise BoxError("tube_without_pigments", tube=name, where=where)
    if len(pigments) == 1 and isinstance(find_paint(pigments[0]), Neighbour):
        from refmatch.paint.labelled import tube_labelled  # most boxes need no belief

        return tube_labelled(pigments[0], name, grade, strength)
    if len(pigments) == 1:
        return built_in_tube(pigments[0], name, grade, strength)
    return mixed_tube(name, [(pigment, 1.0) for pigment in pigments], grade, strength)


def _pigments(row: dict[str, Any], where: str) -> tuple[str, ...]:
    """Return a tube's pigments as its label writes them; ``pigment`` may stand for one."""
    said = row.get("pigments", row.get("pigment", ()))
    listed = [said] if isinstance(said, str) else said
    if not isinstance(listed, list | tuple) or not all(isinstance(one, str) for one in listed):
        raise BoxError("tube_pigments_wrong", tube=row["name"], where=where)
    return tuple(one.strip() for one in listed if one.strip())


def _portions(row: dict[str, Any], where: str) -> list[tuple[str, float]]:
    try:
        return [(as_text(part["pigment"]), _positive(part["parts"])) for part in row["portions"]]
    except (KeyError, TypeError, ValueError) as error:
        raise BoxError("tube_portions_wrong", tube=row["name"], where=where) from error


def _measured_tube(row: dict[str, Any], where: str) -> Tube:
    pigments = _pigments(row, where)
    return Tube(
        name=row["name"],
        pigments=pigments,
        keys=tuple(key_of(pigment) for pigment in pigments),
        source=_said(row, "source", as_text, "measured", where),
        absorption=_curve(row, "absorption", where),
        scattering=_curve(row, "scattering", where),
        doubt=_said(row, "doubt", _from_zero, 0.05, where),
        grade=_said(row, "grade", as_text, "artist", where),
        modes=_modes(row, where),
        doubt_in_colours=_said(row, "doubt_in_colours", _from_zero, 0.0, where),
        residual_delta_e_00=_said(row, "residual_delta_e_00", _from_zero, None, where),
        swatches=_said(row, "swatches", whole, 0, where),
        flags=_said(row, "flags", _flags, (), where),
    )


def _modes(row: dict[str, Any], where: str) -> Array:
    try:
        values = np.array(row.get("modes", ()), dtype=float).reshape(-1, 2 * BANDS)
    except (OverflowError, TypeError, ValueError) as error:  # not numbers, or ragged rows
        raise BoxError("tube_modes_not_finite", tube=row["name"], where=where) from error
    if not np.all(np.isfinite(values)):
        raise BoxError("tube_modes_not_finite", tube=row["name"], where=where)
    return values


def _curve(row: dict[str, Any], key: str, where: str) -> Array:
    try:
        values = np.array(row.get(key, ()), dtype=float)
    except (OverflowError, TypeError, ValueError):
        values = np.empty(0)
    if values.shape != (BANDS,) or not np.all(np.isfinite(values)) or not np.all(values > 0.0):
        raise BoxError("tube_curve_wrong", tube=row["name"], where=where, count=BANDS, curve=key)
    return values


def _surface(rows: list[dict[str, Any]], where: str) -> Surface:
    pairs = {
        (_said(row, "k1", _reflectance, 0.0, where), _said(row, "k2", _reflectance, 0.0, where))
        for row in rows
        if "k1" in row and "k2" in row
    }
    if len(pairs) > 1:
        raise BoxError("tubes_of_two_surfaces", where=where)
    return replace(GLOSS, **dict(zip(("k1", "k2"), *pairs, strict=True))) if pairs else GLOSS


T = TypeVar("T")


def _said(row: Mapping[str, Any], key: str, read: Callable[[Any], T], unsaid: T, where: str) -> T:
    """Return what a table says under a key, read with care; ``unsaid`` where it says nothing.

    Raises:
        BoxError: it is not what ``read`` takes.
    """
    if row.get(key) is None:
        return unsaid
    try:
        return read(row[key])
    except (AttributeError, TypeError, ValueError) as error:
        tube = row.get("name") if "format" not in row else None
        named = key if tube is None else f"{key} of the tube {tube}"
        raise BoxError("box_value_wrong", where=where, key=named) from error


def _from_zero(value: Any) -> float:
    if number(value) < 0.0:
        raise ValueError(f"{value} is below 0")
    return float(value)


def _positive(value: Any) -> float:
    if number(value) <= 0.0:
        raise ValueError(f"{value} is not above 0")
    return float(value)


def _reflectance(value: Any) -> float:
    if not 0.0 <= number(value) < 1.0:
        raise ValueError(f"{value} is no share of the light")
    return float(value)


def _flags(saved: Any) -> tuple[Flag, ...]:
    return tuple(flag_from_form(form) for form in saved)


def _refuse_double_names(tubes: tuple[Tube, ...], where: str) -> None:
    names = [tube.name.lower() for tube in tubes]
    for name in names:
        if names.count(name) > 1:
            raise BoxError("tubes_of_one_name", tube=name, where=where)


def _tube_row(tube: Tube, surface: Surface) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": tube.name,
        "pigments": list(tube.pigments),
        "source": tube.source,
        "grade": tube.grade,
    }
    if tube.source in GENERIC:
        row["strength"] = tube.strength
        if tube.source == NEIGHBOUR:
            row["neighbour"] = tube.neighbour
    else:
        row |= {"absorption": tube.absorption.tolist(), "scattering": tube.scattering.tolist()}
        row |= {"k1": surface.k1, "k2": surface.k2, "doubt": tube.doubt}
        row |= {"doubt_in_colours": tube.doubt_in_colours}
        row |= {"swatches": tube.swatches, "modes": tube.modes.tolist()}
        if tube.residual_delta_e_00 is not None:
            row["residual_delta_e_00"] = tube.residual_delta_e_00
        row["flags"] = [flag_to_form(flag) for flag in tube.flags]
    if tube.portions:
        row["portions"] = [{"pigment": key, "parts": parts} for key, parts in tube.portions]
    return row
