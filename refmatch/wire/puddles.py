"""The order of work: mother puddles and what is drawn from them, strings, and glazes."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.words import describe
from refmatch.recipe.glaze import Glaze
from refmatch.recipe.puddles.model import Plan
from refmatch.recipe.puddles.strings import ColourString
from refmatch.say.plan import (
    glaze_words,
    puddle_words,
    string_step_words,
    string_words,
    work_words,
)
from refmatch.wire.envelope import Json, number, wire_lab
from refmatch.wire.mixing import wire_laid


def wire_puddles(found: Plan, labels: Sequence[str]) -> Json:
    """Return the order of work: every puddle after the one that it is drawn from."""
    return {
        "words": list(work_words(found)),
        "from_tubes": found.from_tubes,
        "alone": found.alone,
        "laid_out": found.laid_out,
        "laid_out_alone": found.laid_out_alone,
        "mean_delta_e_00": number(found.mean_delta_e_00),
        "mean_alone_delta_e_00": number(found.mean_alone_delta_e_00),
        "skins_first": list(found.skins_first),
        "order": [
            {
                "label": puddle.label,
                "drawn_from": puddle.drawn_from,
                "of_it": puddle.of_it,
                "laid_out": [wire_laid(laid) for laid in puddle.laid],
                "lab": wire_lab(puddle.lab),
                "target": None if puddle.target is None else labels[puddle.target],
                "delta_e_00": number(puddle.delta_e_00),
                "alone_delta_e_00": number(puddle.alone_delta_e_00),
                "share": number(puddle.share),
                "dries": puddle.dries,
                "words": puddle_words(puddle, found),
            }
            for puddle in found.puddles
        ],
    }


def wire_string(string: ColourString, labels: Sequence[str]) -> Json:
    """Return a string from light to shadow; steps are counted from 0, the lightest."""
    return {
        "label": string.label,
        "targets": [labels[place] for place in string.targets],
        "start": string.start,
        "work_order": list(string.in_work_order),
        "words": string_words(string),
        "steps": [
            {
                "drawn_from": step.drawn_from,
                "of_it": step.of_it,
                "laid_out": [wire_laid(laid) for laid in step.laid],
                "lab": wire_lab(step.lab),
                "colour_words": describe(step.lab),
                "wanted_lab": wire_lab(step.wanted),
                "delta_e_00": number(step.delta_e_00),
                "words": string_step_words(string, place),
            }
            for place, step in enumerate(string.steps)
        ],
    }


def wire_glaze(label: str, glaze: Glaze) -> Json:
    """Return a glaze over a dry light layer for a target, and how sure it is."""
    return {
        "label": label,
        "ground": [wire_laid(laid) for laid in glaze.ground],
        "laid_out": [wire_laid(laid) for laid in glaze.laid],
        "lab": wire_lab(glaze.lab),
        "ground_lab": wire_lab(glaze.ground_lab),
        "over_white_lab": wire_lab(glaze.over_white_lab),
        "contrast_ratio": number(glaze.hides),
        "delta_e_00": number(glaze.delta_e_00),
        "uncertainty_delta_e_00": {"p50": number(glaze.p50), "p90": number(glaze.p90)},
        "words": glaze_words(glaze),
    }
