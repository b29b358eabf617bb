"""What the page is told of colours, recipes and paintings, so that it works nothing out itself."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from refmatch.colorimetry.display import css_p3, css_srgb, screens
from refmatch.colorimetry.hues import hue_name, lstar_from_value, munsell_value
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe, value_words
from refmatch.encode import Json, Ready, encode, envelope, number
from refmatch.errors import RefmatchError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.library import mixtures, names_of, pigments
from refmatch.paint.names import neighbours
from refmatch.painting.model import TubeOnTable
from refmatch.plan.recipes import FIRST
from refmatch.recipe.lamps import labs_under_lamps
from refmatch.recipe.mixture import predict
from refmatch.recipe.model import Answer, Laid, Recipe
from refmatch.recipe.together import spectrum
from refmatch.say.light import light_words
from refmatch.say.recipe import (
    difference_words,
    distance_words,
    laid_rows,
    straight_words,
    total_words,
)
from refmatch.say.sentence import sentence_of
from refmatch.web.remedies import REMEDIES

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.asked import Asked
    from refmatch.photo.hole import Sample
    from refmatch.photo.light.balance import Balance
    from refmatch.photo.values import ValueStudy
    from refmatch.recipe.outline import Outline
    from refmatch.target import Target
    from refmatch.web.desk import Sitting
    from refmatch.web.shelf import Card, Damaged


def page(content: Json, flags: Iterable[Flag] = ()) -> Json:
    """Return all that one answer says to the page; every bare Lab in it becomes a colour."""
    shown: Json = filled(envelope(content, flags, REMEDIES, bare=True))
    return shown


def part(content: object) -> Json:
    """Return a smaller answer, which states no more than it says."""
    shown: Json = filled(encode(content, REMEDIES, bare=True))
    return shown


def colour(lab: Array) -> Json:
    """Return one colour, (3,) Lab of D50: ``lab``, ``srgb``, ``p3`` and ``fits``."""
    return colours([lab])[0]


def filled(content: Any) -> Any:
    """Return JSON-ready content with every bare Lab array in it, (3,), shown as a colour.

    All of them are worked out in one go: a painting's page has hundreds.
    """
    labs: list[Array] = []
    _gather(content, labs)
    shown = iter(colours(labs))
    return _put(content, shown)


def _gather(content: Any, labs: list[Array]) -> None:
    if isinstance(content, Ready):
        return
    if isinstance(content, np.ndarray):
        labs.append(content)
    for item in content.values() if isinstance(content, dict) else _listed(content):
        _gather(item, labs)


def _put(content: Any, shown: Iterator[Json]) -> Any:
    if isinstance(content, np.ndarray):
        return next(shown)
    if isinstance(content, dict) and not isinstance(content, Ready):
        return {key: _put(item, shown) for key, item in content.items()}
    return [_put(item, shown) for item in content] if isinstance(content, list) else content


def _listed(content: Any) -> list[Any]:
    return content if isinstance(content, list) else []


def colours(labs: Iterable[Array]) -> list[Json]:
    """Return many colours at once, (n, 3): far quicker than one by one.

    ``srgb`` and ``p3`` are CSS; where a screen cannot show the colour they keep its
    lightness and hue, and ``fits`` ("srgb", "p3" or "none") says so.
    """
    stacked = np.array([np.asarray(lab, dtype=float) for lab in labs]).reshape(-1, 3)
    return [
        {"lab": encode(lab), "srgb": srgb, "p3": p3, "fits": fits}
        for lab, srgb, p3, fits in zip(
            stacked, css_srgb(stacked), css_p3(stacked), screens(stacked), strict=True
        )
    ]


def recipe_shown(recipe: Recipe, box: Box, table: Sequence[TubeOnTable]) -> Json:
    """Return a recipe's JSON with what a slip shows besides; colours are left bare Lab.

    Args:
        recipe: mixed from this box.
        box: the whole box, with the skin that its paint is looked at with.
        table: its tubes' masstones.

    Added are ``colour``, ``lines`` (what is taken of a puddle, its tube null, and what is laid
    out, most first, each with its own colour and its share of the whole, 0 to 1), ``under`` (its
    colour by lamp), a colour after every step, ``straight_words``, ``total_words``,
    ``distance_words`` and ``difference_words``.
    `page` makes colours of bare Lab.

    Raises:
        UnknownTube: the recipe names a tube that is not in the box.
    """
    said = encode(recipe, REMEDIES)
    for step, mixed in zip(said["steps"], recipe.steps, strict=True):
        step["colour"] = mixed.lab
    rows = laid_rows(recipe)
    total, source = sum(parts for parts, _ in rows), recipe.from_puddle
    paints = [(laid.tube, _laid_colour(laid, recipe, box, table)) for laid in recipe.laid_out]
    return {
        **said,
        "colour": recipe.lab,
        "lines": [
            {
                "parts": parts,
                "tube": tube,
                "words": words,
                "colour": lab,
                "share": round(parts / total, 4),
            }
            for (parts, words), (tube, lab) in zip(
                rows, [(None, source.lab), *paints] if source else paints, strict=True
            )
        ],
        "straight_words": straight_words(recipe),
        "total_words": total_words(recipe, box.parts),
        "distance_words": distance_words(recipe),
        "difference_words": difference_words(recipe),
        "under": labs_under_lamps(spectrum(recipe, box)),
    }


@functools.lru_cache(2048)
def _recipe(recipe: Recipe, box: Box, table: tuple[TubeOnTable, ...]) -> Ready:
    """Return what is shown of a recipe, made once: each click shows all holes anew."""
    return Ready(part(recipe_shown(recipe, box, table)))


def _laid_colour(laid: Laid, recipe: Recipe, box: Box, table: Sequence[TubeOnTable]) -> Array:
    """Return the colour of a tube, or of a let-down of it, as it is laid out."""
    if not laid.let_down_white_parts:
        return next(tube.masstone for tube in table if tube.name == laid.tube)
    tubes = [box.tube(laid.tube), _white(recipe, box)]
    return predict(tubes, [1.0, laid.let_down_white_parts], box.surface)


def _white(recipe: Recipe, box: Box) -> Tube:
    """Return the white that let-downs were made in: where the box's is held out, the next."""
    used = [box.tube(portion.tube) for portion in recipe.portions]
    whites = [tube for tube in used if tube.is_white]
    return box.white if box.white in whites or not whites else whites[0]


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
    return page(content, sitting.flags)


def reading_shown(
    sample: Sample, answer: Answer | None, box: Box, table: Sequence[TubeOnTable]
) -> Json:
    """Return the colour at a place, and where it was asked for the best recipe for it.

    ``box`` and ``table`` are as in `recipe_shown`.
    """
    content: Json = {
        "colour": sample.lab,
        "munsell_value": number(float(munsell_value(sample.lab)), 2),
        "words": describe(sample.lab),
        "flags": tuple(sample.flags),
    }
    if answer is not None:
        content["in_gamut"] = answer.in_gamut
        content["reach"] = answer.reach
        content["recipe"] = recipe_shown(answer.recipes[0], box, table)
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
    same = _same_as(painting.targets, index)
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
        "same_as": same + 1 if same is not None else None,
        "without": list(hole.without),
        "insist": list(hole.insist),
        "chosen": painting.chosen[index],
        "held": painting.plan is not None and answer.recipes[0].why != FIRST,
        "recipes": [_recipe(recipe, sitting.box, painting.table) for recipe in answer.recipes],
    }


SAME_DELTA_E_00 = 1.0
"""Up to here two colours pass for one: about the least difference seen edge to edge (common
practice, no source), and less than any hand mixes twice."""


def _same_as(targets: Sequence[Target], index: int) -> int | None:
    """Return the place of the first target before this one that has the same colour."""
    if not index:
        return None
    before = np.array([target.lab for target in targets[:index]])
    near = delta_e_00(before, targets[index].lab) <= SAME_DELTA_E_00
    return int(np.argmax(near)) if near.any() else None


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


def start_shown(
    cards: Iterable[Card],
    damaged: Iterable[Damaged],
    samples: Iterable[str],
    boxes: Mapping[str, Box],
    table: Iterable[TubeOnTable],
) -> Json:
    """Return paintings, sample photos, boxes, pigments and labels to begin with.

    ``table`` holds each built-in pigment and ready mixture as a tube, named by its key; the labels
    are those of colorants that are only known by a neighbour.
    """
    content = {
        "paintings": [_card(card) for card in cards],
        "damaged": [
            {"id": row.key, "name": row.name, "saved_at": row.saved_at, "why": _why(row)}
            for row in damaged
        ],
        "samples": [{"name": name, "title": _title(name)} for name in samples],
        "boxes": [
            {"id": key, "name": box.name, "tubes": [tube.name for tube in box.tubes]}
            for key, box in boxes.items()
        ],
        "pigments": [
            {**_paint_shown(tube), "masstone": tube.masstone, "tint": tube.tint} for tube in table
        ],
        "labels": [
            {"label": row.label, "names": row.names, "like": row.neighbour, "why": row.why}
            for row in neighbours()
        ],
    }
    return page(content)


def _paint_shown(tube: TubeOnTable) -> Json:
    """Return a built-in pigment, or a ready mixture in the same form, and what it is called."""
    called = {"called": list(names_of(tube.name))}
    if tube.name in pigments():
        return {**encode(pigments()[tube.name]), **called}
    mixture = mixtures()[tube.name]
    own = {"key": mixture.key, "name": mixture.name, "index_names": [], "opacity": ""}
    return {**own, "cautions": list(tube.cautions), **called}


def _why(row: Damaged) -> str:
    """Say what is wrong with a painting; the way to rescue it stands beside on the page."""
    cause = row.why.values.get("why", row.why)
    return sentence_of(cause, REMEDIES) if isinstance(cause, Flag | RefmatchError) else ""


def _card(card: Card) -> Json:
    return {
        "id": card.key,
        "title": card.title,
        "date": card.date,
        "saved_at": card.saved_at,
        "holes": card.holes,
        "colours": list(card.colours),
    }


def _title(name: str) -> str:
    words = name.replace("-", " ")
    return words[:1].upper() + words[1:]
