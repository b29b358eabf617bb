"""The plan of a whole painting as JSON: the same at the prompt, in a sheet's file, on the page."""

from __future__ import annotations

from refmatch.colorimetry.words import describe
from refmatch.encode.forms import Json, fields, glaze_form, looked_at, number
from refmatch.paint.box import Box
from refmatch.plan.amounts import FILM_UM, SPARE, Amounts, millilitres, squeezed_cm
from refmatch.plan.choose import REACHED, Choice, weights_of
from refmatch.plan.layers import PaintLayer, layer_at
from refmatch.plan.shop import shop_list
from refmatch.plan.strings import ColourString
from refmatch.plan.whole import WholePlan
from refmatch.say.plan import (
    amount_words,
    distance_words,
    keyed_value_words,
    known_lines,
    palette_words,
    price_lines,
    puddle_words,
    shop_words,
    squeeze_words,
    string_step_words,
    string_words,
    value_words,
    without_words,
    work_words,
)
from refmatch.say.sheet import canvas_words


def plan_form(
    plan: WholePlan, owned: Box, finish: str = "gloss", layers: tuple[PaintLayer, ...] = ()
) -> Json:
    """Return the key, the palette, the mixes and the amounts, to be encoded.

    ``owned`` is the painter's box; ``layers`` are the painting's.
    """
    labels = [target.label for target in plan.targets]
    chosen = plan.advice.chosen
    return {
        "box": plan.box.name,
        "parts_by": plan.box.parts,
        **looked_at(plan.box.surface, finish),
        "key": plan.key,
        "targets": _targets(plan),
        "palette": {
            **_palette(plan.on_table, plan),
            "words": palette_words(plan),
            "cost_delta_e_00": chosen.cost,
            "bound_delta_e_00": chosen.bound,
            "proved": chosen.proved,
            "to_buy": to_buy(chosen.tubes, plan.box, owned),
        },
        "prices": _prices(plan),
        "without": _without(plan),
        "known_palettes": _known(plan),
        "reaches": plan.reaches,
        "puddles": _puddles(plan, labels, layers),
        "strings": [_string(string, labels) for string in plan.strings],
        "glazes": [
            {"label": label, **glaze_form(glaze)}
            for label, glaze in zip(labels, plan.glazes, strict=True)
            if glaze is not None
        ],
        "amounts": _amounts(plan, plan.amounts) if plan.amounts else None,
        "shop": _shop(plan, owned) if plan.amounts else None,
        "layers": layers,
    }


def _shop(plan: WholePlan, owned: Box) -> list[Json]:
    return [
        {**fields(item), "volume_ml": number(item.volume_ml, 2), "words": shop_words(item)}
        for item in shop_list(plan, owned)
    ]


def to_buy(tubes: tuple[str, ...], box: Box, owned: Box) -> list[str]:
    """Return the tubes of a palette whose pigments the painter has in no tube."""
    have = {tube.keys for tube in owned.tubes}
    return [name for name in tubes if box.tube(name).keys not in have]


def _targets(plan: WholePlan) -> list[Json]:
    """Return the targets as they are mixed for, and as the photo has them."""
    return [
        {
            "number": place,
            "label": target.label,
            "lab": target.lab,
            "words": describe(target.lab),
            "share": share,
            "photo_lab": before,
            "key_words": value_words(before, target.lab),
            "value_words": keyed_value_words(before, target.lab),
            "key_flags": cautions,
            "in_gamut": answer.in_gamut,
            "reach": answer.reach,
            "recipe": recipe,
            "flags": target.flags,
        }
        for place, (target, share, before, cautions, answer, recipe) in enumerate(
            zip(
                plan.targets,
                weights_of(plan.shares),
                plan.key.before,
                plan.key.of_each,
                plan.answers,
                plan.recipes,
                strict=True,
            ),
            start=1,
        )
    ]


def _palette(does: Choice, plan: WholePlan) -> Json:
    shares = weights_of(plan.shares)
    return {
        "tubes": does.tubes,
        "nearest_delta_e_00": does.distance.tolist(),
        "mean_nearest_delta_e_00": float(does.distance @ shares),
        "mean_expected_delta_e_00": float(does.expected @ shares),
        "cost_delta_e_00": does.cost,
        "bound_delta_e_00": does.bound,
        "not_reached": [plan.targets[place].label for place in does.missed],
    }


def _prices(plan: WholePlan) -> list[Json]:
    """Return the best palette of each number of tubes, and what it costs beside one more."""
    choices = plan.advice.prices
    more = [*(choice.cost for choice in choices[1:]), None]
    return [
        {
            "count": len(choice.tubes),
            **_palette(choice, plan),
            "proved": choice.proved,
            "price_delta_e_00": None if next_cost is None else choice.cost - next_cost,
            "words": words,
        }
        for choice, next_cost, words in zip(choices, more, price_lines(plan), strict=True)
    ]


def _without(plan: WholePlan) -> list[Json]:
    """Return what each tube of the palette is worth, and what is lost without it."""
    chosen = plan.advice.chosen
    return [
        {
            "tube": tube,
            "price_delta_e_00": left.cost - chosen.cost,
            "words": without_words(plan, tube),
            "lost": [
                target.label
                for target, here, there in zip(
                    plan.targets, chosen.distance, left.distance, strict=True
                )
                if here <= REACHED < there
            ],
        }
        for tube, left in plan.advice.without.items()
    ]


def _known(plan: WholePlan) -> list[Json]:
    """Return the palettes of the trade, and what the tube that helps each most makes of it."""
    return [
        {
            "name": known.name,
            "missing": known.missing,
            "words": words,
            **_palette(does, plan),
            "helped_by": None if helper is None else helper[0],
            "with_help": None if helper is None else _palette(helper[1], plan),
        }
        for (known, does), helper, words in zip(
            plan.advice.known, plan.advice.helpers, known_lines(plan), strict=True
        )
    ]


def _puddles(plan: WholePlan, labels: list[str], layers: tuple[PaintLayer, ...]) -> Json:
    """Return the order of work: every puddle after the one that it is drawn from."""
    puddles = plan.puddles
    return {
        **fields(puddles, "puddles", "hurries"),
        "words": work_words(puddles),
        "order": [
            {
                **fields(puddle, "net"),
                "words": puddle_words(puddle, puddles),
                "target": None if puddle.target is None else labels[puddle.target],
                "layer": layer_at(puddle.layer) if layers else None,
                "distance_words": distance_words(plan, puddle),
            }
            for puddle in puddles.puddles
        ],
    }


def _string(string: ColourString, labels: list[str]) -> Json:
    """Return a string from light to shadow; steps are counted from 0, the lightest."""
    return {
        **fields(string),
        "words": string_words(string),
        "targets": [labels[place] for place in string.targets],
        "work_order": string.in_work_order,
        "steps": [
            {
                **fields(step, "net", "wanted"),
                "wanted_lab": step.wanted,
                "colour_words": describe(step.lab),
                "words": string_step_words(string, place),
            }
            for place, step in enumerate(string.steps)
        ],
    }


def _amounts(plan: WholePlan, amounts: Amounts) -> Json:
    """Return what the canvas takes, and what it was worked out with."""
    canvas = amounts.canvas
    return {
        "canvas_cm": (float(canvas.width_cm), float(canvas.height_cm)),
        "film_um": FILM_UM,
        "spare": SPARE,
        "words": canvas_words(amounts.canvas),
        "puddles": [
            {
                "label": puddle.label,
                **_volume(float(ml)),
                "squeeze_words": f"{squeeze_words(float(ml))} ({millilitres(float(ml))})",
            }
            for puddle, ml in zip(plan.puddles.puddles, amounts.puddles_ml, strict=True)
        ],
        "tubes": [
            {
                "tube": tube,
                **_volume(ml),
                "squeezed_cm": squeezed_cm(ml),
                "squeeze_words": amount_words(plan, tube),
            }
            for tube, ml in amounts.tubes_ml.items()
        ],
    }


def _volume(ml: float) -> Json:
    return {"volume_ml": number(ml, 2), "words": squeeze_words(ml)}
