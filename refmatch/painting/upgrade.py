"""Older saved forms, brought up to date one schema at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from refmatch.errors import PaintingError
from refmatch.paint.box_file import box_from_toml
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


def _one_request(saved: Mapping[str, Any]) -> Mapping[str, Any]:
    """From 3: a command said apart how recipes were asked for, and the page alone what was asked.

    What was read in a hole stood beside its target, and a hole did not know its mass.
    """
    left_out = ("holes", "proportion", "options")
    found = {key: value for key, value in saved.items() if key not in left_out}
    found["targets"] = [
        {**target, **{key: hole.get(key) for key in ("spread_delta_e_00", "clipped_fraction")}}
        for target, hole in zip(saved["targets"], saved["holes"], strict=True)
    ]
    asked = saved.get("asked") or _asked_by_command(saved)
    return {**found, "asked": {**asked, "holes": _with_shares(asked["holes"], saved)}}


def _asked_by_command(saved: Mapping[str, Any]) -> dict[str, Any]:
    """Return what would ask for a painting that a command planned, as near as that tells."""
    balance, frame, options = saved["balance"], saved["frame"], saved.get("options") or {}
    told = ("method", "words", "cast_kelvin", "cast_duv", "exposure_factor")
    light = {key: balance[key] for key in told if balance.get(key) is not None}
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
    found = saved.get("schema")
    if not isinstance(found, int) or isinstance(found, bool):
        raise PaintingError("no_schema_named")
    if found > schema:
        raise PaintingError("newer_schema", found=found, known=schema)
    while found < schema:
        if found not in UPGRADES:
            raise PaintingError("unknown_schema", found=found)
        saved = {**UPGRADES[found](saved), "schema": found + 1}
        found += 1
    return saved
