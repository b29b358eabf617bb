"""From the plan of a whole painting to what its pages say."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe, with_halves
from refmatch.painting.model import Painting
from refmatch.recipe.amounts import Amounts, millilitres
from refmatch.recipe.key import UNMOVED
from refmatch.recipe.puddles.model import Mixed
from refmatch.recipe.puddles.strings import ColourString
from refmatch.recipe.whole_plan import WholePlan
from refmatch.say import sheet as say
from refmatch.say.english import NBSP
from refmatch.say.plan import (
    glaze_words,
    key_words,
    puddle_words,
    squeeze_words,
    string_step_words,
    string_words,
    work_words,
)
from refmatch.say.sentence import sentence_of
from refmatch.sheet.plan_content import (
    KeyLine,
    KeyShown,
    PlanShown,
    StringLine,
    StringShown,
    WorkLine,
)
from refmatch.sheet.plan_palette import dots_of, known_lines, palette_words, prices, reaches, tubes


def plan_shown(plan: WholePlan, painting: Painting) -> PlanShown:
    """Return what the pages of a painting's plan say; its targets are the painting's."""
    keyed = painting.asked.plan is None or painting.asked.plan.keyed
    labels = [say.heading(t, n) for n, t in enumerate(painting.targets, start=1)]
    amounts = plan.amounts
    return PlanShown(
        key=_key(plan, labels, keyed=keyed),
        palette_words=palette_words(plan),
        tubes=tubes(plan, painting),
        prices=prices(plan),
        known=known_lines(plan),
        reaches=reaches(plan),
        dots=dots_of(plan),
        work_words=" ".join(work_words(plan.puddles)),
        work=_work(plan),
        strings=tuple(_string(string) for string in plan.strings),
        glazes=tuple(
            f"A glaze for “{label}”: {glaze_words(glaze)}"
            for label, glaze in zip(labels, plan.glazes, strict=True)
            if glaze is not None
        ),
        amounts_words=say.canvas_words(amounts.canvas) if amounts else say.NO_CANVAS,
    )


def _key(plan: WholePlan, labels: Sequence[str], *, keyed: bool) -> KeyShown:
    key = plan.key
    lines = [
        KeyLine(
            number=place + 1,
            label=label,
            before=before,
            after=after,
            values=value_words(before, after),
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


def value_words(before: Array, after: Array) -> str:
    """Return "value 9½ → 9, ΔE00 1.8", or the value alone where it is not moved."""
    told = f"value {with_halves(float(munsell_value(before)))}"
    if abs(float(after[0] - before[0])) < UNMOVED:
        return f"{told}, stays"
    moved = f"L* {float(before[0]):.0f} → {float(after[0]):.0f}"
    far = f"ΔE00{NBSP}{float(delta_e_00(after, before)):.1f}"
    return f"{told} → {with_halves(float(munsell_value(after)))} ({moved}, {far})"


def _work(plan: WholePlan) -> tuple[WorkLine, ...]:
    puddles = plan.puddles.puddles
    orders = {puddle.label: order for order, puddle in enumerate(puddles, start=1)}
    volumes = _volumes(plan)
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
        )
        for order, (puddle, volume) in enumerate(zip(puddles, volumes, strict=True), start=1)
    )


def distance_words(plan: WholePlan, puddle: Mixed) -> str:
    """Return how far a puddle is off what it aims at, and off the photo where that is another."""
    if puddle.target is None or puddle.delta_e_00 is None:
        return "only to draw from"
    told = f"ΔE00{NBSP}{puddle.delta_e_00:.1f}"
    before = plan.key.before[puddle.target]
    if abs(float(plan.targets[puddle.target].lab[0] - before[0])) < UNMOVED:
        return told
    far = float(delta_e_00(puddle.lab, before))
    return f"{told} from the keyed colour, {far:.1f} from the photo's"


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
                wanted=step.wanted,
                mix=step.lab,
                words=string_step_words(string, order - 1),
                told=f"{describe(step.lab)}, ΔE00{NBSP}{step.delta_e_00:.1f}",
            )
            for order, step in enumerate(string.steps, start=1)
        ),
    )
