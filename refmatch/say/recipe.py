"""What is said of recipes and how they are mixed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from refmatch.colorimetry.hues import munsell_hue
from refmatch.colorimetry.lab import chroma, hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import graded, with_halves, worded_turns
from refmatch.recipe.nudge import DIRECTIONS, Direction, along_and_astray
from refmatch.say.sentence import NBSP, Sentence, capital, counted, listed, signed

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.recipe.model import FromPuddle, Laid, Recipe
    from refmatch.recipe.nudge import Lesson, Nudge

LAMPS = {"A": "a tungsten lamp", "LED-B3": "a white LED lamp"}
"""The lamps of CIE 015:2018 that recipes are looked at under, as a painter calls them."""


def _under_lamp(lamp: str, turns: Sequence[str], other: str | None) -> str:
    beside = "the first choice" if other is None else other
    return f"Under {LAMPS[lamp]} it turns {', '.join(turns)} than {beside}."


def _stray_hue(hue: str, stays: bool) -> str:
    return f"Goes {hue} {'here' if stays else 'on the way'}."


SENTENCES: dict[str, Sentence] = {
    # doubt; the figures are those of uncalibrated curves against real acrylics (docs/accuracy.md)
    "generic_curves": (
        "Reckoned from generic curves of these pigments, not from your own tubes: "
        "expect the real mix to be about 3 ΔE00 off, sometimes 9; the dab is the judge."
    ),
    "tubes_not_offered": "At most {tubes} tubes is not offered; ask for 2 to 5.",
    "total_not_offered": "A total of {total} parts is not offered; ask for 2 to 64.",
    "no_tubes_left": "The box '{box}' has no tubes left; hold fewer of them out.",
    "white_held_out": "Without its white the box '{box}' mixes nothing; leave one in.",
    "no_recipe_keeps_habits": "No recipe keeps to all these habits; allow more tubes or parts.",
    "insisted_and_held_out": "'{tube}' is both insisted on and held out; take one of the two away.",
    "stray_hue": _stray_hue,
    "under_lamp": _under_lamp,
}


def laid_words(laid: Laid) -> str:
    """Return what one row of a recipe counts: "phthalo green, 1 to 9 white"."""
    if not laid.let_down_white_parts:
        return laid.tube
    return f"{laid.tube}, 1{NBSP}to{NBSP}{laid.let_down_white_parts}{NBSP}white"


def puddle_name(source: FromPuddle) -> str:
    """Return what the row of a recipe counts that is taken of another puddle."""
    return f"of puddle{NBSP}{source.number}, “{source.label}”"


def laid_rows(recipe: Recipe) -> tuple[tuple[int, str], ...]:
    """Return all that goes in as rows of parts and words, what is taken of a puddle first."""
    rows = [(laid.parts, laid_words(laid)) for laid in recipe.laid_out]
    source = recipe.from_puddle
    return tuple([(source.parts, puddle_name(source)), *rows] if source else rows)


def laid_line(recipe: Recipe) -> str:
    """Return the recipe in one line: "24 titanium white + 7 hansa yellow"."""
    return " + ".join(f"{parts} {words}" for parts, words in laid_rows(recipe))


def total_words(recipe: Recipe, parts_by: str) -> str:
    """Return "39 parts by volume"."""
    return f"{counted(sum(parts for parts, _ in laid_rows(recipe)), 'part')} by {parts_by}"


MOST_WHOLE = 64
"""Parts up to which a drawn puddle's tubes are told in whole ones: the most a recipe may have."""


def straight_words(recipe: Recipe) -> str:
    """Return a drawn puddle's own tubes: "The same puddle straight from tubes: 9 ochre + 3 blue".

    Empty where the recipe is from tubes anyhow.
    """
    if recipe.from_puddle is None:
        return ""
    parts = np.array([portion.parts for portion in recipe.portions])
    told = (parts * _whole_by(parts)).tolist()
    rows = zip(told, recipe.portions, strict=True)
    line = " + ".join(f"{share:.3g} {portion.tube}" for share, portion in rows)
    return f"The same puddle straight from tubes: {line}."


def _whole_by(parts: Array) -> float:
    """Return what makes parts whole, or where only large figures would, their least to be one."""
    for scale in range(1, MOST_WHOLE + 1):
        scaled = parts * scale / parts.min()
        if scaled.sum() > MOST_WHOLE + 0.5:
            break
        if np.allclose(scaled, np.round(scaled), rtol=0.0, atol=1e-3):
            return float(scale / parts.min())
    return float(1.0 / parts.min())


def distance_words(recipe: Recipe) -> str:
    """Return how near real puddles come: "near, expect ΔE00 3.1 (0.8 on paper, by hand 1.6)"."""
    on_paper = f"{recipe.delta_e_00:.1f}{NBSP}on{NBSP}paper"
    by_hand = f"by{NBSP}hand{NBSP}{recipe.delta_e_00_hand:.1f}"
    if recipe.delta_e_00_expected is None:
        return f"{recipe.verdict}, ΔE00{NBSP}{on_paper}, {by_hand}"
    expected = f"expect{NBSP}ΔE00{NBSP}{recipe.delta_e_00_expected:.1f}"
    return f"{recipe.verdict}, {expected} ({on_paper}, {by_hand})"


def difference_words(recipe: Recipe) -> str:
    """Return the mix minus the target: "ΔL* −0.6, ΔC* +0.2, ΔH* 0.0"."""
    parts = (
        ("L", recipe.delta_lstar),
        ("C", recipe.delta_cstar),
        ("H", recipe.delta_hstar),
    )
    return ", ".join(f"Δ{name}*{NBSP}{signed(value)}" for name, value in parts)


# Nudges, as a tutor says them: how much of what, what it does, and what it does besides.

LEAST_TOUCH = 0.01
"""The share of the puddle up to which a touch is the least that a knife picks up."""

TOLD, PLAIN, MUCH = 0.25, 0.5, 1.5
"""Shares of the step at which a side effect is told, is told plainly, and is "much"."""

SHARES: dict[int, str] = {
    1: "a tenth as much",
    2: "a fifth as much",
    3: "three tenths as much",
    4: "two fifths as much",
    5: "half as much",
}
"""Tenths of a puddle that is too small to be counted in half parts."""

PAIRS: dict[str, tuple[str, str]] = {
    "lightness": ("lighter", "darker"),
    "chroma": ("stronger", "duller"),
    "a": ("redder", "greener"),
    "b": ("yellower", "bluer"),
}
"""What a move up and down each axis is called."""

BESIDES: dict[str, tuple[str, ...]] = {
    "lightness": ("hue", "chroma"),
    "chroma": ("lightness", "hue"),
    "a": ("lightness", "b"),
    "b": ("lightness", "a"),
}
"""What else is looked at beside each axis, in the order it is told."""

YELLOWS = (20.0, 40.0)
"""Munsell hues that black turns to olive: yellow-oranges to yellow-greens."""

SPOILT: dict[str, str] = {"lighter": "chalky", "darker": "flat"}
"""What a colour turns that white lightens, or black darkens, at the price of its chroma."""


class Amount(NamedTuple):
    """So many parts of a tube, and which share of the puddle's own parts they are."""

    tube: str
    parts: float
    share: float

    def __str__(self) -> str:
        """Such as "½ part of yellow ochre", "a touch of ivory black"."""
        return f"{self._measure} {self.tube}"

    @property
    def makes(self) -> str:
        """The verb that goes with so many."""
        return "make" if self.parts > 1.0 and self._in_halves else "makes"

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
    """Return a sentence: "½ part of yellow ochre makes it yellower, but also a touch darker."."""
    direction, amount = nudge.direction, _amount(lesson, nudge)
    if amount is None or nudge.lab is None:
        return f"No single tube here makes it {direction} without changing more besides."
    besides = _side_effects(direction, lesson.lab, nudge.lab)
    more = f", but also {listed(besides)}" if besides else " and little else"
    return f"{capital(str(amount))} {amount.makes} it {direction}{more}."


def alone_words(lesson: Lesson, instead: Nudge) -> str:
    """Return what white or black does by itself, and which tube keeps the colour better.

    Such as "2 parts of titanium white alone make it lighter but chalky: it loses 3.1 of chroma
    and turns cooler; hansa yellow keeps it truer.".
    """
    direction, amount = instead.direction, _amount(lesson, instead)
    if instead.tube is None:
        return f"This box has no {'white' if direction == 'lighter' else 'black'}."
    if amount is None or instead.lab is None:
        return f"{capital(instead.tube)} alone makes it no {direction}."
    price = _price(direction, lesson.lab, instead.lab)
    best = next(nudge.tube for nudge in lesson.nudges if nudge.direction == direction)
    truer = f"; {best} keeps it truer" if best not in (None, instead.tube) else ""
    return f"{capital(str(amount))} alone {amount.makes} it {direction}{price}{truer}."


def _amount(lesson: Lesson, nudge: Nudge) -> Amount | None:
    if nudge.tube is None or nudge.parts is None:
        return None
    return Amount(nudge.tube, nudge.parts, nudge.parts / lesson.parts)


def _side_effects(direction: str, before: Array, after: Array) -> tuple[str, ...]:
    """Return what else a move does, such as ("a touch darker", "warmer"), value first."""
    axis = DIRECTIONS[direction].axis
    step = abs(_size(axis, before, after))
    words: list[str] = []
    for other in BESIDES[axis]:
        if other == "hue":
            turns = worded_turns(after, before)
            words += [_graded(far, step, (up, down)) for far, up, down in turns]
        else:
            words.append(_graded(_size(other, before, after), step, PAIRS[other]))
    return tuple(word for word in words if word)


def _price(direction: str, before: Array, after: Array) -> str:
    """Say what white or black costs: " but chalky: it loses 3.1 of chroma and turns cooler"."""
    step = abs(_size("lightness", before, after))
    lost = float(chroma(before) - chroma(after))
    counts = abs(_size("chroma", before, after)) >= TOLD * step
    turned = _turned(direction, before, after, step)
    clauses = [f"{'loses' if lost > 0.0 else 'gains'} {abs(lost):.1f} of chroma"] if counts else []
    clauses += [f"turns {turned}"] if turned else []
    spoilt = f" but {SPOILT[direction]}" if counts and lost > 0.0 else ""
    return f"{spoilt}: it {listed(clauses)}" if clauses else " and little else"


def _turned(direction: str, before: Array, after: Array, step: float) -> str:
    """Say how the hue turns: "cooler", "a touch greener", "towards olive"."""
    turns = [_graded(far, step, (up, down)) for far, up, down in worded_turns(after, before)]
    turned = listed([word for word in turns if word])
    low, high = YELLOWS
    greened = low < munsell_hue(before) <= high and hue_deg(after) > hue_deg(before)
    return "towards olive" if turned and direction == "darker" and greened else turned


def _graded(size: float, step: float, words: tuple[str, str]) -> str:
    return graded(size, (TOLD * step, PLAIN * step, MUCH * step), words)


def _size(axis: str, before: Array, after: Array) -> float:
    along, _ = along_and_astray(after[None], before, Direction(axis, 1.0))
    return float(along[0])
