"""What ``refmatch plan`` prints for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from refmatch.cli.say import goes_in, numbers
from refmatch.colorimetry.words import describe
from refmatch.encode.plan_form import to_buy
from refmatch.paint.box import Box
from refmatch.plan.amounts import Amounts, millilitres
from refmatch.plan.choose import weights_of
from refmatch.plan.layers import PaintLayer, layer_at
from refmatch.plan.shop import shop_list
from refmatch.plan.strings import ColourString
from refmatch.plan.whole import WholePlan
from refmatch.say.layers import layer_words, wait_words
from refmatch.say.plan import (
    OF_THE_TRADE,
    OWNED,
    PRICES,
    TO_BUY,
    amount_words,
    figures_words,
    glaze_words,
    key_words,
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
from refmatch.say.sentence import NBSP, capital, sentence_of
from refmatch.say.sheet import canvas_words

HOW_MUCH = "For how much of each paint, add the canvas: --canvas 40x30, or --canvas 16x20in."


def plan(planned: WholePlan, owned: Box, layers: Sequence[PaintLayer] = ()) -> str:
    """Return the key, the palette and its price, the mixes, the order of work, and amounts."""
    blocks = [
        [f"Key: {key_words(planned.key)}"],
        list(_palette(planned, owned)),
        list(_without(planned)),
        list(_prices(planned)),
        list(_known(planned)),
        list(_mixes(planned)),
        list(_work(planned, layers)),
        *(list(_string(string)) for string in planned.strings),
        list(_glazes(planned)),
        list(_amounts(planned, planned.amounts)) if planned.amounts else [HOW_MUCH],
        list(_shop(planned, owned)),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _palette(planned: WholePlan, owned: Box) -> Iterator[str]:
    tubes = planned.advice.chosen.tubes
    yield f"Palette: {palette_words(planned)}"
    yield f"  {', '.join(tubes)}"
    missing = to_buy(tubes, planned.box, owned)
    if missing:
        yield f"  To buy: {', '.join(missing)}"


def _without(planned: WholePlan) -> Iterator[str]:
    yield "Left out of it, each would cost"
    for tube, _ in sorted(planned.advice.without.items(), key=lambda item: -item[1].cost):
        yield f"  {tube:28}{without_words(planned, tube)}"


def _prices(planned: WholePlan) -> Iterator[str]:
    yield PRICES
    yield from (f"  {line}" for line in price_lines(planned))


def _known(planned: WholePlan) -> Iterator[str]:
    yield OF_THE_TRADE
    advice = planned.advice
    for line, (known, _), helper in zip(
        known_lines(planned), advice.known, advice.helpers, strict=True
    ):
        yield f"  {line}"
        if not known.missing:
            yield f"    {', '.join(known.tubes)}"
            if helper is not None:
                yield f"    with {helper[0]}: {figures_words(helper[1], planned)}"


def _mixes(planned: WholePlan) -> Iterator[str]:
    yield "Each colour, by the number of its slip, as the order of work mixes it"
    shares = weights_of(planned.shares)
    rows = zip(planned.targets, shares, planned.recipes, strict=True)
    for number, (target, share, recipe) in enumerate(rows, start=1):
        yield f"  {number:2}. {100.0 * share:3.0f} %  {target.label:28} {numbers(target.lab)}"
        yield f"             {goes_in(recipe)}  ({recipe.verdict}, ΔE00 {recipe.delta_e_00:.1f})"


def _work(planned: WholePlan, layers: Sequence[PaintLayer]) -> Iterator[str]:
    yield "The order of work"
    for line in work_words(planned.puddles):
        yield f"  {line}"
    order = [layer_at(puddle.layer) for puddle in planned.puddles.puddles]
    for number, puddle in enumerate(planned.puddles.puddles, start=1):
        if layers and order[number - 1] not in order[: number - 1]:
            yield from _layer(layers, order[number - 1])
        yield f"  {number:2}. {puddle_words(puddle, planned.puddles)}"


def _layer(layers: Sequence[PaintLayer], name: str) -> Iterator[str]:
    """Return how a layer is painted, after how long to wait for it."""
    for place, layer in enumerate(layers):
        if layer.name == name:
            if place:
                yield f"  {wait_words(layers[place - 1], layer)}".replace(NBSP, " ")
            yield f"  {capital(name)}. {layer_words(layer)}".replace(NBSP, " ")
            yield from (f"    ! {sentence_of(flag)}".replace(NBSP, " ") for flag in layer.flags)


def _string(string: ColourString) -> Iterator[str]:
    yield f"String of “{string.label}”, {len(string.steps)} steps. {string_words(string)}"
    for order, place in enumerate(string.in_work_order, start=1):
        step = string.steps[place]
        yield f"  {order:2}. {string_step_words(string, place)}  ({describe(step.lab)})"


def _glazes(planned: WholePlan) -> Iterator[str]:
    for target, glaze in zip(planned.targets, planned.glazes, strict=True):
        if glaze is not None:
            yield f"A glaze for “{target.label}”: {glaze_words(glaze)}"


def _amounts(planned: WholePlan, amounts: Amounts) -> Iterator[str]:
    yield canvas_words(amounts.canvas)
    for tube in planned.advice.chosen.tubes:
        yield f"  {tube:36}{amount_words(planned, tube)}"
    yield "  and in puddles, with what is drawn from them"
    for puddle, ml in zip(planned.puddles.puddles, amounts.puddles_ml, strict=True):
        yield f"  {puddle.label:36}{squeeze_words(ml)}: {millilitres(ml)}"


def _shop(planned: WholePlan, owned: Box) -> Iterator[str]:
    items = shop_list(planned, owned)
    for title, is_owned in ((TO_BUY, False), (OWNED, True)):
        if lines := shop_lines(items, owned=is_owned):
            yield title
            yield from (f"  {line.replace(NBSP, ' ')}" for line in lines)
