"""The saved form of a painting: plain JSON that comes back exactly as it went, older forms too."""

from __future__ import annotations

import contextlib
import functools
import json
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, get_origin

import cattrs
import numpy as np
from cattrs.errors import ForbiddenExtraKeysError
from cattrs.gen import make_dict_structure_fn, make_dict_unstructure_fn, override

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, PaintingError, RefmatchError
from refmatch.flag import Flag, flag_from_form, flag_to_form
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, box_to_toml
from refmatch.painting.asked import Asked, AskedHole
from refmatch.painting.model import SCHEMA, Painting
from refmatch.photo.light.balance import Balance, SavedLight
from refmatch.plan.choose import Choice
from refmatch.plan.mothers import Mixed
from refmatch.recipe.model import Recipe
from refmatch.recipe.reach import ValueRange
from refmatch.saved import number, read_json, text, truth, whole
from refmatch.target import Target

UNREADABLE = (
    cattrs.BaseValidationError,
    ForbiddenExtraKeysError,
    AttributeError,
    KeyError,
    OverflowError,
    RecursionError,
    RefmatchError,  # a light or a box that no painter could have asked for
    TypeError,
    ValueError,
)
"""What comes of reading a saved form that is not as it was saved."""

ONCE_SAID = {"alpha_flattened": "The photo is transparent in places; white paper shows there."}
"""Flags of older paintings that nothing raises any more, and what they say."""

ADDED_TO_RECIPES = (
    "from_puddle",
    "delta_e_00_expected",
    "delta_e_00_expected_p90",
    "better",
)
"""What recipes of earlier paintings do not say, and is left out where there is nothing to say."""

ADDED_TO_HOLES = ("layer", "medium", "medium_percent", "dry", "photo", "alone")
ADDED_TO_ASKED = {"ground": "", "photos": ()}
ADDED_TO_TARGETS = ("photo",)
ADDED_TO_PAINTINGS = ("pencilled", "layers", "others", "canvases")
ADDED_TO_PUDDLES = ("layer",)
"""What earlier paintings do not say of holes, puddles, what is asked, targets and themselves."""

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
    form: dict[str, Any] = {}
    try:
        form = dict(_of_the_asked(upgraded(saved, SCHEMA)))
        form.pop("schema")
        if form.get("plan") is not None:
            form["plan"] = form["plan"] | {key: form[own] for key, own in OF_THE_PLAN.items()}
        painting: Painting = _converter().structure(form, Painting)
    except PaintingError:
        raise
    except UNREADABLE as error:
        key = key_at_fault(form, Painting, _converter(detailed=True))
        raise PaintingError("painting_form_wrong", key=key) from error
    _check_colours(painting)
    _check_side_by_side(painting)
    return painting


def _of_the_asked(form: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a saved form that says title, box and finish once: what recipes were made with.

    They used to stand beside what was asked as well.
    """
    asked = {**form["asked"], **{key: form[key] for key in ("title", "box") if key in form}}
    if "finish" in form:
        asked["mixing"] = {**asked.get("mixing", {}), "finish": form["finish"]}
    return {key: form[key] for key in form if key not in ("title", "box", "finish")} | {
        "asked": asked
    }


def to_bytes(painting: Painting) -> bytes:
    """Return the painting as JSON text that a person can read and compare: a line an item."""
    lines = [f" {_text_of(key)}: {_item(value)}" for key, value in to_dict(painting).items()]
    return ("{\n" + ",\n".join(lines) + "\n}\n").encode()


def _item(value: Any) -> str:
    """Write a list of things one a line, and all else on one line (far quicker than indenting)."""
    if isinstance(value, list | tuple) and value and isinstance(value[0], dict):
        return "[\n" + ",\n".join(f"  {_text_of(row)}" for row in value) + "\n ]"
    return _text_of(value)


def _text_of(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def from_bytes(data: bytes) -> Painting:
    """Return the painting of its JSON text.

    Raises:
        PaintingError: not JSON, or not a painting.
    """
    try:
        saved = read_json(data)
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
    except UNREADABLE as error:
        key = key_at_fault(saved, Asked, _converter(detailed=True))
        raise PaintingError("asked_form_wrong", key=key) from error


def key_at_fault(form: Any, kind: type, detailed: cattrs.Converter) -> str:
    """Return the key of a saved form at which reading fails, such as ``targets[0].lab``.

    ``detailed`` is a converter with detailed validation: it is slower, and asked only here.
    Where the form is wrong as a whole, "" is returned.
    """
    try:
        detailed.structure(form, kind)
    except UNREADABLE as error:
        with contextlib.suppress(*UNREADABLE):
            return cattrs.transform_error(error)[0].rpartition(" @ $")[2].lstrip(".")[:80]
    return ""


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
def _converter(*, detailed: bool = False) -> cattrs.Converter:
    converter = cattrs.Converter(forbid_extra_keys=True, detailed_validation=detailed)
    converter.register_unstructure_hook_func(_is_array, lambda array: array.tolist())
    converter.register_structure_hook_func(_is_array, lambda value, _: _array(value))
    converter.register_unstructure_hook(Flag, flag_to_form)
    converter.register_structure_hook(Flag, lambda form, _: _flag(form))
    converter.register_unstructure_hook(Box, _box_form)
    converter.register_structure_hook(Box, lambda value, _: _box(value))
    converter.register_unstructure_hook(Choice, _choice_form)
    converter.register_structure_hook(Choice, lambda value, _: _choice(value))
    converter.register_structure_hook(ValueRange, lambda ends, _: ValueRange(*map(number, ends)))
    converter.register_structure_hook(float, lambda value, _: number(value))
    converter.register_structure_hook(bool, lambda value, _: truth(value))
    converter.register_structure_hook(int, lambda value, _: whole(value))
    converter.register_structure_hook(str, lambda value, _: text(value))
    converter.register_unstructure_hook(  # a recipe from tubes is written as it always was
        Recipe,
        make_dict_unstructure_fn(Recipe, converter, **_left_out(ADDED_TO_RECIPES)),
    )
    for kind, added in (
        (AskedHole, ADDED_TO_HOLES),
        (Mixed, ADDED_TO_PUDDLES),
        (Asked, tuple(ADDED_TO_ASKED)),
        (Target, ADDED_TO_TARGETS),
    ):
        converter.register_unstructure_hook(
            kind, make_dict_unstructure_fn(kind, converter, **_left_out(added))
        )
    converter.register_unstructure_hook(  # so is a painting of recipes as they were told
        Painting,
        make_dict_unstructure_fn(Painting, converter, **_left_out(ADDED_TO_PAINTINGS)),
    )
    for light in (Balance, SavedLight):
        of_light = make_dict_structure_fn(light, converter)
        converter.register_structure_hook(
            light, lambda value, kind, read=of_light: read(_without_words(value), kind)
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
        box = box_from_toml(text(form["toml"]), "the plan's box")
        return replace(box, surface=replace(box.surface, f=number(form["f"])))
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
        tubes=tuple(text(name) for name in form["tubes"]),
        distance=_array(form["distance"]),
        expected=_array(form["expected"]),
        cost=number(form["cost"]),
        bound=-math.inf if bound is None else number(bound),
    )


def _array(value: Any) -> Array:
    array = np.array(value, dtype=float)
    if not np.all(np.isfinite(array)):
        raise ValueError(f"{value!r} holds what is not a number")
    return array


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


def _flag(form: Mapping[str, Any]) -> Flag:
    flag = flag_from_form(form)
    return Flag(flag.name, ONCE_SAID[flag.name]) if flag.name in ONCE_SAID else flag


def _left_out(names: Iterable[str]) -> dict[str, Any]:
    """Return how fields are written: not at all where they say nothing."""
    return dict.fromkeys(names, override(omit_if_default=True))


def _recipe(form: Mapping[str, Any]) -> Mapping[str, Any]:
    form = _called(form, {"laid": "laid_out"})
    names = {"white_parts": "let_down_white_parts"}
    return {**form, "laid_out": [_called(row, names) for row in form["laid_out"]]}


def _called(form: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    return {names.get(key, key): value for key, value in form.items()}


def _one_request(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    """From 3: a command said apart how recipes were asked for, and the page alone what was asked.

    What was read in a hole stood beside its target, and a hole did not know its mass.
    """
    left_out = ("holes", "proportion", "options")
    kept = {key: value for key, value in saved.items() if key not in left_out}
    kept["targets"] = [
        {**target, **{key: hole.get(key) for key in ("spread_delta_e_00", "clipped_fraction")}}
        for target, hole in zip(saved["targets"], saved["holes"], strict=True)
    ]
    asked = saved.get("asked") or _asked_by_command(saved)
    return {**kept, "asked": {**asked, "holes": _with_shares(asked["holes"], saved)}}


def _asked_by_command(saved: Mapping[str, Any]) -> dict[str, Any]:
    """Return what would ask for a painting that a command planned, as near as that tells."""
    balance, frame, options = saved["balance"], saved["frame"], saved.get("options") or {}
    of_light = ("method", "words", "cast_kelvin", "cast_duv", "exposure_factor")
    light = {key: balance[key] for key in of_light if balance.get(key) is not None}
    light["matrix"] = [number for row in balance["matrix"] for number in row]
    habits = {**options.get("habits", {})}
    names = {key: _named(saved["box"], habits.pop(key, ())) for key in ("without", "insist")}
    limits = {key: options[key] for key in ("tubes", "total") if key in options}
    finish = {"finish": saved["finish"]} if "finish" in saved else {}
    return {
        "title": saved["title"],
        "box": saved["box"],
        "light": {"method": "saved", "keep_light": balance.get("keep_light", 0.0), "saved": light},
        "frame": frame,
        "holes": [
            {
                "key": f"h{number}",
                "x_px": hole["x_px"] + frame["left_px"],
                "y_px": hole["y_px"] + frame["top_px"],
                "diameter_px": hole["diameter_px"],
                "label": "" if hole["label"] == str(number) else hole["label"],
                "choice": answer["recipes"][choice]["why"] if choice else "",
            }
            for number, (hole, answer, choice) in enumerate(
                zip(saved["holes"], saved["recipes"], saved["chosen"], strict=True), start=1
            )
        ],
        "away": names["without"],
        "mixing": {**limits, **habits, "insist": names["insist"], **finish},
    }


def _named(box: str, names: Sequence[str]) -> list[str]:
    """Return tubes as the box calls them, whatever a painter called them at the prompt."""
    if not names:
        return []
    tubes = box_from_toml(box, "the painting's box")
    return list(dict.fromkeys(tubes.tube(name).name for name in names))


def _with_shares(
    holes: Sequence[Mapping[str, Any]], saved: Mapping[str, Any]
) -> list[Mapping[str, Any]]:
    """Give each hole the share of the mass that its target stood for."""
    frame, shares = saved["frame"], {}
    for target in saved["targets"]:
        x_px, y_px = target.get("x_px") or 0.0, target.get("y_px") or 0.0
        at = round(x_px + frame["left_px"], 1), round(y_px + frame["top_px"], 1)
        shares[at] = target.get("share")
    return [
        {**hole, "share": shares.get((round(hole["x_px"], 1), round(hole["y_px"], 1)))}
        for hole in holes
    ]


def upgrade_record(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a painting's saved form whose photos left out have a flag in place of a sentence."""
    learnings = [
        {**update, "left_out": [_flagged(row) for row in update["left_out"]]}
        for update in saved.get("learnings", ())
    ]
    return {**saved, "learnings": learnings}


def _flagged(row: Mapping[str, Any]) -> dict[str, Any]:
    flag = {"name": row["why"], "text": row["words"]}
    return {"look": row["look"], "why": row["why"], "flag": flag}


def _of_three(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    return upgrade_record(renamed(_one_request(saved)))


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
    version = saved.get("schema")
    try:
        version = whole(version)
    except ValueError as error:
        raise PaintingError("no_schema_named") from error
    if version > schema:
        raise PaintingError("newer_schema", found=version, known=schema)
    while version < schema:
        if version not in UPGRADES:
            raise PaintingError("unknown_schema", found=version)
        saved = {**UPGRADES[version](saved), "schema": version + 1}
        version += 1
    return saved
