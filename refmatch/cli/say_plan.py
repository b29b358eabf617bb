"""What ``refmatch plan`` prints for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from refmatch.cli.say import laid, numbers
from refmatch.colorimetry.words import describe
from refmatch.encode.plan_form import to_buy
from refmatch.paint.box import Box
from refmatch.plan.amounts import FILM_UM, SPARE, Amounts, millilitres, squeezed_cm
from refmatch.plan.choose import REACHED, Choice, weights_of
from refmatch.plan.strings import ColourString
from refmatch.plan.whole import WholePlan
from refmatch.say.plan import (
    glaze_words,
    key_words,
    puddle_words,
    squeeze_words,
    string_step_words,
    string_words,
    work_words,
)
from refmatch.say.sentence import listed

HOW_MUCH = "For how much of each paint, add the canvas in centimetres: --canvas 40x30."

MOST_NAMED = 4
"""Colours out of reach that are named one by one."""


def plan(whole: WholePlan, owned: Box) -> str:
    """Return the key, the palette and its price, the mixes, the order of work, and amounts."""
    blocks = [
        [f"Key: {key_words(whole.key)}"],
        list(_palette(whole, owned)),
        list(_without(whole)),
        list(_prices(whole)),
        list(_known(whole)),
        list(_mixes(whole)),
        list(_work(whole)),
        *(list(_string(string)) for string in whole.strings),
        list(_glazes(whole)),
        list(_amounts(whole.amounts, whole)) if whole.amounts else [HOW_MUCH],
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _palette(whole: WholePlan, owned: Box) -> Iterator[str]:
    chosen = whole.advice.chosen
    yield f"Palette: {len(chosen.tubes)} of the {len(whole.box.tubes)} tubes of '{whole.box.name}'"
    yield f"  {', '.join(chosen.tubes)}"
    yield f"  {_figures(whole.on_table, whole)}"
    if not chosen.proved:
        better = f"ΔE00 {chosen.cost - chosen.bound:.2f} on the mean"
        yield f"  Another {len(chosen.tubes)} may be better, by at most {better}."
    missing = to_buy(chosen.tubes, whole.box, owned)
    if missing:
        yield f"  To buy: {', '.join(missing)}"


def _without(whole: WholePlan) -> Iterator[str]:
    yield "Left out of it, each would cost (ΔE00 on the mean, and what is lost)"
    chosen, labels = whole.advice.chosen, _labels(whole)
    for tube, left in sorted(whole.advice.without.items(), key=lambda item: -item[1].cost):
        lost = [
            label
            for label, here, there in zip(labels, chosen.distance, left.distance, strict=True)
            if here <= REACHED < there
        ]
        yield f"  {left.cost - chosen.cost:+5.1f}  {tube:28}{'; '.join(lost)}".rstrip()


def _prices(whole: WholePlan) -> Iterator[str]:
    yield "What each tube fewer costs: of so many the palettes with the least ΔE00 to expect, on"
    yield "the mean, and how many colours they do not reach"
    before: tuple[str, ...] = ()
    for choice in whole.advice.prices:
        expected = float(choice.expected @ weights_of(whole.shares))
        changed = _changes(before, choice.tubes) if before else ", ".join(choice.tubes)
        yield f"  {len(choice.tubes):2}  {expected:5.1f}  {len(choice.missed):2}  {changed}"
        before = choice.tubes


def _known(whole: WholePlan) -> Iterator[str]:
    yield "Palettes of the trade to start from, of these tubes"
    for (known, does), helper in zip(whole.advice.known, whole.advice.helpers, strict=True):
        if known.missing:
            yield f"  {known.name}: lacks {listed(known.missing)}"
            continue
        yield f"  {known.name}: {', '.join(known.tubes)}"
        yield f"    {_figures(does, whole)}"
        if helper is not None:
            yield f"    with {helper[0]}: {_figures(helper[1], whole)}"


def _mixes(whole: WholePlan) -> Iterator[str]:
    yield "Each colour mixed by itself"
    shares = weights_of(whole.shares)
    for target, share, recipe in zip(whole.targets, shares, whole.recipes, strict=True):
        yield f"  {100.0 * share:3.0f} %  {target.label:28} {numbers(target.lab)}"
        yield f"         {laid(recipe.laid_out)}  ({recipe.verdict}, ΔE00 {recipe.delta_e_00:.1f})"


def _work(whole: WholePlan) -> Iterator[str]:
    yield "The order of work"
    for line in work_words(whole.puddles):
        yield f"  {line}"
    for number, puddle in enumerate(whole.puddles.puddles, start=1):
        yield f"  {number:2}. {puddle_words(puddle, whole.puddles)}"


def _string(string: ColourString) -> Iterator[str]:
    yield f"String of “{string.label}”, {len(string.steps)} steps. {string_words(string)}"
    for place in string.in_work_order:
        step = string.steps[place]
        yield f"  {place + 1:2}. {string_step_words(string, place)}  ({describe(step.lab)})"


def _glazes(whole: WholePlan) -> Iterator[str]:
    for label, glaze in zip(_labels(whole), whole.glazes, strict=True):
        if glaze is not None:
            yield f"A glaze for “{label}”: {glaze_words(glaze)}"


def _amounts(amounts: Amounts, plan: WholePlan) -> Iterator[str]:
    canvas = amounts.canvas
    yield (
        f"Paint for {canvas.width_cm:g} x {canvas.height_cm:g} cm, a film of "
        f"{FILM_UM / 1000:g} mm and {100 * SPARE:.0f} % to spare"
    )
    for tube in plan.advice.chosen.tubes:
        if tube in amounts.tubes_ml:
            ml = amounts.tubes_ml[tube]
            yield f"  {tube:36}{millilitres(ml):>8}  {squeezed_cm(ml):4.0f} cm  {squeeze_words(ml)}"
    yield "  and in puddles, with what is drawn from them"
    for puddle, ml in zip(plan.puddles.puddles, amounts.puddles_ml, strict=True):
        yield f"  {puddle.label:36}{millilitres(ml):>8}  {'':7}  {squeeze_words(ml)}"


def _figures(does: Choice, whole: WholePlan) -> str:
    """Say how near a palette comes, and what it does not reach."""
    shares, labels = weights_of(whole.shares), _labels(whole)
    figures = (
        f"ΔE00 {float(does.distance @ shares):.1f} on the mean at best, "
        f"{float(does.expected @ shares):.1f} to expect of a hand and these tubes"
    )
    missed = [f"{labels[i]} ({does.distance[i]:.0f})" for i in does.missed]
    if not missed:
        return f"{figures}; reaches all"
    if len(missed) > MOST_NAMED:
        worst = labels[int(does.distance.argmax())]
        return (
            f"{figures}; does not reach {len(missed)} of {len(labels)} colours, least of all "
            f"{worst} ({does.distance.max():.0f})"
        )
    return f"{figures}; does not reach {'; '.join(missed)}"


def _changes(before: Sequence[str], after: Sequence[str]) -> str:
    """Say how one palette becomes another: "+ cerulean blue, - ivory black"."""
    gone = [f"- {tube}" for tube in before if tube not in after]
    come = [f"+ {tube}" for tube in after if tube not in before]
    return ", ".join(come + gone)


def _labels(whole: WholePlan) -> list[str]:
    return [target.label for target in whole.targets]
