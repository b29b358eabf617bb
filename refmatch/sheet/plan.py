"""From the plan of a whole painting to what its pages say."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe, with_halves
from refmatch.painting.model import Painting
from refmatch.recipe.amounts import FILM_UM, SPARE, Amounts, millilitres, squeeze_words
from refmatch.recipe.key import UNMOVED
from refmatch.recipe.puddles.model import Mixed
from refmatch.recipe.puddles.strings import ColourString
from refmatch.recipe.whole_plan import WholePlan
from refmatch.say.sentence import sentence_of
from refmatch.sheet import wording
from refmatch.sheet.plan_content import (
    KeyLine,
    KeyShown,
    PlanShown,
    StringLine,
    StringShown,
    WorkLine,
)
from refmatch.sheet.plan_palette import dots_of, known_lines, palette_words, prices, reaches, tubes

KEYED = "The key is on: slips and puddles aim at the keyed colours, with the palette's tubes alone."
LEFT_OFF = (
    "The key is off: slips and puddles aim at the photo's own colours, with the palette's tubes "
    "alone."
)
UNCHANGED = "So slips and puddles aim at the photo's own colours, with the palette's tubes alone."
NO_CANVAS = "How much of each tube is told where the size of the canvas is: add --canvas 40x30."


def plan_shown(plan: WholePlan, painting: Painting) -> PlanShown:
    """Return what the pages of a painting's plan say; its targets are the painting's."""
    keyed = painting.asked.plan is None or painting.asked.plan.keyed
    labels = [wording.heading(t, n) for n, t in enumerate(painting.targets, start=1)]
    amounts = plan.amounts
    return PlanShown(
        key=_key(plan, labels, keyed=keyed),
        palette_words=palette_words(plan),
        tubes=tubes(plan, painting),
        prices=prices(plan),
        known=known_lines(plan),
        reaches=reaches(plan),
        dots=dots_of(plan),
        work_words=" ".join(plan.puddles.words),
        work=_work(plan),
        strings=tuple(_string(string) for string in plan.strings),
        glazes=tuple(
            f"A glaze for “{label}”: {glaze.words}"
            for label, glaze in zip(labels, plan.glazes, strict=True)
            if glaze is not None
        ),
        amounts_words=_amounts_words(amounts) if amounts else NO_CANVAS,
    )


def _key(plan: WholePlan, labels: Sequence[str], *, keyed: bool) -> KeyShown:
    key = plan.key
    lines = [
        KeyLine(
            number=place + 1,
            label=label,
            before=before,
            after=after,
            values=_values(before, after),
            cautions=tuple(sentence_of(flag) for flag in flags),
        )
        for place, (label, before, after, flags) in enumerate(
            zip(labels, key.before, key.after, key.of_each, strict=True)
        )
    ]
    aim = UNCHANGED if key.curve.is_identity else KEYED
    return KeyShown(
        words=" ".join([key.words, *(sentence_of(flag) for flag in key.flags)]),
        aim=aim if keyed else LEFT_OFF,
        lines=tuple(sorted(lines, key=lambda line: (-line.before[0], line.number))),
    )


def _values(before: Array, after: Array) -> str:
    """Return "value 9½ → 9, ΔE00 1.8", or the value alone where it is not moved."""
    told = f"value {with_halves(float(munsell_value(before)))}"
    if abs(float(after[0] - before[0])) < UNMOVED:
        return f"{told}, stays"
    moved = f"L* {float(before[0]):.0f} → {float(after[0]):.0f}"
    far = f"ΔE00{wording.NBSP}{float(delta_e_00(after, before)):.1f}"
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
            words=puddle.words,
            distance=_distance(plan, puddle),
            skins="skins over first in oil" if puddle.dries == "fast" else "",
            amount=_amount(plan.amounts, order - 1),
            volume_share=volume / max(volumes),
        )
        for order, (puddle, volume) in enumerate(zip(puddles, volumes, strict=True), start=1)
    )


def _distance(plan: WholePlan, puddle: Mixed) -> str:
    """Return how far a puddle is off what it aims at, and off the photo where that is another."""
    if puddle.target is None or puddle.delta_e_00 is None:
        return "only to draw from"
    told = f"ΔE00{wording.NBSP}{puddle.delta_e_00:.1f}"
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
        words=string.words,
        steps=tuple(
            StringLine(
                order=order,
                wanted=step.wanted,
                mix=step.lab,
                words=step.words,
                told=f"{describe(step.lab)}, ΔE00{wording.NBSP}{step.delta_e_00:.1f}",
            )
            for order, step in enumerate(string.steps, start=1)
        ),
    )


def _amounts_words(found: Amounts) -> str:
    canvas = found.canvas
    return (
        f"For a canvas of {canvas.width_cm:g} × {canvas.height_cm:g} cm, a film of "
        f"{FILM_UM / 1000:g} mm and {100 * SPARE:.0f} % to spare (common practice). "
        "Lengths are of a bead from a 40 ml tube."
    )
