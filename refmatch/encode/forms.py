"""What a type's JSON has beyond its fields, or leaves out."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

import numpy as np

from refmatch.colorimetry.hues import munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe
from refmatch.dabs.verdict import UNTOLD
from refmatch.recipe.doubt import uncertainty
from refmatch.say.dabs import verdict_sentence
from refmatch.say.demonstrations import (
    effect_words,
    paint_words,
    see_words,
    step_value_words,
    strip_words,
    title_words,
)
from refmatch.say.nudges import alone_words, nudge_words, step_words, string_words
from refmatch.say.plan import glaze_words, key_words, squeeze_words
from refmatch.say.sentence import NBSP

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.canvas.verdicts import Judged
    from refmatch.dabs.card import PaintWindow, Window
    from refmatch.dabs.checked import Checked, Checks
    from refmatch.dabs.correct import Addition
    from refmatch.dabs.dab_card import TargetWindow
    from refmatch.paint.box import Box, Tube
    from refmatch.paint.kubelka_munk import Surface
    from refmatch.paint.library import ConvenienceMixture, Pigment
    from refmatch.painting.again import Again
    from refmatch.painting.canvas import CanvasChecked
    from refmatch.painting.model import Added, Done, Look, Mass, Painting, Round
    from refmatch.painting.record import PileNow
    from refmatch.photo.hole import Sample
    from refmatch.photo.light.balance import Balance
    from refmatch.photo.masses import Family
    from refmatch.photo.photo import Photo
    from refmatch.photo.values import ValueStudy
    from refmatch.plan.demonstrations import Demonstration
    from refmatch.plan.glaze import Glaze
    from refmatch.plan.key import Key
    from refmatch.plan.layers import PaintLayer
    from refmatch.plan.roles import Portions
    from refmatch.plan.strips import StripPaint, StripStep
    from refmatch.recipe.advice import Dab
    from refmatch.recipe.model import Answer, Recipe
    from refmatch.recipe.neutral import GreyString
    from refmatch.recipe.nudge import Lesson, Nudge
    from refmatch.sheet.content import CanvasShown
    from refmatch.target import Target

Json = dict[str, Any]
Pairs = Iterable[tuple[str, float]]

DIGITS = 4
"""A ten-thousandth: in Lab far below what any eye or file tells."""


def number(value: float | None, digits: int = DIGITS) -> float | None:
    """Return a rounded number, or None for what is unknown or not finite."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits) + 0.0


def fields(value: Any, *left_out: str) -> Json:
    """Return a dataclass's fields by name, but those left out."""
    names = (field.name for field in dataclasses.fields(value))
    return {name: getattr(value, name) for name in names if name not in left_out}


def looked_at(surface: Surface, finish: str = "gloss", specular: str = "excluded") -> Json:
    """Return how paint is looked at."""
    return {"finish": finish, "specular": specular, "saunderson": fields(surface)}


def doubt(lab: Array, covariance: Array) -> Json:
    """Return how far a colour may be off: covariance in Lab, and dE00 at p50 and p90."""
    p50, p90 = uncertainty(lab, covariance)
    return {
        "covariance": np.asarray(covariance).tolist(),
        "uncertainty_delta_e_00": {"p50": p50, "p90": p90},
    }


def portions_of(pairs: Pairs) -> list[Json]:
    """Return parts of tubes."""
    return [{"tube": tube, "parts": parts} for tube, parts in pairs]


# Recipes


def _answer(answer: Answer) -> Json:
    target = {"lab": answer.target_lab}
    return {**fields(answer, "target_lab"), "target": target}


def _recipe(recipe: Recipe) -> Json:
    known = {} if recipe.covariance is None else doubt(recipe.lab, recipe.covariance)
    return {**fields(recipe, "objective", "covariance"), **known}


def lesson_form(lesson: Lesson) -> list[Json]:
    """Return what moves a puddle each way."""
    return [nudge_form(nudge, nudge_words(lesson, nudge)) for nudge in lesson.nudges]


def alone_form(lesson: Lesson) -> list[Json]:
    """Return what else is reached for, and what it does to a puddle."""
    return [nudge_form(nudge, alone_words(lesson, nudge)) for nudge in lesson.instead]


def nudge_form(nudge: Nudge, words: str) -> Json:
    """Return what one tube does; all but direction and words are null where none can."""
    tube = None if nudge.lab is None else nudge.tube
    return {**fields(nudge), "tube": tube, "words": words}


def grey_string_form(string: GreyString) -> Json:
    """Return the steps from a colour to its grey, each in words too."""
    return {
        **fields(string, "complement", "steps"),
        "complement": portions_of(string.complement),
        "steps": [{**fields(step), "words": step_words(string, step)} for step in string.steps],
        "words": string_words(string),
    }


def demonstration_form(shown: Demonstration, puddle: Portions) -> Json:
    """Return a demonstration with its claim and what to see; without strips it is not shown."""
    return {
        "name": shown.name,
        "title": _plain(title_words(shown, puddle)),
        "words": _plain(see_words(shown)),
        "is_shown": bool(shown.strips),
        "strips": [
            {"words": _plain(strip_words(strip)), **fields(strip)} for strip in shown.strips
        ],
        "flags": shown.flags,
    }


def _plain(words: str) -> str:
    """Return words with no space that keeps them together on paper."""
    return words.replace(NBSP, " ")


def _strip_paint(paint: StripPaint) -> Json:
    return {
        "role": paint.role,
        "name": paint_words(paint),
        "portions": portions_of((tube.name, parts) for tube, parts in paint.portions),
    }


def _strip_step(step: StripStep) -> Json:
    value = _plain(step_value_words(step))
    return {**fields(step), "value_words": value, "words": effect_words(step)}


def glaze_form(glaze: Glaze) -> Json:
    """Return a glaze, and how sure it is."""
    return {
        **fields(glaze, "hides", "p50", "p90"),
        "words": glaze_words(glaze),
        "contrast_ratio": glaze.hides,
        "uncertainty_delta_e_00": {"p50": glaze.p50, "p90": glaze.p90},
    }


def _layer(layer: PaintLayer) -> Json:
    from refmatch.say.layers import coat_words, layer_words

    return {
        "layer": layer.name,
        "film_um": layer.film_um,
        "oil_share": number(layer.oil),
        "days": [number(end, 2) for end in layer.days],
        "slowest": layer.slowest,
        "words": layer_words(layer),
        "puddles": [
            {
                "label": puddle.label,
                "medium": puddle.medium,
                "medium_share": number(puddle.share),
                "oil_share": number(puddle.oil),
                "days": [number(end, 2) for end in puddle.days],
                "words": coat_words(layer, puddle),
            }
            for puddle in layer.puddles
        ],
        "flags": layer.flags,
    }


def _key(key: Key) -> Json:
    return {
        "words": key_words(key),
        "is_identity": key.curve.is_identity,
        "curve_lstar": key.curve.points(),
        "box_lstar": tuple(key.box_range),
        "delta_e_00": key.delta_e_00.tolist(),
        "mean_delta_e_00": key.mean_delta_e_00,
        "flags": key.flags,
    }


# Boxes


def _box(box: Box) -> Json:
    return {"name": box.name, "parts_by": box.parts, "tubes": box.tubes}


def _tube(tube: Tube) -> Json:
    return {
        "tube": tube.name,
        "pigments": tube.pigments,
        "source": tube.source,
        "curves_from": tube.curves_from,
        "grade": tube.grade,
        "strength": tube.strength,
        "swatches": tube.swatches,
        "residual_delta_e_00": tube.residual_delta_e_00,
        "doubt": tube.doubt,
        "flags": tube.flags,
    }


def _dab(dab: Dab) -> Json:
    return {
        "portions": portions_of(dab.portions),
        "doubt_delta_e_00_before": dab.before,
        "doubt_delta_e_00_after": dab.after,
    }


def _pigment(pigment: Pigment) -> Json:
    return fields(pigment, "principal", "absorption", "scattering", "doubt", "raw")


def _mixture(mixture: ConvenienceMixture) -> Json:
    rows = [{"pigment": pigment, "parts": parts} for pigment, parts in mixture.portions]
    return {"key": mixture.key, "name": mixture.name, "portions": rows}


# Photos and what is seen in them


def _photo(photo: Photo) -> Json:
    return {
        "width_px": photo.width_px,
        "height_px": photo.height_px,
        "bit_depth": photo.bit_depth,
        "profile": photo.profile_name,
        "sha256": photo.sha256,
        "flags": photo.flags,
    }


def _balance(balance: Balance) -> Json:
    from refmatch.say.light import light_words

    return {**fields(balance), "words": light_words(balance)}


def _sample(sample: Sample) -> Json:
    return {
        "label": sample.hole.label,
        **fields(sample.hole),
        **fields(sample, "hole", "pixels"),
        "words": describe(sample.lab),
        "munsell_value": munsell_value(sample.lab),
    }


def _family(family: Family) -> Json:
    place = fields(family.hole, "label")  # a mass has no edge to a thousandth of a pixel
    return {
        **fields(family, "hole"),
        **{name: number(value, 2) for name, value in place.items()},
        "words": describe(family.lab),
    }


def _study(study: ValueStudy) -> list[Json]:
    """Return the levels, darkest first."""
    return [
        {"munsell_value": value, "share": share}
        for value, share in zip(study.values, study.shares, strict=True)
    ]


def _mass(mass: Mass) -> Json:
    return {**fields(mass), "words": describe(mass.lab)}


def _target(target: Target) -> Json:
    return {**fields(target, "share"), "words": describe(target.lab)}


# A painting and its record


def sheet_form(painting: Painting, file: object, folder: object) -> Json:
    """Return what a sheet is of: the light, the masses, the targets and their recipes."""
    from refmatch.painting.own_box import box_of

    rows = [
        {
            **_target(target),
            "in_gamut": answer.in_gamut,
            "reach": answer.reach,
            "recipes": answer.recipes,
            "chosen": chosen,
            "rounds": rounds(painting, target.label),
        }
        for target, answer, chosen in zip(
            painting.targets, painting.recipes, painting.chosen, strict=True
        )
    ]
    return {
        "sheet": file,
        "painting": folder,
        "title": painting.title,
        "balance": painting.balance,
        "families": painting.families,
        "targets": rows,
        "layers": painting.layers,
        "photos": painting.others,
        "parts_by": painting.parts_by,
        **looked_at(box_of(painting).surface, painting.finish),
    }


def rounds(painting: Painting, label: str) -> list[Json]:
    """Return what was seen of a target's puddles and done then, oldest first."""
    looks = {look.photo.sha256: look for look in painting.looks}
    return [_round(row, looks.get(row.look)) for row in painting.rounds if row.target == label]


def _round(row: Round, look: Look | None) -> Json:
    """Return one round; the photo and date are null where it is lost."""
    left_out = ("look", "spot", "parts", "measured_covariance", "covariance", "fresh_parts")
    return {
        **fields(row, *left_out),
        "date": look.date if look else None,
        "photo": look.photo.file if look else None,
        "way": look.way if look else None,
        "portions": portions_of(row.parts),
    }


def _added(added: Added) -> Json:
    from refmatch.painting.record import own_parts

    portions = portions_of(own_parts(added))
    return {"name": added.name, "parts": added.parts, "portions": portions}


def _done(done: Done) -> Json:
    return {**fields(done, "anew"), "mixed_anew": done.anew}


def _pile(now: PileNow) -> Json:
    return {
        "portions": portions_of(now.parts),
        "parts": float(sum(share for _, share in now.parts)),
        "pile": now.pile,
        "next_look": now.number,
    }


def again_form(again: Again) -> Json:
    """Return a puddle to be mixed again, and what the box now expects of it."""
    target, box = again.target, again.box
    return {
        "target": {"label": target.label, "lab": target.lab, "words": describe(target.lab)},
        "from": again.ended.source,
        "words": again.ended.words,
        "amount_ml": again.amount_ml if box.parts == "volume" else None,
        "portions": [
            {
                **fields(tube),
                "squeeze": None if tube.volume_ml is None else squeeze_words(tube.volume_ml),
            }
            for tube in again.tubes
        ],
        "lab": again.lab,
        "lab_from": again.lab_from,
        "box_lab": again.box_lab,
        **doubt(again.lab, again.covariance),
        "delta_e_00": again.delta_e_00,
        "last_seen": again.last_look,
        "steps": again.steps,
        "parts_by": box.parts,
        **looked_at(box.surface, again.finish),
    }


# Dabs and cards


def checks_form(checks: Checks) -> Json:
    """Return a whole check: of one dab its own keys, of a whole card a list of ``results``."""
    about = {
        "photo": checks.photo,
        "way": checks.way,
        "state": checks.state,
        "light": checks.light,
        "parts_by": checks.box.parts,
        "learnt": checks.learnt,
    }
    if checks.whole_card:
        return {**about, "results": checks.found}
    return {**about, **_checked(checks.found[0])}


def _checked(dab: Checked) -> Json:
    job, advice, verdict = dab.job, dab.advice, dab.verdict
    return {
        "label": job.label,
        "portions": portions_of(job.parts),
        "pile": job.pile,
        "look": job.number,
        "measured": {
            "lab": dab.measured_lab,
            "delta_e_00": verdict.photo.delta_e_00,
            **doubt(dab.measured_lab, dab.measured_covariance),
        },
        "estimated": {
            "lab": dab.lab,
            "delta_e_00": advice.delta_e_00,
            **doubt(dab.lab, dab.covariance),
        },
        "target": {"lab": job.target_lab},
        "delta_e_00": advice.delta_e_00,
        "delta_lstar": dab.delta_lstar,
        "delta_cstar": dab.delta_cstar,
        "delta_hstar": dab.delta_hstar,
        "words": verdict.words,
        "verdict": verdict.name,
        "nearness": verdict.nearness,
        "sentence": verdict_sentence(*verdict[:3], dab.lacks),
        "would_tell": dab.lacks if verdict.name == UNTOLD else None,
        "advice": advice.words,
        "divide": advice.divide,
        "mix_anew": advice.fresh,
        "corrections": [fields(one, "gain", "risk") for one in advice.corrections],
        "fresh_recipe": dab.fresh,
        "flags": dab.flags,
    }


def canvas_form(checked: CanvasChecked) -> Json:
    """Return a canvas held against its reference; all but the pictures."""
    from refmatch.say.canvas import change_words, sentences

    return {
        "photo": checked.photo,
        "sitting": checked.sitting,
        "date": checked.date,
        "way": checked.way or None,
        "light": checked.light,
        "state": checked.state,
        "corners_px": checked.corners.px,
        "corners_pointed_to": checked.corners.is_pointed,
        "likeness": checked.corners.likeness,
        "light_falls_off_percent": checked.fall.percent,
        "words": sentences(checked.regions, checked.since, checked.changes),
        "regions": checked.regions,
        "steps": [step.values for step in checked.steps],
        "since": checked.since or None,
        "changes": [{**fields(one), "words": change_words(one)} for one in checked.changes],
    }


def _canvas_shown(canvas: CanvasShown) -> Json:
    return fields(canvas, "pictures")


def _judged(judged: Judged) -> Json:
    from refmatch.say.canvas import dimension_words, region_name, verdict_words

    region = judged.region
    return {
        "kind": region.kind,
        "label": region.label,
        "name": region_name(judged),
        "study": region.study or None,
        "share": region.share,
        "x": region.x,
        "y": region.y,
        "target": {"lab": region.target_lab, "munsell_value": munsell_value(region.target_lab)},
        "lab": judged.lab,
        "munsell_value": munsell_value(judged.lab),
        **doubt(judged.lab, judged.covariance),
        "delta_e_00": judged.delta_e_00,
        "verdict": judged.verdict,
        "words": verdict_words(judged),
        "differences": [
            {**fields(each, "above", "below"), "words": dimension_words(each)}
            for each in judged.dimensions
        ],
        "shine": judged.shine,
        "flags": judged.flags,
    }


def _addition(addition: Addition) -> Json:
    into, parts = addition.ingredient, addition.parts
    own = portions_of((tube, parts * share) for tube, share in into.own_parts)
    return {"tube": into.name, "parts": parts, "kind": into.kind, "portions": own}


def _paint_window(window: PaintWindow) -> Json:
    return {**fields(window, "place", "bar"), **_place(window)}


def _target_window(window: TargetWindow) -> Json:
    return {
        "page": window.page,
        "number": window.number,
        "label": window.target,
        "lab": window.lab,
        "words": window.words,
        "recipe": window.recipe or None,
        **_place(window),
    }


def _place(window: Window) -> Json:
    names = ("x_mm", "y_mm", "width_mm", "height_mm")
    return {name: getattr(window.place, name) for name in names}


FORMS: dict[str, Callable[[Any], Json | list[Json]]] = {
    "Added": _added,
    "Addition": _addition,
    "Answer": _answer,
    "Balance": _balance,
    "Box": _box,
    "CanvasShown": _canvas_shown,
    "Checked": _checked,
    "ConvenienceMixture": _mixture,
    "Dab": _dab,
    "Done": _done,
    "Family": _family,
    "Judged": _judged,
    "Key": _key,
    "PaintLayer": _layer,
    "Mass": _mass,
    "PaintWindow": _paint_window,
    "Photo": _photo,
    "Pigment": _pigment,
    "PileNow": _pile,
    "Recipe": _recipe,
    "Sample": _sample,
    "Target": _target,
    "TargetWindow": _target_window,
    "StripPaint": _strip_paint,
    "StripStep": _strip_step,
    "Tube": _tube,
    "ValueStudy": _study,
}
"""What a type's JSON has beyond its fields, or leaves out, by its name.

By name, since a type itself would bring photos with it, which are slow to load, where
only colours are mixed.
"""
