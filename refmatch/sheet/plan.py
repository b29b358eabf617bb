"""From the plan of a whole painting to what its pages say."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.words import describe
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.plan.amounts import Amounts, millilitres
from refmatch.plan.choose import weights_of
from refmatch.plan.layers import layer_at
from refmatch.plan.shop import shop_list
from refmatch.plan.strings import ColourString
from refmatch.plan.whole import WholePlan
from refmatch.say import sheet as say
from refmatch.say.layers import work_head
from refmatch.say.plan import (
    amount_words,
    distance_words,
    glaze_words,
    key_words,
    keyed_value_words,
    known_lines,
    palette_words,
    price_lines,
    puddle_words,
    shop_lines,
    squeeze_words,
    string_step_words,
    string_words,
    without_words,
    work_words,
)
from refmatch.say.sentence import sentence_of
from refmatch.sheet.plan_content import (
    KeyLine,
    KeyShown,
    PlanShown,
    ReachDot,
    ReachShown,
    StringLine,
    StringShown,
    TubeLine,
    WorkLine,
)
from refmatch.sheet.squeeze import round_the_palette

# The palette of a plan as its page tells it: tubes, what each is worth, and what it reaches.


def tubes(plan: WholePlan, painting: Painting) -> tuple[TubeLine, ...]:
    """Return the palette's tubes in the order to lay them out."""
    chosen = plan.advice.chosen
    used = [tube for tube in painting.table if tube.name in chosen.tubes]
    volumes = plan.amounts.tubes_ml if plan.amounts else _shares(plan)
    most = max(volumes.values(), default=1.0)
    return tuple(
        TubeLine(
            tube=tube.name,
            masstone=tube.masstone,
            tint=tube.tint,
            amount=amount_words(plan, tube.name),
            without=without_words(plan, tube.name),
            volume_share=volumes.get(tube.name, 0.0) / most,
        )
        for tube in round_the_palette(used)
    )


def reaches(plan: WholePlan) -> tuple[ReachShown, ...]:
    """Return what this palette reaches, the whole box, and those of the trade that it holds."""
    return tuple(
        ReachShown(
            "the whole box" if place == 1 else reach.name,
            plan.box.name if place == 1 else ", ".join(reach.tubes),
            reach.outline_ab,
        )
        for place, reach in enumerate(plan.reaches)
    )


def dots_of(plan: WholePlan) -> tuple[ReachDot, ...]:
    """Return the targets as they are mixed for, by their slips' numbers."""
    shares = weights_of(plan.shares)
    return tuple(
        ReachDot(number, target.lab, float(share))
        for number, (target, share) in enumerate(zip(plan.targets, shares, strict=True), start=1)
    )


def _shares(plan: WholePlan) -> dict[str, float]:
    """Return each tube's part of all the paint that is mixed for targets."""
    weights = weights_of(plan.shares)
    by_tube: dict[str, float] = {}
    names = [tube.name for tube in plan.box.tubes if tube.name in plan.advice.chosen.tubes]
    for puddle in plan.puddles.puddles:
        if puddle.target is None:
            continue
        for name, net in zip(names, puddle.net.tolist(), strict=True):
            by_tube[name] = by_tube.get(name, 0.0) + net * float(weights[puddle.target])
    return by_tube


def plan_shown(plan: WholePlan, painting: Painting) -> PlanShown:
    """Return what the pages of a painting's plan say; its targets are the painting's."""
    keyed = painting.asked.plan is None or painting.asked.plan.keyed
    labels = [say.heading(t, n) for n, t in enumerate(painting.targets, start=1)]
    amounts = plan.amounts
    shop = shop_list(plan, box_of(painting))
    return PlanShown(
        key=_key(plan, labels, keyed=keyed),
        palette_words=palette_words(plan),
        tubes=tubes(plan, painting),
        prices=price_lines(plan),
        known=known_lines(plan),
        reaches=reaches(plan),
        dots=dots_of(plan),
        work_words=" ".join(work_words(plan.puddles)),
        work=_work(plan, painting),
        strings=tuple(_string(string) for string in plan.strings),
        glazes=tuple(
            f"A glaze for “{label}”: {glaze_words(glaze)}"
            for label, glaze in zip(labels, plan.glazes, strict=True)
            if glaze is not None
        ),
        amounts_words=say.canvas_words(amounts.canvas) if amounts else say.NO_CANVAS,
        to_buy=shop_lines(shop, owned=False),
        owned=shop_lines(shop, owned=True),
    )


def _key(plan: WholePlan, labels: Sequence[str], *, keyed: bool) -> KeyShown:
    key = plan.key
    lines = [
        KeyLine(
            number=place + 1,
            label=label,
            before=before,
            after=after,
            values=keyed_value_words(before, after),
            cautions=tuple(sentence_of(flag) for flag in flags),
        )
        for place, (label, before, after, flags) in enumerate(
            zip(labels, key.before, key.after, key.of_each, strict=True)
        )
    ]
    aim = say.UNCHANGED if key.curve.is_identity else say.KEYED
    return KeyShown(
        words=" ".join([key_words(key), *(sentence_of(flag) for flag in key.flags)]),
        aim=aim if keyed else say.LEFT_OFF,
        lines=tuple(sorted(lines, key=lambda line: (-line.before[0], line.number))),
    )


def _work(plan: WholePlan, painting: Painting) -> tuple[WorkLine, ...]:
    puddles = plan.puddles.puddles
    orders = {puddle.label: order for order, puddle in enumerate(puddles, start=1)}
    volumes = _volumes(plan)
    named = {layer.name: work_head(layer) for layer in painting.layers}
    return tuple(
        WorkLine(
            order=order,
            number=None if puddle.target is None else puddle.target + 1,
            label=puddle.label,
            drawn_from=None if puddle.drawn_from is None else orders[puddle.drawn_from],
            target=None if puddle.target is None else plan.targets[puddle.target].lab,
            mix=puddle.lab,
            words=puddle_words(puddle, plan.puddles),
            distance=distance_words(plan, puddle),
            skins="skins over first in oil" if puddle.dries == "fast" else "",
            amount=_amount(plan.amounts, order - 1),
            volume_share=volume / max(volumes),
            layer=named.get(layer_at(puddle.layer), ""),
        )
        for order, (puddle, volume) in enumerate(zip(puddles, volumes, strict=True), start=1)
    )


def _volumes(plan: WholePlan) -> list[float]:
    """Return how large each puddle is beside the others, in any unit."""
    if plan.amounts:
        return [float(ml) for ml in plan.amounts.puddles_ml]
    return [puddle.share for puddle in plan.puddles.puddles]


def _amount(amounts: Amounts | None, place: int) -> str:
    if amounts is None:
        return ""
    ml = float(amounts.puddles_ml[place])
    return f"{squeeze_words(ml)} ({millilitres(ml)})"


def _string(string: ColourString) -> StringShown:
    return StringShown(
        label=string.label,
        numbers=tuple(place + 1 for place in string.targets),
        words=string_words(string),
        steps=tuple(
            StringLine(
                order=order,
                wanted=string.steps[place].wanted,
                mix=string.steps[place].lab,
                words=string_step_words(string, place),
                looks=describe(string.steps[place].lab),
            )
            for order, place in enumerate(string.in_work_order, start=1)
        ),
    )
