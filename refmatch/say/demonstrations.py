"""Demonstrations as a tutor announces them: the claim, what to see, each paint by its part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.lab import chroma
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import compare, with_halves
from refmatch.plan.demonstrations import last_beside
from refmatch.plan.roles import BLACK, COMPLEMENT, TRUER, WHITE
from refmatch.recipe.moves import CHALKY, FLAT
from refmatch.recipe.neutral import GREY_CSTAR, VALUE_HELD
from refmatch.say.nudges import HOLDS
from refmatch.say.sentence import NBSP, Sentence, capital, listed

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.plan.demonstrations import Demonstration
    from refmatch.plan.roles import Portions
    from refmatch.plan.strips import Strip, StripPaint, StripStep

INTRO = (
    "Expected colours, from left to right; mix the parts below each, and paint your own into the "
    "empty row. “Value” is Munsell's, 0 black to 10 white."
)

NO_MIX = "no whole parts"
"""What stands in a strip where no parts that a hand lays out come near the value."""

SPOILT = (
    "Chalky: lighter at the price of its colour. Flat: darker, and its colour goes faster than its "
    "light. Muddy: the same by a coloured paint."
)
"""What the words under the steps mean, by the rules of `recipe.moves`."""


def portions_words(portions: Portions) -> str:
    """Return "ultramarine", or "1 ultramarine + 3 titanium white"."""
    if len(portions) == 1:
        return portions[0][0].name
    return " + ".join(f"{parts:g}{NBSP}{tube.name}" for tube, parts in portions)


def paint_words(paint: StripPaint) -> str:
    """Return what a paint is counted as under the steps: its tube's name, or "the orange"."""
    return paint.portions[0][0].name if len(paint.portions) == 1 else f"the {paint.role}"


def strip_words(strip: Strip) -> str:
    """Return what is worked into what: "pyrrole red, by white: titanium white"."""
    puddle, *added = strip.paints
    if len(added) > 1:
        names = " the one way, ".join(portions_words(paint.portions) for paint in added)
        return f"{capital(portions_words(puddle.portions))}, by {names} the other"
    paint = added[0]
    of = f"the {puddle.role}: " if len(puddle.portions) > 1 else ""
    by = _by(paint.role)
    return (
        f"{capital(of + portions_words(puddle.portions))}, {by}: {portions_words(paint.portions)}"
    )


def mix_words(strip: Strip, step: StripStep) -> str:
    """Return what a step is mixed of: "1 pyrrole red + 2 titanium white", "7 of the puddle"."""
    named = [
        (part, paint_words(paint)) for part, paint in zip(step.parts, strip.paints, strict=True)
    ]
    of = [
        f"{part} of {name}" if name.startswith("the ") else f"{part} {name}"
        for part, name in named
        if part
    ]
    return " + ".join(of)


def effect_words(step: StripStep) -> str:
    """Return how a step is spoilt, or that it is a grey: "chalky", "flat, green", "grey"."""
    return ", ".join((*step.effects, *(["grey"] if step.is_grey else [])))


def step_value_words(step: StripStep) -> str:
    """Return "value 6½"."""
    return f"value{NBSP}{with_halves(step.munsell_value)}"


def title_words(shown: Demonstration, puddle: Portions) -> str:
    """Return the claim of a demonstration, as far as these tubes bear it out."""
    return TITLES[shown.name](shown, capital(_colour(puddle)))


def see_words(shown: Demonstration) -> str:
    """Return what there is to see, in a sentence; "" of what is not shown."""
    return SEE[shown.name](shown.strips) if shown.strips else ""


def _colour(puddle: Portions) -> str:
    return (
        portions_words(puddle)
        if len(puddle) == 1
        else f"a mix of {listed([t.name for t, _ in puddle])}"
    )


def _by(role: str) -> str:
    """Return "by white", "by its complement", "by a dark blue"."""
    if role in (WHITE, BLACK):
        return f"by {role}"
    return f"by {'its' if role == COMPLEMENT else _a(role)} {role}"


def _a(words: str) -> str:
    return f"{'an' if words[:1] in 'aeiou' else 'a'}"


# What is claimed. It is only said where the steps show it.


def _greyed_title(shown: Demonstration, colour: str) -> str:
    if not shown.strips:
        return f"{colour}, greyed by its complement"
    return f"{colour}, greyed by its complement, {portions_words(shown.strips[0].added.portions)}"


def _spoils(strips: Sequence[Strip], effect: str) -> bool:
    return any(effect in step.effects for strip in strips[:1] for step in strip.steps)


def _lightened_title(shown: Demonstration, colour: str) -> str:
    if _spoils(shown.strips, CHALKY) and shown.strips[0].added.role == WHITE:
        return f"{colour}, lightened: white alone turns it chalky"
    return f"{colour}, lightened"


def _darkened_title(shown: Demonstration, colour: str) -> str:
    if _spoils(shown.strips, FLAT) and shown.strips[0].added.role == BLACK:
        return f"{colour}, darkened: black alone turns it flat"
    return f"{colour}, darkened"


def _blue_title(shown: Demonstration, _: str) -> str:
    if not shown.strips:
        return "A blue with an orange, and with a brown"
    if len(shown.strips) < 2:
        return "A blue with an orange goes green"
    return "A blue with an orange goes green, with a brown it does not"


def _both_title(shown: Demonstration, colour: str) -> str:
    if not shown.strips:
        return f"{colour}, lightened by white and darkened by black"
    return f"{colour}: chalky lights by white, flat darks by black"


TITLES: dict[str, Callable[[Demonstration, str], str]] = {
    "greyed": _greyed_title,
    "lightened": _lightened_title,
    "darkened": _darkened_title,
    "green-or-grey": _blue_title,
    "chalky-and-flat": _both_title,
}


def _greyed_see(strips: Sequence[Strip]) -> str:
    at = next(number for number, step in enumerate(strips[0].steps) if step.is_grey)
    grey = strips[0].steps[at]
    return (
        f"The colour weakens from mix to mix; at {_parts(grey)} it is a grey (C*{NBSP}"
        f"{float(chroma(grey.lab)):.0f}), and beyond that the complement shows."
        f"{_drift_words(strips[0].steps[0], grey)}"
    )


def _drift_words(first: StripStep, grey: StripStep) -> str:
    """Return how the value wanders on the way to the grey, and what would hold it; "" if little."""
    drift = grey.munsell_value - first.munsell_value
    if abs(drift) < VALUE_HELD:
        return ""
    goes, holds = ("falls", "lighter") if drift < 0.0 else ("rises", "darker")
    ends = with_halves(first.munsell_value), with_halves(grey.munsell_value)
    return f" The value {goes} from {ends[0]} to {ends[1]}; {HOLDS[holds]}."


def _parts(step: StripStep) -> str:
    return f"{NBSP}:{NBSP}".join(map(str, step.parts))


def _beside_see(strips: Sequence[Strip]) -> str:
    """Say what sets the last common step of each strip apart from the first strip's."""
    if len(strips) == 1:
        return "Watch what becomes of the colour as its value changes."
    usual, *others = strips
    beside_usual = []
    for other in others:
        one, beside = last_beside(other, usual)
        differs = listed(_differences(one.lab, beside.lab)) or "no different"
        beside_usual.append(
            f"that by {paint_words(other.added)} is {differs} ({step_value_words(beside)})"
        )
    return f"Beside the strip {_by(usual.added.role)} at the same value, {listed(beside_usual)}."


def _differences(lab: Array, reference: Array) -> tuple[str, ...]:
    """Return what sets two colours apart but value, which is meant to be the same."""
    return compare(np.r_[reference[0], lab[1:]], reference)


def _blue_see(strips: Sequence[Strip]) -> str:
    green, *clean = strips
    at = next(step for step in green.steps if "green" in step.effects)
    seen = f"On its way to the orange the blue turns green, at {_parts(at)}"
    if not clean:
        return f"{seen}, where one hopes for a grey."
    same = portions_words(green.paints[0].portions) == portions_words(clean[0].paints[0].portions)
    least = min(float(chroma(step.lab)) for step in clean[0].steps)
    blue = "the same blue" if same else "another blue"
    goes = "goes to a grey" if least <= GREY_CSTAR else "weakens"
    return f"{seen}; by the brown {blue} {goes} (C*{NBSP}{least:.0f}), without a green."


def _both_see(strips: Sequence[Strip]) -> str:
    seen = "From the colour as it is, white leads one way and black the other"
    if len(strips) < 2:
        return f"{seen}."
    light, dark = strips[1].paints[1:]
    truer = [
        f"{paint_words(paint)} {does}"
        for paint, does in ((light, "lightens it"), (dark, "darkens it"))
        if paint.role == TRUER
    ]
    return f"{seen}. Below, at the same values, {listed(truer)}, and it stays stronger."


SEE: dict[str, Callable[[Sequence[Strip]], str]] = {
    "greyed": _greyed_see,
    "lightened": _beside_see,
    "darkened": _beside_see,
    "green-or-grey": _blue_see,
    "chalky-and-flat": _both_see,
}


# What is lacking, and where these tubes do not do as the trade says.


def _does_not_lead_there(role: str) -> str:
    return f"{capital(_a(role))} {role} leads elsewhere: it makes another colour of it at once."


def _keeps_no_more(role: str, than: str) -> str:
    its = "its" if role == COMPLEMENT else _a(role)
    return (
        f"The trade says that {its} {role} leaves a colour stronger or warmer than {than} alone; "
        "with these tubes it does not."
    )


def _no_such_demonstration(asked: str, known: Sequence[str]) -> str:
    return f"There is no demonstration '{asked}'; choose from {', '.join(known)}."


SENTENCES: dict[str, Sentence] = {
    "colour_is_grey": (
        "This colour is a grey already: there is nothing to neutralise; choose a stronger one."
    ),
    "too_dark_to_see": (
        "So dark a colour hardly shows its hue from the tube; mix in a little white to show this."
    ),
    "no_true_complement": "This box has no true complement of this colour: no grey comes of it.",
    "colour_is_light": "This colour is light already; choose a darker one to be lightened.",
    "colour_is_dark": "This colour is dark already; choose a lighter one to be darkened.",
    "box_lacks": "Your box has no {role}.",
    "colour_is_it": "Your {role}, {tube}, is the colour itself.",
    "does_not_lead_there": _does_not_lead_there,
    "does_not_spoil": (
        "The trade warns that {role} turns a colour {effect}; with this colour and these tubes it "
        "does not."
    ),
    "keeps_no_more": _keeps_no_more,
    "no_blue_goes_green": "No blue of this box goes green with its orange.",
    "every_brown_goes_green": "Every brown of this box turns its blues green too.",
    "not_chalky_and_flat": (
        "White and black do not turn this colour both chalky and flat; choose one of middle value."
    ),
    "nothing_keeps_it_truer": (
        "No tube of this box lightens or darkens this colour and leaves it stronger than white and "
        "black do."
    ),
    "box_without_a_hue": "The box '{box}' holds no colour to show anything on; add one.",
    "no_such_demonstration": _no_such_demonstration,
    "demonstrations_are_pdf": "Demonstrations are a PDF; name it '{name}'.",
}
