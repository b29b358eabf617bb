"""A painting on the page: all that is shown of it, so that the page works nothing out itself."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.hues import hue_name, lstar_from_value, munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe, value_words
from refmatch.encode import Json, number
from refmatch.paint.library import pigments
from refmatch.plan.recipes import FIRST
from refmatch.say.light import light_words
from refmatch.web.shown import page, part, recipe_shown

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.asked import Asked
    from refmatch.photo.hole import Sample
    from refmatch.photo.light.balance import Balance
    from refmatch.photo.values import ValueStudy
    from refmatch.recipe.outline import Outline
    from refmatch.web.desk import Reading, Sitting


def sitting_shown(sitting: Sitting) -> Json:
    """Return a painting as it stands on the page."""
    painting, asked = sitting.painting, sitting.painting.asked
    content = {
        "id": sitting.key,
        "title": painting.title,
        "date": painting.date,
        "revision": painting.revision,
        "saved_at": sitting.saved_at,
        "undo": sitting.undo,
        "redo": sitting.redo,
        "photo": _photo(sitting),
        "light": _light(sitting),
        "canvas": dataclasses.asdict(asked.canvas) if asked.canvas else None,
        "holes": [_hole(sitting, index) for index in range(len(sitting.holes))],
        "box": _box(sitting),
        "options": dataclasses.asdict(asked.mixing),
        "plan": {"keyed": asked.plan.keyed, "tubes": asked.plan.tubes} if asked.plan else None,
        "values": _values(sitting),
        "masses": [
            {
                "label": mass.label,
                "colour": mass.lab,
                "share": number(mass.share),
                "words": describe(mass.lab),
            }
            for mass in painting.families
        ],
    }
    return page(content, painting.flags)


def reading_shown(reading: Reading) -> Json:
    """Return the colour at a place, and where it was asked for the best recipe for it."""
    sample, answer = reading.sample, reading.answer
    content: Json = {
        "colour": sample.lab,
        "munsell_value": number(float(munsell_value(sample.lab)), 2),
        "words": describe(sample.lab),
        "flags": tuple(sample.flags),
    }
    if answer is not None:
        content["in_gamut"] = answer.in_gamut
        content["reach"] = answer.reach
        content["recipe"] = recipe_shown(answer.recipes[0], reading.box, reading.table)
    return part(content)


def guesses_shown(guesses: Mapping[str, Balance | None]) -> Json:
    """Return what the automatic estimates say of the light."""
    rows = [_guess(method, balance) for method, balance in guesses.items() if balance is not None]
    return part({"guesses": rows})


def reach_shown(outline: Outline) -> Json:
    """Return the outline of what tubes can mix, as [a*, b*], for all values and for each."""
    by_value = [
        {"munsell_value": value, "outline": _points(points)}
        for value, points in sorted(outline.by_value.items())
    ]
    return part({"outline": _points(outline.whole), "by_value": by_value})


def _guess(method: str, balance: Balance) -> Json:
    return {
        "method": method,
        **cast_shown(balance),
        "confidence": number(balance.confidence, 3),
        "flags": tuple(balance.flags),
    }


def _points(points: Array) -> list[list[float | None]]:
    return [[number(a, 2), number(b, 2)] for a, b in points]


def _photo(sitting: Sitting) -> Json:
    photo = sitting.photo
    whole_width_px, whole_height_px = sitting.whole_px
    return {
        "width_px": photo.width_px,
        "height_px": photo.height_px,
        "whole_width_px": whole_width_px,
        "whole_height_px": whole_height_px,
        "frame": dataclasses.asdict(sitting.painting.frame),
        "look": sitting.look,
        "bit_depth": photo.bit_depth,
        "profile": photo.profile_name,
        "flags": tuple(photo.flags),
    }


def _light(sitting: Sitting) -> Json:
    balance, frame = sitting.painting.balance, sitting.painting.frame
    asked = dataclasses.asdict(sitting.painting.asked.light)
    asked.pop("saved")
    asked["method"] = asked["method"] or "as-shot"
    asked["keep_light_percent"] = asked.pop("keep_light")
    if asked["x_px"] is not None:
        asked["x_px"] -= frame.left_px
        asked["y_px"] -= frame.top_px
    return {
        "asked": asked,
        "method": balance.method,
        **cast_shown(balance),
        "keep_light_percent": number(balance.keep_light_percent, 2),
        "confidence": number(balance.confidence, 3),
        "flags": tuple(balance.flags),
    }


def _hole(sitting: Sitting, index: int) -> Json:
    painting, hole = sitting.painting, sitting.holes[index]
    target, answer = painting.targets[index], painting.recipes[index]
    return {
        "key": hole.key,
        "number": index + 1,
        "label": target.label,
        "named": bool(hole.label),
        "heading": hole.label or _hue_name(*map(float, target.lab)),
        "x_px": number(target.x_px, 3),
        "y_px": number(target.y_px, 3),
        "diameter_px": number(target.diameter_px, 3),
        "colour": target.lab,
        "munsell_value": number(float(munsell_value(target.lab)), 2),
        "words": painting.words[index].colour,
        "spread_delta_e_00": number(target.spread_delta_e_00),
        "clipped_fraction": number(target.clipped_fraction),
        "flags": tuple(target.flags),
        "neighbours": list(painting.words[index].neighbours),
        "in_gamut": answer.in_gamut,
        "reach": answer.reach,
        "gap_delta_e_00": number(answer.gap_delta_e_00),
        "without": list(hole.without),
        "insist": list(hole.insist),
        "chosen": painting.chosen[index],
        "held": painting.plan is not None and answer.recipes[0].why != FIRST,
        "recipes": [recipe_shown(recipe, sitting.box, painting.table) for recipe in answer.recipes],
    }


@functools.lru_cache(512)
def _hue_name(lightness: float, a: float, b: float) -> str:
    return hue_name(np.array([lightness, a, b]))


def _box(sitting: Sitting) -> Json:
    asked: Asked = sitting.painting.asked
    return {
        "name": sitting.box.name,
        "parts_by": sitting.box.parts,
        "tubes": [
            {
                "tube": tube.name,
                "pigments": [_index_names(pigment) for pigment in tube.pigments],
                "is_white": tube.is_white,
                "away": tube.name in asked.away,
                "masstone": tube.masstone,
                "tint": tube.tint,
                "cautions": list(tube.cautions),
            }
            for tube in sitting.painting.table
        ],
    }


def _index_names(pigment: str) -> str:
    """Return what stands on a tube: Colour Index names, where a pigment is known by its key."""
    known = pigments().get(pigment)
    return ", ".join(known.index_names) if known and known.index_names else pigment


def _values(sitting: Sitting) -> list[Json]:
    values = sitting.painting.values
    if values is None:
        return []
    return [
        {"munsell_value": number(step, 2), "share": number(share)}
        for step, share in zip(values.steps, values.shares, strict=True)
    ]


def spot_shown(sample: Sample, balance: Balance | None, refused: str = "") -> Json:
    """Return what a spot looks like as shot, and what it says of the light.

    ``light`` is null where it says nothing that can be used, and ``refused`` says why.
    """
    spot = {
        "colour": sample.lab,
        "munsell_value": number(float(munsell_value(sample.lab)), 2),
        "words": describe(sample.lab),
        "light": None if balance is None else cast_shown(balance),
        "flags": tuple(sample.flags if balance is None else balance.flags),
        "refused": refused or None,
    }
    return part(spot)


def cast_shown(balance: Balance) -> Json:
    """Return the light in words and figures; the exposure in stops, plus where it lightens.

    Figures are as fine as they can be meant: by a spot that is truly neutral the light
    is known to a hundred kelvin or so, and a guess is further off.
    """
    return {
        "words": light_words(balance),
        "cast_kelvin": number(balance.cast_kelvin, -2),
        "cast_duv": number(balance.cast_duv, 3),
        "exposure_stops": number(float(np.log2(balance.exposure_factor)), 2),
    }


def values_shown(study: ValueStudy) -> Json:
    """Return the values of a study, darkest first, each with its grey and its share."""
    rows = []
    for value, share in zip(study.values, study.shares, strict=True):
        grey = np.array([float(lstar_from_value(value)), 0.0, 0.0])
        rows.append(
            {
                "munsell_value": number(value, 2),
                "words": value_words(grey),
                "share": number(share),
                "colour": grey,
            }
        )
    return part({"values": rows})
