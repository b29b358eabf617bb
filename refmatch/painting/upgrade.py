"""Older saved forms, brought up to date one schema at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from refmatch.errors import PaintingError
from refmatch.painting.rounds import upgrade_record


def _whole_pixels(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    """From 1: the frame was written as floats, and no page asked for anything yet."""
    return {**saved, "frame": {side: round(px) for side, px in saved["frame"].items()}}


def _typed_rounds(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    """From 2: rounds had no form yet, and none was ever written."""
    return {**saved, "looks": [], "rounds": []}


def renamed(form: Mapping[str, Any]) -> Mapping[str, Any]:
    """From 3: what is saved of the light and of recipes had other names than in JSON."""
    balance = _called(form["balance"], {"keep_light": "keep_light_percent"})
    return {**form, "balance": balance, "recipes": [_answer(row) for row in form["recipes"]]}


def _answer(form: Mapping[str, Any]) -> Mapping[str, Any]:
    form = _called(form, {"gap": "gap_delta_e_00"})
    return {**form, "recipes": [_recipe(row) for row in form["recipes"]]}


def _recipe(form: Mapping[str, Any]) -> Mapping[str, Any]:
    form = _called(form, {"laid": "laid_out"})
    names = {"white_parts": "let_down_white_parts"}
    return {**form, "laid_out": [_called(row, names) for row in form["laid_out"]]}


def _called(form: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    return {names.get(key, key): value for key, value in form.items()}


def _of_three(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    return upgrade_record(renamed(saved))


UPGRADES: dict[int, Callable[[Mapping[str, Any]], Mapping[str, Any]]] = {
    1: _whole_pixels,
    2: _typed_rounds,
    3: _of_three,
}
"""From each older schema to the next."""


def upgraded(saved: Mapping[str, Any], schema: int) -> Mapping[str, Any]:
    """Return a saved form as ``schema`` has it.

    Raises:
        PaintingError: no schema is named, a newer one, or one nobody can upgrade.
    """
    found = saved.get("schema")
    if not isinstance(found, int) or isinstance(found, bool):
        raise PaintingError("This is not a saved painting: it names no schema.")
    if found > schema:
        raise PaintingError(
            f"This painting was saved by a newer refmatch (schema {found}; "
            f"this one reads up to {schema}); update refmatch to open it."
        )
    while found < schema:
        if found not in UPGRADES:
            raise PaintingError(f"This painting's schema {found} is not one that refmatch wrote.")
        saved = {**UPGRADES[found](saved), "schema": found + 1}
        found += 1
    return saved
