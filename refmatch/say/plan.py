"""What is said of the plan of a whole painting."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.hues import munsell_value, value_from_lstar
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import compare, describe, with_halves
from refmatch.plan.amounts import millilitres, squeezed_cm
from refmatch.plan.choose import REACHED, weights_of
from refmatch.plan.key import NOWHERE, UNMOVED
from refmatch.plan.layers import GLAZE, layer_at
from refmatch.say.recipe import laid_words
from refmatch.say.sentence import NBSP, Sentence, counted, listed

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.plan.choose import Choice
    from refmatch.plan.glaze import Glaze
    from refmatch.plan.key import Key
    from refmatch.plan.mothers import Mixed, Plan
    from refmatch.plan.shop import ShopItem
    from refmatch.plan.strings import ColourString
    from refmatch.plan.whole import WholePlan
    from refmatch.recipe.model import Laid

SENTENCES: dict[str, Sentence] = {
    "nothing_to_plan": "There is no colour to plan for; {remedy}.",
    "palette_too_small": "A palette of {count} is not offered: white and a colour are two.",
    "palette_too_full": "{tubes} tubes, white with them, do not go into a palette of {count}; "
    "insist on fewer, or ask for more.",
    "palette_not_offered": "A palette of {count} tubes is not offered; ask for {fewest} to {most}, "
    "which is all that '{box}' holds.",
    "box_of_white_only": "The box '{box}' holds nothing but its white; add a colour.",
    "box_too_large_for_palette": "The box '{box}' holds {tubes} tubes, and a palette is chosen "
    "from at most {most}; leave out some that are alike.",
    "photo_lost_in_black": "The camera lost this in black: how dark it was, and of what colour, "
    "the photo does not know. Decide it by eye; it may be anything as dark or darker.",
    "photo_burnt_out": "The camera burnt this out: how light it was, and of what colour, the "
    "photo does not know. Decide it by eye; it may be anything as light or lighter.",
    "photo_too_strong": "The camera had no room for so strong a colour: how strong it was, and "
    "partly how light, the photo does not know. Decide it by eye.",
    "box_has_one_value": "These tubes mix one value only, so that nothing of the photo's values "
    "can be kept; add a dark tube.",
    "amounts_by_mass": "This box counts parts by mass: amounts are reckoned as if all its paints "
    "weighed alike, and may be out by half for a heavy or a light one.",
}

REMEDIES: dict[str, Sentence] = {
    "nothing_to_plan": "punch a hole for each colour that matters",
}

PRICES = "What each tube fewer costs: the best palette of each size"
OF_THE_TRADE = "Palettes of the trade, from this box"

TO_BUY, OWNED = "For the shop", "Yours already, if there is enough left"

SQUEEZES = (
    (0.1, "a touch"),
    (0.6, "a pea"),
    (2.5, "a hazelnut"),
    (10.0, "a walnut"),
    (20.0, "two walnuts"),
    (30.0, "three walnuts"),
    (40.0, "most of a 40 ml tube"),
    (float("inf"), "more than a 40 ml tube"),
)
"""Upper ends in millilitres: spheres 10, 17 and 27 mm across (common practice, no source)."""


def squeeze_words(volume_ml: float) -> str:
    """Return the everyday word for so much paint."""
    return next(word for end, word in SQUEEZES if volume_ml <= end)


def key_words(key: Key) -> str:
    """Say what the key does, in values."""
    before, after, curve, found = key.before[:, 0], key.after[:, 0], key.curve, key.box_range
    reach = f"Your tubes reach from value {_value(found.dark_lstar)} to {_value(found.light_lstar)}"
    if np.all(np.abs(after - before) < UNMOVED):
        beyond = (
            before.min() < found.dark_lstar - UNMOVED or before.max() > found.light_lstar + UNMOVED
        )
        return f"{reach}; {'the key is off' if beyond else 'every value stays as it is'}."
    range_words = f"the photo's from {_value(before.min())} to {_value(before.max())}"
    dark, light = curve.dark_knee > curve.low, curve.light_knee < curve.high
    if curve.slope < 1.0 or (dark and light and curve.light_knee - curve.dark_knee < NOWHERE):
        return f"{reach}, {range_words}: all values are drawn together, in the same order."
    ends = [f"below {_value(curve.dark_knee)}"] if dark else []
    ends += [f"above {_value(curve.light_knee)}"] if light else []
    if not ends:
        return f"{reach}, {range_words}: all values are moved alike."
    return f"{reach}, {range_words}: values {' and '.join(ends)} are drawn in, the rest stays."


def work_words(plan: Plan) -> tuple[str, ...]:
    """Say what the plan saves, and what makes puddles skin over first."""
    puddles = plan.puddles
    first = sum(puddle.drawn_from is None for puddle in puddles)
    drawn = sum(bool(puddle.drawn_from and puddle.laid_out) for puddle in puddles)
    count = counted(first + drawn, "puddle")
    if drawn:
        saved = (
            f"{count}: {first} mixed from tubes, {drawn} drawn from "
            f"{'that' if first == 1 else 'those'}; {plan.laid_out} things to lay out instead of "
            f"{plan.laid_out_alone}."
        )
    elif first < len(puddles):
        saved = f"{count} for {len(puddles)} colours, mixed from tubes."
    elif first == 1:
        saved = f"{count}, mixed from tubes."
    else:
        saved = f"{count}, each mixed from tubes: none is near enough to another."
    if not plan.hurries:
        return (saved,)
    return (
        saved,
        f"In oil the puddles with much {listed(plan.hurries, 'or')} skin over first: keep them in "
        "a heap, and use them first.",
    )


def puddle_words(puddle: Mixed, plan: Plan) -> str:
    """Say how a puddle of a plan is mixed from tubes, or drawn from another."""
    added = listed([_amount(item) for item in puddle.laid_out])
    if layer_at(puddle.layer) == GLAZE:
        return (
            f"Glaze “{puddle.label}”: {added} in medium, drawn out thin over what is dry; the "
            "ground it wants is told below."
        )
    if puddle.drawn_from is None:
        return _from_tubes(puddle, plan, added)
    if not puddle.laid_out:
        return f"“{puddle.label}” is so near “{puddle.drawn_from}” that one puddle does for both."
    taken = counted(puddle.of_it, "part")
    return f"Take {taken} of “{puddle.drawn_from}” and work in {added}: “{puddle.label}”."


def _from_tubes(puddle: Mixed, plan: Plan, added: str) -> str:
    children = sum(
        other.drawn_from == puddle.label and bool(other.laid_out) for other in plan.puddles
    )
    only = "" if puddle.target is not None else ", only to draw from"
    use = ""
    if children:
        are = "is" if children == 1 else "are"
        use = f"; {counted(children, 'puddle')} {are} drawn from it, so mix plenty"
    return f"Mix “{puddle.label}”{only}: {added}{use}."


def string_words(string: ColourString) -> str:
    """Say how the colour of a string turns towards both ends."""
    steps, start = string.steps, string.start
    middle = steps[start].lab
    ends = (("light", steps[0].lab, start > 0), ("shadow", steps[-1].lab, start < len(steps) - 1))
    turns = [
        f"Towards the {end}: {', '.join(compare(lab, middle)) or 'hardly changed'}."
        for end, lab, is_other in ends
        if is_other
    ]
    return " ".join(turns)


def string_step_words(string: ColourString, place: int) -> str:
    """Say how the step at a place of a string is drawn from the last."""
    step = string.steps[place]
    if place == string.start:
        return f"Start from “{string.label}”."
    onward = "lighter" if place < string.start else "darker"
    added = listed([_amount(item) for item in step.laid_out])
    source = f"“{string.label}”" if step.drawn_from == string.start else "the last"
    return f"Next {onward}: {counted(step.of_it, 'part')} of {source}, and {added}."


def glaze_words(glaze: Glaze) -> str:
    """Say how a glaze is laid, and how sure it is."""
    return (
        f"Let a layer of {_layer(glaze.ground)} dry ({describe(glaze.ground_lab)}), then glaze it "
        f"thinly with {_layer(glaze.laid_out)} in medium, until it would look "
        f"{describe(glaze.over_white_lab)} over white. On paper ΔE00 {glaze.delta_e_00:.1f}; as "
        f"brushed, half of all tries come within {glaze.p50:.0f} and nine in ten within "
        f"{glaze.p90:.0f}."
    )


def _layer(laid: Sequence[Laid]) -> str:
    if len(laid) == 1:
        return laid[0].tube
    return " and ".join(f"{item.parts} {item.tube}" for item in laid)


def _amount(laid: Laid) -> str:
    """Return parts of a tube, or of its let-down."""
    return f"{laid.parts} {laid_words(laid)}"


def _value(lstar: float) -> str:
    return with_halves(float(value_from_lstar(lstar)))


# The palette of a plan: what it does, what each tube of it is worth, and how much is taken.


def palette_words(plan: WholePlan) -> str:
    """Return which tubes were chosen of which box, and what they do."""
    chosen = plan.advice.chosen
    words = (
        f"{len(chosen.tubes)} of the {len(plan.box.tubes)} tubes of “{plan.box.name}”: "
        f"{figures_words(plan.on_table, plan)}."
    )
    if chosen.proved:
        return words
    better = chosen.cost - chosen.bound
    return f"{words} Another {len(chosen.tubes)} may be better, by ΔE00 {better:.2f} at most."


def price_lines(plan: WholePlan) -> tuple[str, ...]:
    """Return a line for the best palette of each number of tubes, fewest first."""
    lines: list[str] = []
    before: tuple[str, ...] = ()
    for choice in plan.advice.prices:
        changes = _changes(before, choice.tubes) if before else ", ".join(choice.tubes)
        here = " (this palette)" if choice.tubes == plan.advice.chosen.tubes else ""
        lines.append(f"{len(choice.tubes)} tubes{here}: {figures_words(choice, plan)}. {changes}")
        before = choice.tubes
    return tuple(lines)


def known_lines(plan: WholePlan) -> tuple[str, ...]:
    """Return a line for each palette of the trade: what it does, or what the box lacks of it."""
    return tuple(
        f"{known.name}: the box lacks {listed(known.missing)}"
        if known.missing
        else f"{known.name}: {figures_words(does, plan)}"
        for known, does in plan.advice.known
    )


def amount_words(plan: WholePlan, tube: str) -> str:
    """Return how much of a tube the canvas takes, "" without a canvas."""
    if plan.amounts is None:
        return ""
    ml = plan.amounts.tubes_ml.get(tube)
    if ml is None:
        return "none needed"
    return f"{squeeze_words(ml)}: {millilitres(ml)}, {squeezed_cm(ml):.0f} cm squeezed"


def shop_words(item: ShopItem) -> str:
    """Return in which tubes so much paint is sold: "1 tube of 150 ml (it takes 92 ml)"."""
    sizes = ((item.tubes_of_37_ml, "37"), (item.tubes_of_150_ml, "150"))
    tubes = listed([f"{counted(n, 'tube')} of {size}{NBSP}ml" for n, size in sizes if n])
    return f"{tubes} (it takes {millilitres(item.volume_ml)})"


def shop_lines(items: Sequence[ShopItem], *, owned: bool) -> tuple[str, ...]:
    """Return a line for each paint that is owned, or for each to be bought."""
    return tuple(f"{item.tube}: {shop_words(item)}" for item in items if item.owned == owned)


def without_words(plan: WholePlan, tube: str) -> str:
    """Say what is lost without a tube: in ΔE00 on average, and the slips out of reach."""
    left = plan.advice.without.get(tube)
    if left is None:
        return ""
    chosen = plan.advice.chosen
    words = f"without it ΔE00 {left.cost - chosen.cost:+.1f} on average".replace("-", "−")
    pairs = zip(chosen.distance, left.distance, strict=True)
    lost = [place + 1 for place, (here, there) in enumerate(pairs) if here <= REACHED < there]
    if not lost:
        return words
    return f"{words}, and {slips(lost)} out of reach"


def figures_words(does: Choice, plan: WholePlan) -> str:
    """Say how near a palette comes and what it does not reach."""
    expected = float(does.expected @ weights_of(plan.shares))
    words = f"expect ΔE00{NBSP}{expected:.1f} on average"
    missed = [place + 1 for place in does.missed]
    return f"{words}; {slips(missed)} out of reach" if missed else f"{words}; reaches all"


def slips(numbers: Sequence[int]) -> str:
    """Return "slip 3", "slips 1, 3–6"."""
    return f"slip{'s' if len(numbers) > 1 else ''} {runs(numbers)}"


def _changes(before: Sequence[str], after: Sequence[str]) -> str:
    """Say how one palette becomes another: "+ cerulean blue, − ivory black"."""
    come = [f"+ {tube}" for tube in after if tube not in before]
    return ", ".join([*come, *(f"− {tube}" for tube in before if tube not in after)])


def value_words(before: Array, after: Array) -> str:
    """Return "value 9½ → 9 (L* 95 → 91, ΔE00 1.8)", or the value alone where it is not moved."""
    words = keyed_value_words(before, after)
    if abs(float(after[0] - before[0])) < UNMOVED:
        return words
    moved = f"L* {float(before[0]):.0f} → {float(after[0]):.0f}"
    far = f"ΔE00{NBSP}{float(delta_e_00(after, before)):.1f}"
    return f"{words} ({moved}, {far})"


def keyed_value_words(before: Array, after: Array) -> str:
    """Return what the key makes of a value: "value 9½ → 9", "value 5, stays".

    Less than half a value is "value 7, a touch darker".
    """
    old, new = (with_halves(float(munsell_value(lab))) for lab in (before, after))
    moved = float(after[0] - before[0])
    if abs(moved) < UNMOVED:
        return f"value {old}, stays"
    if old == new:
        return f"value {old}, a touch {'lighter' if moved > 0.0 else 'darker'}"
    return f"value {old} → {new}"


def distance_words(plan: WholePlan, puddle: Mixed) -> str:
    """Return how far a puddle is off what it aims at, and off the photo where that is another."""
    if puddle.target is None or puddle.delta_e_00 is None:
        return "only to draw from"
    words = f"ΔE00{NBSP}{puddle.delta_e_00:.1f}"
    before = plan.key.before[puddle.target]
    if abs(float(plan.targets[puddle.target].lab[0] - before[0])) < UNMOVED:
        return words
    far = float(delta_e_00(puddle.lab, before))
    return f"{words} from the keyed colour, {far:.1f} from the photo's"


def runs(numbers: Sequence[int]) -> str:
    """Return rising numbers with runs drawn together: "1, 3–6, 8"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(_run(run) for run in runs)


def _run(run: Sequence[int]) -> str:
    if len(run) < 3:
        return ", ".join(map(str, run))
    return f"{run[0]}–{run[-1]}"
