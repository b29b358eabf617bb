"""What is said of layers and mediums: fat over lean, drying, and the care that mediums ask for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from refmatch.colorimetry.hues import munsell_value, value_from_lstar
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import number_word, with_halves
from refmatch.paint.oil import mediums
from refmatch.say.sentence import NBSP, Sentence, capital, counted, listed

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.plan.layers import Brushed, PaintLayer


def _lean_over_fat(
    layer: str,
    below: str,
    oil_percent: int,
    below_percent: int,
    add_percent: int | None,
    thin_percent: int | None,
    *,
    has_medium: bool = False,
    is_fattened: bool = False,
) -> str:
    """Say what to do.

    ``has_medium`` is so of the layer, ``is_fattened`` of that below; older paintings say neither.
    """
    ways = []
    if add_percent is not None:
        besides = ", besides the medium in it" if has_medium else ""
        ways.append(
            f"work linseed oil into the {layer}, {add_percent}{NBSP}% of each puddle{besides}"
        )
    if is_fattened:
        ways.append(f"take less medium, or none, into the {below}")
    elif thin_percent is not None:
        ways.append(f"thin the {below} with solvent, {thin_percent}{NBSP}% of each puddle")
    told = "; or ".join(ways) or f"paint the {below} with paints that take up less oil"
    return (
        f"The {layer} is leaner than the {below} below it (oil {oil_percent}{NBSP}% of it, against "
        f"{below_percent}{NBSP}%) and may crack: {told}."
    )


def _quick_over_slow(layer: str, below: str, days: Sequence[float]) -> str:
    return (
        f"The {layer} dries before the {below} below it does: let that dry first, "
        f"{days_words(days)}, or the skin on top cracks."
    )


def _too_much_medium(
    label: str, medium: str, percent: int, most_percent: int, underbinds: bool
) -> str:
    does = "too little oil is left to bind the paint" if underbinds else "it wrinkles and yellows"
    return (
        f"“{label}” has {percent}{NBSP}% of {medium}: beyond {most_percent}{NBSP}% {does} "
        "(common practice). Take less."
    )


def _drying_not_known(tubes: Sequence[str], days: Sequence[float]) -> str:
    return (
        f"How {listed(tubes)} takes oil and dries is not known here: {days_words(days)} are "
        "reckoned with. Its label or a trial on paper tells."
    )


def _medium_shines(layer: str, medium: str, shine: str, finish: str, delta_e_00: float) -> str:
    skin = {"gloss": "glossy", "matt": "sunken matt"}
    return (
        f"With {medium} the {layer} dries {skin.get(shine, shine)}, where mixes are told as "
        f"{skin.get(finish, finish)} paint. The medium is clear and leaves the colour as it is, "
        f"but the skin moves it by up to ΔE00{NBSP}{delta_e_00:.1f} until the painting is oiled "
        "out or varnished."
    )


SENTENCES: dict[str, Sentence] = {
    "lean_over_fat": _lean_over_fat,
    "quick_over_slow": _quick_over_slow,
    "too_much_medium": _too_much_medium,
    "drying_not_known": _drying_not_known,
    "medium_shines": _medium_shines,
    "no_such_layer": lambda layer, known: f"'{layer}' is no layer; the layers are {listed(known)}.",
    "no_such_medium": lambda medium, known: (
        f"'{medium}' is no medium that is known here; take {listed(known, 'or')}."
    ),
    "not_said_of_anything": "'{text}' does not say of what: write LABEL=LAYER, or LABEL=MEDIUM "
    "with the per cent behind a comma, such as finish=stand-oil,10.",
    "no_hole_called": lambda label, known: (
        f"No hole is called '{label}'; there is {listed(known[:12], 'or')}."
    ),
    "unknown_canvas_ground": lambda ground, known: (
        f"'{ground}' is no ground; take {listed((*known, 'none'), 'or')}."
    ),
    "dry_passage": "This aims at the passage that is dry on the canvas, as its dab was measured, "
    "and not at the photo; the key leaves it alone.",
    "no_dry_dab": "No dry dab of '{label}' was looked at; {remedy}.",
    "medium_share_not_offered": "{percent:g} % of medium '{medium}' is not offered: 0 to 90 are, "
    "and 0 of none.",
}

REMEDIES: dict[str, Sentence] = {
    "no_dry_dab": "look at one beside something known, and say that it is dry",
}

CARES = {
    "solvent": "Solvents: fresh air, no flame, lids on; they are sold with warnings, and local "
    "rules say where what is left over may go.",
    "rags": "Rags with oil, and most of all with linseed or alkyd, can catch fire by themselves: "
    "spread them to dry out of doors, or close them up under water in a metal can.",
    "driers": "Alkyds and driers: the fewer the better, never two together; the label's figures "
    "come before these.",
}
"""What to beware of with mediums, by the cautions in ``paint/mediums.toml``."""

LAYERS_WORDS = (
    "From the canvas up, each layer no leaner than the one below it and on paint that is dry to "
    "the touch. Days are for oil in a light room of about 20 °C; damp, cold and dark lengthen "
    "them, and paints of one name differ: press a nail into a thick place before you go on."
)
"""What the page of layers says at its head."""

GLAZE_REMARK = "The mix is the glazed colour in opaque paint, to hold beside it."


def days_words(days: Sequence[float]) -> str:
    """Return how long a film takes: "within a day", "2–5 days", "about 3 days"."""
    shortest, longest = max(1, round(days[0])), max(1, math.ceil(round(days[1], 3)))
    if longest == 1:
        return "within a day"
    if shortest >= longest:
        return f"about {counted(longest, 'day')}"
    return f"{shortest}–{longest}{NBSP}days"


def parts_words(share: float) -> str:
    """Return a share of medium in parts: "1 part to 9 of paint"."""
    part = Fraction(share).limit_denominator(20)
    return f"{counted(part.numerator, 'part')} to {part.denominator - part.numerator} of paint"


def medium_words(puddle: Brushed) -> str:
    """Return what is worked into a puddle: "with stand oil, 1 part to 9 of paint"."""
    name = mediums()[puddle.medium].name
    if puddle.share <= 0.0:
        return "with no medium" if puddle.medium == "none" else f"with no {name}"
    return f"with {name}, {parts_words(puddle.share)}"


def layer_and_medium(layer: PaintLayer, puddle: Brushed) -> str:
    """Return what a puddle is for and what is worked into it: "underpainting, with solvent, …"."""
    return f"{layer.name}, {medium_words(puddle)}"


def coat_words(layer: PaintLayer, puddle: Brushed) -> str:
    """Say of one puddle its layer, its medium, and when it is dry."""
    return (
        f"{capital(layer_and_medium(layer, puddle))}; "
        f"dry to the touch {_in(days_words(puddle.days))}."
    )


def puddle_words(puddle: Brushed) -> str:
    """Say what is worked into a puddle, how fat it is, and when it is dry."""
    return (
        f"{medium_words(puddle)}; oil {100.0 * puddle.oil:.0f}{NBSP}%; dry "
        f"{_in(days_words(puddle.days))}"
    )


def work_head(layer: PaintLayer) -> str:
    """Return a layer as the order of work is headed by it."""
    return f"{capital(layer.name)}: dry to the touch {_in(days_words(layer.days))}"


def ground_words(name: str, ground: Sequence[float], targets: Sequence[tuple[int, Array]]) -> str:
    """Say how a ground makes colours look that stand alone on it.

    What is darker than its surround looks darker still, what is lighter lighter (simultaneous
    contrast, Chevreul 1839). How much hangs on size and eye: so it is told in words alone.
    """
    own = float(value_from_lstar(float(ground[0])))
    values = [(number, float(munsell_value(lab))) for number, lab in targets]
    lighter = [str(number) for number, value in values if value > own + NEAR_VALUE]
    darker = [str(number) for number, value in values if value < own - NEAR_VALUE]
    near = [str(n) for n, value in values if abs(value - own) <= NEAR_VALUE]
    told = [
        f"{listed(numbers)} {look}"
        for numbers, look in (
            (darker, "will look darker than mixed"),
            (lighter, "will look lighter than mixed"),
            (near, "about as light as mixed"),
        )
        if numbers
    ]
    return (
        f"The colours alone on a {name} ground of value {with_halves(own)}, as first strokes: "
        f"{'; '.join(told)}. Only how they look is changed, not the mix: hold the card to them, "
        "and trust the parts until the ground is covered."
    )


NEAR_VALUE = 1.0
"""Colours within a value of their ground look much as they are (common practice, no source)."""


def layer_words(layer: PaintLayer) -> str:
    """Say how a layer is painted, and when all of it is dry."""
    with_each = tuple(dict.fromkeys(medium_words(puddle) for puddle in layer.puddles))
    medium = with_each[0] if len(with_each) == 1 else "the medium of each puddle worked in"
    return (
        f"{capital(medium)}; oil {100.0 * layer.oil:.0f}{NBSP}% of it. {capital(film_words(layer))}"
    )


def film_words(layer: PaintLayer) -> str:
    """Say how thick a layer is, and when all of it is dry."""
    slowest = f", “{layer.slowest}” last" if len(layer.puddles) > 1 else ""
    return (
        f"a film of about {layer.film_um / 1000:g}{NBSP}mm, dry to the touch "
        f"{_in(days_words(layer.days))}{slowest}."
    )


def wait_words(layer: PaintLayer, above: PaintLayer) -> str:
    """Say how long to wait between two layers."""
    return f"Let the {layer.name} dry, {days_words(layer.days)}, before the {above.name} goes on."


def whole_words(layers: Sequence[PaintLayer]) -> str:
    """Say how long the layers take from the first stroke to the last that is dry."""
    days = [sum(layer.days[end] for layer in layers) for end in (0, 1)]
    all_of = "Both layers" if len(layers) == 2 else f"All {number_word(len(layers))} layers"
    return f"{all_of} are dry to the touch {_in(days_words(days))}."


def cares(layers: Sequence[PaintLayer]) -> tuple[str, ...]:
    """Return what to beware of with the mediums of some layers."""
    used = {puddle.medium for layer in layers for puddle in layer.puddles}
    asked = {caution for key in used for caution in mediums()[key].cautions}
    return tuple(words for caution, words in CARES.items() if caution in asked)


def driers(layers: Sequence[PaintLayer]) -> tuple[str, ...]:
    """Return what to beware of besides solvents and rags, which every sheet has."""
    return tuple(words for words in cares(layers) if words == CARES["driers"])


def _in(days: str) -> str:
    return days if days.startswith("within") else f"in {days}"
