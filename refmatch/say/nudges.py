"""Nudges and strings to grey, as a tutor says them: what to add, what it does, what it costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from refmatch.colorimetry.hues import munsell_hue
from refmatch.colorimetry.lab import chroma, hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import both_blue, graded, with_halves
from refmatch.recipe.moves import (
    CHALKY,
    DIRECTIONS,
    FLAT,
    GREEN,
    HUELESS_BELOW,
    LEAST_DELTA_E_00,
    MUDDY,
    is_neutral,
    size_along,
    warmth,
)
from refmatch.recipe.nudge import BLACK, COMPLEMENT, EARTH
from refmatch.say.sentence import NBSP, capital, counted, listed

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.recipe.neutral import GreyStep, GreyString
    from refmatch.recipe.nudge import Lesson, Nudge

LEAST_TOUCH = 0.01
"""The share of the puddle up to which a touch is the least that a knife picks up."""

TOLD, PLAIN, MUCH = 0.25, 0.5, 1.5
"""Shares of the step at which a side effect is told, is told plainly, and is "much"."""

SHARES: dict[int, str] = {1: "a tenth as much", 2: "a fifth as much"}
"""Tenths of a puddle that is too small to be counted in half parts."""

PAIRS: dict[str, tuple[str, str]] = {
    "lightness": ("lighter", "darker"),
    "chroma": ("stronger", "duller"),
}
"""What a move up and down an axis is called."""

BESIDES: dict[str, tuple[str, ...]] = {
    "lightness": ("hue", "chroma"),
    "chroma": ("lightness", "hue"),
    "warmth": ("lightness", "chroma"),
    "turn": ("lightness", "chroma"),
}
"""What else is looked at beside each axis, in the order it is told."""

ENDS = ("redder", "yellower", "greener", "bluer")
"""What a hue grows on its way to the ends of a* and b*, at 0, 90, 180 and 270 degrees."""

AT_END_DEG = 10.0
"""So near to an end a hue is on its way to the next (our own choice)."""

YELLOWS, OLIVE_DEG = (20.0, 40.0), 1.0
"""Munsell hues that black turns to olive, yellow-oranges to yellow-greens; and a turn of CIELAB's
hue that is seen as one."""

SPOILS: dict[str, str] = {
    CHALKY: "goes chalky",
    FLAT: "goes flat",
    MUDDY: "goes muddy",
    GREEN: "goes green with more",
}
"""How a nudge spoils a colour."""

BY: dict[str, str] = {COMPLEMENT: ", its complement", EARTH: ", an earth"}
"""What a tube that dulls a puddle is to it."""


class Amount(NamedTuple):
    """So many parts of a tube, and which share of the puddle's own parts they are."""

    tube: str
    parts: float
    share: float

    def __str__(self) -> str:
        """Such as "½ part of yellow ochre", "a touch of ivory black"."""
        return f"{self._measure} {self.tube}"

    @property
    def _measure(self) -> str:
        """How much it is: "½ part of", "a touch of", "a fifth as much"."""
        if self._in_halves:
            return f"{with_halves(self.parts)} {'part' if self.parts <= 1.0 else 'parts'} of"
        tenths = round(10.0 * self.share)
        if self.share < 0.1 - 1e-9 or tenths not in SHARES:
            return "the least touch of" if self.share <= LEAST_TOUCH else "a touch of"
        return SHARES[tenths]

    @property
    def _in_halves(self) -> bool:
        return (2.0 * self.parts) % 1.0 == 0.0


def nudge_words(lesson: Lesson, nudge: Nudge) -> str:
    """Return such as "Add ½ part of yellow ochre: it turns warmer, but also a touch darker."."""
    direction, amount = nudge.direction, _amount(lesson, nudge)
    if DIRECTIONS[direction].axis == "chroma" and is_neutral(lesson.lab):
        return f"It is a grey: it has no colour to make {direction}; make it warmer or cooler."
    if amount is None or nudge.lab is None:
        return (
            f"No single tube here makes it {direction} within a quarter of the puddle "
            "without changing more besides."
        )
    is_what = BY.get(nudge.by, "") if direction == "duller" else ""
    return f"Add {amount}{is_what}: it turns {direction}{_price(lesson, nudge)}."


def alone_words(lesson: Lesson, instead: Nudge) -> str:
    """Return what else is reached for does by itself, and which tube keeps the colour better.

    Such as "Add 2 parts of titanium white alone: it turns lighter, but goes chalky; it loses 3.1 of
    chroma, also cooler; hansa yellow keeps it truer.".
    """
    direction, amount = instead.direction, _amount(lesson, instead)
    if instead.tube is None:
        return f"There is no {instead.by} among these tubes."
    if amount is None or instead.lab is None:
        return (
            f"{capital(instead.tube)} alone makes it no {direction} within a quarter of the puddle."
        )
    best = next(nudge.tube for nudge in lesson.nudges if nudge.direction == direction)
    truer = "" if best in (None, instead.tube) else f"; {best} keeps it truer"
    does = f"it turns {direction}{_price(lesson, instead)}"
    if direction == "duller":
        return f"Add {amount}{BY.get(instead.by, '')}: {does}."
    return f"Add {amount} alone: {does}{_chroma_words(lesson.lab, instead.lab)}{truer}."


def instead_label(instead: Nudge) -> str:
    """Return what is reached for in short: "white alone", "duller by black"."""
    if instead.direction != "duller":
        return f"{instead.by} alone"
    return f"duller by {BY.get(instead.by, instead.by).removeprefix(', ')}"


def _amount(lesson: Lesson, nudge: Nudge) -> Amount | None:
    if nudge.tube is None or nudge.parts is None:
        return None
    return Amount(nudge.tube, nudge.parts, nudge.parts / lesson.parts)


def _price(lesson: Lesson, nudge: Nudge) -> str:
    """Return what it costs: ", but goes chalky, also a touch cooler", " and little else"."""
    assert nudge.lab is not None
    olive = _is_to_olive(nudge, lesson.lab)
    spoils = [SPOILS[effect] for effect in nudge.effects if not (olive and effect == GREEN)]
    besides = _side_effects(nudge, lesson.lab, nudge.lab)
    if not spoils:
        return f", but also {listed(besides)}" if besides else " and little else"
    also = f", also {listed(besides)}" if besides else ""
    return f", but {listed(spoils)}{also}"


def _side_effects(nudge: Nudge, before: Array, after: Array) -> tuple[str, ...]:
    """Return what else a move does, such as ("a touch darker", "warmer"), value first."""
    axis, step = DIRECTIONS[nudge.direction].axis, nudge.step_delta_e_00 or 0.0
    words: list[str] = []
    for other in BESIDES[axis]:
        if other == "hue":
            olive = _is_to_olive(nudge, before)
            words.append("towards olive" if olive else _turned(before, after, step))
        elif other != "chroma" or not {CHALKY, FLAT}.intersection(nudge.effects):
            words.append(_graded(size_along(other, after, before), step, PAIRS[other]))
    return tuple(word for word in words if word)


def _turned(before: Array, after: Array, step: float) -> str:
    """Return "warmer", "a touch cooler", of blues "redder"; else to which hue it turns, if any."""
    blue = both_blue(after, before)
    warmer = 0.0 if blue else warmth(after, before)
    if warmer:
        return _graded(warmer, step, ("warmer", "cooler"))
    if min(chroma(before), chroma(after)) < HUELESS_BELOW:
        return ""
    turned = float((hue_deg(after) - hue_deg(before) + 180.0) % 360.0 - 180.0)
    far = abs(size_along("turn", after, before))
    if far < LEAST_DELTA_E_00:
        return ""
    if blue:
        return _graded(far, step, ("redder" if turned > 0.0 else "greener", ""))
    up = turned > 0.0
    past = float(hue_deg(after)) + (AT_END_DEG if up else -AT_END_DEG)
    return _graded(far, step, (ENDS[int(past // 90.0 + up) % 4], ""))


def _is_to_olive(nudge: Nudge, before: Array) -> bool:
    """Whether black darkens a yellow and turns it away from red: so it makes olives."""
    low, high = YELLOWS
    is_yellow = bool(low < munsell_hue(before) <= high)
    return is_yellow and nudge.by == BLACK and (nudge.delta_hue_deg or 0.0) > OLIVE_DEG


def _chroma_words(before: Array, after: Array) -> str:
    """Return "; it loses 3.1 of chroma", "" where that is hardly seen."""
    gained = float(chroma(after) - chroma(before))
    if abs(size_along("chroma", after, before)) < PLAIN:
        return ""
    return f"; it {'gains' if gained > 0.0 else 'loses'} {abs(gained):.1f} of chroma"


def _graded(size: float, step: float, words: tuple[str, str]) -> str:
    return graded(size, (TOLD * step, PLAIN * step, MUCH * step), words)


# The string from a colour to its grey.

HOLDS: dict[str, str] = {"lighter": "white holds its value", "darker": "a dark holds its value"}
"""What brings back the value of a step that has wandered."""


def complement_words(string: GreyString) -> str:
    """Return "burnt umber", "phthalo blue tint (1 phthalo blue : 9 white)", or a mix of two."""
    if len(string.complement) == 1:
        return string.complement[0][0]
    (one, parts), (other, more) = string.complement
    mixed = f"({parts:g} {one} : {more:g} {other})"
    return f"{one} tint {mixed}" if string.is_let_down else f"its complement {mixed}"


def _step_complement(string: GreyString) -> str:
    """Return what a step counts; of what two tubes a complement is mixed is said once, above."""
    is_mix = len(string.complement) > 1 and not string.is_let_down
    return "its complement" if is_mix else complement_words(string)


def string_words(string: GreyString) -> str:
    """Say by what a colour is greyed, and how far that gets."""
    if string.is_grey_already:
        return "This puddle is a grey already: there is no colour in it to neutralise."
    if not string.steps:
        return "No tube here lies opposite this colour: nothing neutralises it."
    is_mix = len(string.complement) > 1 and not string.is_let_down
    named = complement_words(string)
    by = f"To grey by {named if is_mix else f'its complement, {named}'}"
    left = f"C*{NBSP}{float(chroma(string.steps[-1].lab)):.0f}"
    if string.is_grey:
        return f"{by}: the last step is a grey, {left}."
    return (
        f"{by}: it gets no nearer to grey than {left}; none of these tubes is its true complement."
    )


def step_words(string: GreyString, step: GreyStep) -> str:
    """Return a step as an action: "Mix 4 parts of the puddle and 1 part of burnt umber: ..."."""
    value = f"value {with_halves(step.munsell_value)}"
    held = f"; {HOLDS[step.holds]}" if step.holds else ""
    return (
        f"Mix {counted(step.parts, 'part')} of the puddle and "
        f"{counted(step.complement_parts, 'part')} of {_step_complement(string)}: "
        f"C*{NBSP}{float(chroma(step.lab)):.0f}, {value}{held}."
    )
