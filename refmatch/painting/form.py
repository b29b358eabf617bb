"""The saved form of a painting: plain JSON that comes back exactly as it went."""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, get_origin

import cattrs
import numpy as np
from cattrs.errors import ForbiddenExtraKeysError
from cattrs.gen import make_dict_structure_fn, make_dict_unstructure_fn, override

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, PaintingError
from refmatch.flag import Flag, flag_from_form, flag_to_form
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, box_to_toml
from refmatch.painting.asked import Asked
from refmatch.painting.model import SCHEMA, Painting
from refmatch.painting.upgrade import upgraded
from refmatch.photo.light.balance import Balance, SavedLight
from refmatch.plan.choose import Choice
from refmatch.recipe.model import Recipe
from refmatch.recipe.reach import ValueRange

_UNREADABLE = (
    cattrs.BaseValidationError,
    ForbiddenExtraKeysError,
    AttributeError,
    KeyError,
    TypeError,
    ValueError,
)

OF_THE_PLAN = {"targets": "targets", "answers": "recipes", "chosen": "chosen"}
"""What a plan has in common with its painting, and its name there: it is saved once."""


def to_dict(painting: Painting) -> dict[str, Any]:
    """Return the painting as plain JSON values, with its schema."""
    form = _converter().unstructure(painting)
    if form["plan"] is not None:
        form["plan"] = {key: form["plan"][key] for key in form["plan"] if key not in OF_THE_PLAN}
    return {"schema": SCHEMA, **form}


def from_dict(saved: Mapping[str, Any]) -> Painting:
    """Return the painting of its saved form, floats to the last bit.

    Raises:
        PaintingError: a newer schema, or a form in which something is missing or
            of the wrong kind.
    """
    try:
        form = dict(upgraded(saved, SCHEMA))
        form.pop("schema")
        if form.get("plan") is not None:
            form["plan"] = form["plan"] | {key: form[own] for key, own in OF_THE_PLAN.items()}
        painting: Painting = _converter().structure(form, Painting)
    except _UNREADABLE as error:
        raise PaintingError("painting_form_wrong") from error
    _check_colours(painting)
    _check_side_by_side(painting)
    return painting


def to_bytes(painting: Painting) -> bytes:
    """Return the painting as JSON text that a person can read and compare: a line an item."""
    lines = [f" {_text_of(key)}: {_item(value)}" for key, value in to_dict(painting).items()]
    return ("{\n" + ",\n".join(lines) + "\n}\n").encode()


def _item(value: Any) -> str:
    """Write a list of things one a line, and all else on one line (far quicker than indenting)."""
    if isinstance(value, list | tuple) and value and isinstance(value[0], dict):
        return "[\n" + ",\n".join(f"  {_text_of(each)}" for each in value) + "\n ]"
    return _text_of(value)


def _text_of(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def from_bytes(data: bytes) -> Painting:
    """Return the painting of its JSON text.

    Raises:
        PaintingError: not JSON, or not a painting.
    """
    try:
        saved = json.loads(data)
    except ValueError as error:
        raise PaintingError("painting_not_json") from error
    if not isinstance(saved, dict):
        raise PaintingError("painting_not_object")
    return from_dict(saved)


def asked_to_dict(asked: Asked) -> dict[str, Any]:
    """Return what was asked as plain JSON values."""
    form: dict[str, Any] = json.loads(json.dumps(_converter().unstructure(asked)))
    return form


def asked_from_dict(saved: Mapping[str, Any]) -> Asked:
    """Return what was asked, of its saved form.

    Raises:
        PaintingError: something in it is missing or of the wrong kind.
    """
    try:
        return _converter().structure(saved, Asked)
    except _UNREADABLE as error:
        raise PaintingError("asked_form_wrong") from error


def _check_colours(painting: Painting) -> None:
    labs = [target.lab for target in painting.targets]
    labs += [recipe.lab for answer in painting.recipes for recipe in answer.recipes]
    labs += [lab for tube in painting.table for lab in (tube.masstone, tube.tint)]
    if any(lab.shape != (3,) for lab in labs) or painting.balance.matrix.shape != (3, 3):
        raise PaintingError("painting_colour_wrong")


def _check_side_by_side(painting: Painting) -> None:
    lengths = {len(painting.targets), len(painting.words), len(painting.recipes)}
    if lengths != {len(painting.chosen)}:
        raise PaintingError("targets_without_recipes")
    for choice, answer in zip(painting.chosen, painting.recipes, strict=True):
        if not 0 <= choice < max(len(answer.recipes), 1):
            raise PaintingError("choice_not_there", label=answer.label)


@functools.cache
def _converter() -> cattrs.Converter:
    converter = cattrs.Converter(forbid_extra_keys=True, detailed_validation=False)
    converter.register_unstructure_hook_func(_is_array, lambda array: array.tolist())
    converter.register_structure_hook_func(_is_array, lambda value, _: _array(value))
    converter.register_unstructure_hook(Flag, flag_to_form)
    converter.register_structure_hook(Flag, lambda form, _: flag_from_form(form))
    converter.register_unstructure_hook(Box, _box_form)
    converter.register_structure_hook(Box, lambda value, _: _box(value))
    converter.register_unstructure_hook(Choice, _choice_form)
    converter.register_structure_hook(Choice, lambda value, _: _choice(value))
    converter.register_structure_hook(ValueRange, lambda ends, _: ValueRange(*map(_number, ends)))
    converter.register_structure_hook(float, lambda value, _: _number(value))
    converter.register_structure_hook(bool, lambda value, _: _truth(value))
    converter.register_structure_hook(int, lambda value, _: _whole(value))
    converter.register_structure_hook(str, lambda value, _: _text(value))
    converter.register_unstructure_hook(  # a recipe from tubes is written as it always was
        Recipe,
        make_dict_unstructure_fn(Recipe, converter, from_puddle=override(omit_if_default=True)),
    )
    for light in (Balance, SavedLight):
        whole = make_dict_structure_fn(light, converter)
        converter.register_structure_hook(
            light, lambda value, kind, whole=whole: whole(_without_words(value), kind)
        )
    return converter


def _without_words(saved: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out the words of an older painting's light: they are made of its figures."""
    return {key: value for key, value in saved.items() if key != "words"}


def _is_array(kind: Any) -> bool:
    return kind is np.ndarray or get_origin(kind) is np.ndarray


def _box_form(box: Box) -> dict[str, Any]:
    return {"toml": box_to_toml(box), "f": box.surface.f}


def _box(form: Mapping[str, Any]) -> Box:
    try:
        box = box_from_toml(_text(form["toml"]), "the plan's box")
        return replace(box, surface=replace(box.surface, f=_number(form["f"])))
    except BoxError as error:
        raise ValueError(str(error)) from error


def _choice_form(choice: Choice) -> dict[str, Any]:
    """Write a palette; JSON has no infinity, which its bound is where none was looked for."""
    bound = choice.bound if math.isfinite(choice.bound) else None
    return {
        "tubes": list(choice.tubes),
        "distance": choice.distance.tolist(),
        "expected": choice.expected.tolist(),
        "cost": choice.cost,
        "bound": bound,
    }


def _choice(form: Mapping[str, Any]) -> Choice:
    bound = form["bound"]
    return Choice(
        tubes=tuple(_text(name) for name in form["tubes"]),
        distance=_array(form["distance"]),
        expected=_array(form["expected"]),
        cost=_number(form["cost"]),
        bound=-math.inf if bound is None else _number(bound),
    )


def _array(value: Any) -> Array:
    array = np.array(value, dtype=float)
    if not np.all(np.isfinite(array)):
        raise ValueError(f"{value!r} holds what is not a number")
    return array


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r} is not a number")
    return float(value)


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"{value!r} is neither true nor false")
    return value


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError(f"{value!r} is not a whole number")
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{value!r} is not text")
    return value
