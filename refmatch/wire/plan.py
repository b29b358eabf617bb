"""The plan of a whole painting."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.words import describe
from refmatch.paint.box import Box
from refmatch.recipe.amounts import FILM_UM, SPARE, Amounts, squeeze_words, squeezed_cm
from refmatch.recipe.key import Key
from refmatch.recipe.palette.advise import Advice, Reach
from refmatch.recipe.palette.choice import REACHED, Choice, weights_of
from refmatch.recipe.puddles.model import Plan
from refmatch.recipe.whole_plan import WholePlan
from refmatch.wire.envelope import Json, number, wire_flags, wire_lab
from refmatch.wire.mixing import wire_recipe, wire_surface
from refmatch.wire.puddles import wire_glaze, wire_puddles, wire_string


def wire_plan(plan: WholePlan, owned: Box, finish: str = "gloss") -> Json:
    """Return the key, the palette, the mixes and the amounts; ``owned`` is the painter's box."""
    labels = [target.label for target in plan.targets]
    return {
        "box": plan.box.name,
        "parts_by": plan.box.parts,
        **wire_surface(plan.box.surface, finish, "excluded"),
        "key": wire_key(plan.key),
        "targets": _targets(plan),
        "palette": {
            **_palette(plan.on_table, plan, labels),
            "cost_delta_e_00": number(plan.advice.chosen.cost),
            "bound_delta_e_00": number(plan.advice.chosen.bound),
            "proved": plan.advice.chosen.proved,
            "to_buy": to_buy(plan.advice.chosen.tubes, plan.box, owned),
        },
        "prices": _prices(plan.advice, plan, labels),
        "without": _without(plan.advice, plan, labels),
        "known_palettes": _known(plan, labels),
        "reaches": [wire_reach(reach) for reach in plan.reaches],
        "puddles": wire_puddles(plan.puddles, labels),
        "strings": [wire_string(string, labels) for string in plan.strings],
        "glazes": [
            wire_glaze(label, glaze)
            for label, glaze in zip(labels, plan.glazes, strict=True)
            if glaze is not None
        ],
        "amounts": wire_amounts(plan.amounts, plan.puddles) if plan.amounts else None,
    }


def _targets(plan: WholePlan) -> list[Json]:
    """Return the targets as they are mixed for, and as the photo has them."""
    return [
        {
            "label": target.label,
            "lab": wire_lab(target.lab),
            "words": describe(target.lab),
            "share": number(share),
            "photo_lab": wire_lab(before),
            "in_gamut": answer.in_gamut,
            "reach": answer.reach,
            "recipe": wire_recipe(recipe),
            "flags": wire_flags(target.flags),
        }
        for target, share, before, answer, recipe in zip(
            plan.targets,
            weights_of(plan.shares),
            plan.key.before,
            plan.answers,
            plan.recipes,
            strict=True,
        )
    ]


def wire_key(key: Key) -> Json:
    """Return the curve as points of L*, and what it changes."""
    return {
        "words": key.words,
        "is_identity": key.curve.is_identity,
        "curve_lstar": [[number(x, 3) for x in point] for point in key.curve.points()],
        "box_lstar": [number(end, 3) for end in key.box_range],
        "delta_e_00": [number(each) for each in key.delta_e_00],
        "mean_delta_e_00": number(key.mean_delta_e_00),
    }


def wire_reach(reach: Reach) -> Json:
    """Return a palette's outline in the plane of a* and b*, its corners in order of hue."""
    corners = [[number(value, 2) for value in corner] for corner in reach.outline_ab]
    return {"name": reach.name, "tubes": list(reach.tubes), "outline_ab": corners}


def wire_amounts(found: Amounts, puddles: Plan) -> Json:
    """Return what the canvas takes, and what it was reckoned with."""
    return {
        "canvas_cm": [number(found.canvas.width_cm), number(found.canvas.height_cm)],
        "film_um": number(FILM_UM),
        "spare": number(SPARE),
        "puddles": [
            {"label": puddle.label, "volume_ml": number(ml, 2), "words": squeeze_words(ml)}
            for puddle, ml in zip(puddles.puddles, found.puddles_ml, strict=True)
        ],
        "tubes": [
            {
                "tube": tube,
                "volume_ml": number(ml, 2),
                "squeezed_cm": number(squeezed_cm(ml), 1),
                "words": squeeze_words(ml),
            }
            for tube, ml in found.tubes_ml.items()
        ],
    }


def to_buy(tubes: Sequence[str], box: Box, owned: Box) -> list[str]:
    """Return the tubes of a palette whose pigments the painter has in no tube."""
    have = {tube.keys for tube in owned.tubes}
    return [name for name in tubes if box.tube(name).keys not in have]


def _palette(does: Choice, plan: WholePlan, labels: Sequence[str]) -> Json:
    shares = weights_of(plan.shares)
    return {
        "tubes": list(does.tubes),
        "nearest_delta_e_00": [number(each, 2) for each in does.distance],
        "mean_nearest_delta_e_00": number(float(does.distance @ shares)),
        "mean_expected_delta_e_00": number(float(does.expected @ shares)),
        "cost_delta_e_00": number(does.cost),
        "bound_delta_e_00": number(does.bound),
        "not_reached": [labels[place] for place in does.missed],
    }


def _known(plan: WholePlan, labels: Sequence[str]) -> list[Json]:
    """Return the palettes of the trade, and what the tube that helps each most makes of it."""
    return [
        {
            "name": known.name,
            "missing": list(known.missing),
            **_palette(does, plan, labels),
            "helped_by": None if helper is None else helper[0],
            "with_help": None if helper is None else _palette(helper[1], plan, labels),
        }
        for (known, does), helper in zip(plan.advice.known, plan.advice.helpers, strict=True)
    ]


def _prices(advice: Advice, plan: WholePlan, labels: Sequence[str]) -> list[Json]:
    """Return the best palette of each number of tubes, and what it costs beside one more."""
    more = [*(choice.cost for choice in advice.prices[1:]), None]
    return [
        {
            "count": len(choice.tubes),
            **_palette(choice, plan, labels),
            "proved": choice.proved,
            "price_delta_e_00": None if next_cost is None else number(choice.cost - next_cost),
        }
        for choice, next_cost in zip(advice.prices, more, strict=True)
    ]


def _without(advice: Advice, plan: WholePlan, labels: Sequence[str]) -> list[Json]:
    """Return what each tube of the palette is worth, and what is lost without it."""
    return [
        {
            "tube": tube,
            "price_delta_e_00": number(left.cost - advice.chosen.cost),
            "lost": [
                label
                for label, here, there in zip(
                    labels, advice.chosen.distance, left.distance, strict=True
                )
                if here <= REACHED < there
            ],
        }
        for tube, left in advice.without.items()
    ]
