"""What the page is told of colours, recipes and paintings, so that it works nothing out itself."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.hues import hue_name, lstar_from_value, munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe, value_words
from refmatch.encode import Json, encode, envelope, number
from refmatch.errors import RefmatchError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.library import mixtures, names_of, pigments
from refmatch.paint.names import neighbours
from refmatch.paint.oil import mediums
from refmatch.painting.model import TubeOnTable
from refmatch.painting.puddles import same_colours, served_by
from refmatch.painting.record import last_dry
from refmatch.photo.picture import GROUNDS
from refmatch.plan.layers import LAYERS, puddle_in
from refmatch.plan.recipes import FIRST
from refmatch.recipe.model import Answer
from refmatch.say.layers import cares, coat_words, ground_words
from refmatch.say.light import light_words
from refmatch.say.sentence import sentence_of
from refmatch.web.colours import filled
from refmatch.web.recipes import KEPT, recipe_shown
from refmatch.web.remedies import REMEDIES

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.asked import Asked
    from refmatch.photo.hole import Sample
    from refmatch.photo.light.balance import Balance
    from refmatch.photo.values import ValueStudy
    from refmatch.recipe.outline import Outline
    from refmatch.web.shelf import Card, Damaged
    from refmatch.web.sitting import Sitting


def page(content: Json, flags: Iterable[Flag] = ()) -> Json:
    """Return all that one answer says to the page; every bare Lab in it becomes a colour."""
    shown: Json = filled(envelope(content, flags, REMEDIES, bare=True))
    return shown


def part(content: object) -> Json:
    """Return a smaller answer, which states no more than it says."""
    shown: Json = filled(encode(content, REMEDIES, bare=True))
    return shown


def sitting_shown(sitting: Sitting) -> Json:
    """Return a painting as it stands on the page."""
    painting, asked = sitting.painting, sitting.painting.asked
    firsts = same_colours(painting.targets)
    serving = served_by(sitting.holes, firsts)
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
        "holes": [
            {**_hole(sitting, index, same, serves), "heading": heading}
            for index, (same, serves, heading) in enumerate(
                zip(firsts, serving, _headings(sitting), strict=True)
            )
        ],
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
        "ground": asked.ground,
        "grounds": list(GROUNDS),
        "ground_words": _ground_words(sitting),
        "cares": list(cares(painting.layers)),
        "photos": [photo.name for photo in asked.photos],
        "shown": sitting.shown,
        "layer_names": list(LAYERS),
        "mediums": [
            {
                "key": medium.key,
                "name": medium.name,
                "usual_percent": number(100.0 * medium.usual, 1),
                "most_percent": number(100.0 * medium.most, 1),
            }
            for medium in mediums().values()
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
        "frame": {
            "left_px": photo.left_px,
            "top_px": photo.top_px,
            "width_px": photo.width_px,
            "height_px": photo.height_px,
        },
        "look": sitting.look,
        "bit_depth": photo.bit_depth,
        "profile": photo.profile_name,
        "flags": tuple(photo.flags),
    }


def _light(sitting: Sitting) -> Json:
    balance, frame = sitting.balance, sitting.photo
    asked = dataclasses.asdict(sitting.light)
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


def _hole(sitting: Sitting, index: int, same: int, serves: int) -> Json:
    """Return a hole; ``same`` is the first of its colour, ``serves`` whose puddle does for it."""
    painting, hole = sitting.painting, sitting.holes[index]
    coat = puddle_in(painting.layers, index)
    target, answer = painting.targets[index], painting.recipes[index]
    return {
        "key": hole.key,
        "photo": hole.photo,
        "number": index + 1,
        "label": target.label,
        "named": bool(hole.label),
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
        "same_as": same + 1 if same != index else None,
        "joined": serves != index and painting.plan is None,
        "without": list(hole.without),
        "insist": list(hole.insist),
        "dry": None if hole.dry is None else np.array(hole.dry),
        "seen_dry": last_dry(painting, target.label),
        "layer": hole.layer,
        "medium": hole.medium,
        "medium_percent": number(hole.medium_percent, 1),
        "layer_words": coat_words(*coat) if coat else "",
        "layer_flags": coat[0].flags if coat else (),
        "chosen": painting.chosen[index],
        "held": painting.plan is not None and answer.recipes[0].why != FIRST,
        "recipes": KEPT.shown(answer.recipes, sitting.box, painting.table),
    }


def _headings(sitting: Sitting) -> list[str]:
    """Return what each hole is called on the page: no two alike.

    Holes without a name are called by their hue; where two share it, by their value too, and then
    by their number.
    """
    labs = [target.lab for target in sitting.painting.targets]
    called = [
        hole.label or _hue_name(*map(float, lab))
        for hole, lab in zip(sitting.holes, labs, strict=True)
    ]
    for more in (value_words, None):
        shared = {name for name in called if called.count(name) > 1}
        for place, hole in enumerate(sitting.holes):
            if called[place] in shared and not hole.label:
                told = more(labs[place]) if more else f"hole {place + 1}"
                called[place] = f"{called[place]}, {told}"
    return called


def _ground_words(sitting: Sitting) -> str:
    """Say how the colours look alone on the canvas's ground, "" where nothing is said of it."""
    painting, ground = sitting.painting, sitting.painting.asked.ground
    if not ground or not painting.targets:
        return ""
    labs = tuple((place, target.lab) for place, target in enumerate(painting.targets, start=1))
    return ground_words(ground, GROUNDS[ground], labs)


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
