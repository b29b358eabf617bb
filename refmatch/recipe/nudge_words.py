"""Nudges as a tutor says them: how much of what, what it does, and what it does besides."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from refmatch.colorimetry.comparison import graded, told_turns
from refmatch.colorimetry.hue_names import munsell_hue
from refmatch.colorimetry.lab import chroma, hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import with_halves
from refmatch.recipe.directions import DIRECTIONS, Direction, along_and_astray

LEAST_TOUCH = 0.01
"""The share of the puddle up to which a touch is the least that a knife picks up."""

SAID, PLAIN, MUCH = 0.25, 0.5, 1.5
"""Shares of the step at which a side effect is said, is said plainly, and is "much"."""

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

ALONE: dict[str, str] = {"lighter": "chalky", "darker": "flat"}
"""What a colour turns that white lightens, or black darkens, at the price of its chroma."""


class What(NamedTuple):
    """So many parts of a tube, and which share of the puddle's own parts they are."""

    tube: str
    parts: float
    share: float

    def __str__(self) -> str:
        """Such as "½ part of yellow ochre", "a touch of ivory black"."""
        return f"{amount(self.parts, self.share)} {self.tube}"

    def does(self, one: str, several: str) -> str:
        """Return the verb that goes with so many."""
        return several if self.parts > 1.0 and _in_halves(self.parts) else one


def _in_halves(parts: float) -> bool:
    return (2.0 * parts) % 1.0 == 0.0


def amount(parts: float, share: float) -> str:
    """Return how much to add: "½ part of", "a touch of", "a fifth as much".

    ``share`` is ``parts`` over those of the puddle.
    """
    if _in_halves(parts):
        return f"{with_halves(parts)} {'part' if parts <= 1.0 else 'parts'} of"
    tenths = round(10.0 * share)
    if share < 0.1 - 1e-9 or tenths not in SHARES:
        return "the least touch of" if share <= LEAST_TOUCH else "a touch of"
    return SHARES[tenths]


def nudge(direction: str, what: What, before: Array, after: Array) -> str:
    """Return a sentence: "½ part of yellow ochre makes it yellower, but also a touch darker."."""
    besides = side_effects(direction, before, after)
    told = f", but also {_listed(besides)}" if besides else " and little else"
    return f"{_capital(str(what))} {what.does('makes', 'make')} it {direction}{told}."


def none(direction: str) -> str:
    """Return the sentence for a way that no tube leads."""
    return f"No single tube here makes it {direction} without changing more besides."


def side_effects(direction: str, before: Array, after: Array) -> tuple[str, ...]:
    """Return what else a move does, such as ("a touch darker", "warmer"), value first."""
    axis = DIRECTIONS[direction].axis
    step = abs(_size(axis, before, after))
    found: list[str] = []
    for other in BESIDES[axis]:
        if other == "hue":
            turns = told_turns(after, before)
            found += [_graded(far, step, (up, down)) for far, up, down in turns]
        else:
            found.append(_graded(_size(other, before, after), step, PAIRS[other]))
    return tuple(word for word in found if word)


def alone(direction: str, what: What, before: Array, after: Array, better: str | None) -> str:
    """Return what white or black does by itself, and which tube keeps the colour better.

    Such as "2 parts of titanium white alone make it lighter but chalky: it loses 3.1 of chroma
    and turns cooler; hansa yellow keeps it truer.".
    """
    step = abs(_size("lightness", before, after))
    lost = float(chroma(before) - chroma(after))
    counts = abs(_size("chroma", before, after)) >= SAID * step
    turned = _turned(direction, before, after, step)
    clauses = [f"{'loses' if lost > 0.0 else 'gains'} {abs(lost):.1f} of chroma"] if counts else []
    clauses += [f"turns {turned}"] if turned else []
    name = f" but {ALONE[direction]}" if counts and lost > 0.0 else ""
    told = f"{name}: it {_listed(clauses)}" if clauses else " and little else"
    truer = f"; {better} keeps it truer" if better else ""
    makes = what.does("makes", "make")
    return f"{_capital(str(what))} alone {makes} it {direction}{told}{truer}."


def _turned(direction: str, before: Array, after: Array, step: float) -> str:
    """Say how the hue turns: "cooler", "a touch greener", "towards olive"."""
    turns = [_graded(far, step, (up, down)) for far, up, down in told_turns(after, before)]
    told = _listed([word for word in turns if word])
    low, high = YELLOWS
    greened = low < munsell_hue(before) <= high and hue_deg(after) > hue_deg(before)
    return "towards olive" if told and direction == "darker" and greened else told


def cannot(direction: str, tube: str | None) -> str:
    """Return the sentence for a white or a black that does not help, or is not there."""
    if tube is None:
        return f"This box has no {'white' if direction == 'lighter' else 'black'}."
    return f"{_capital(tube)} alone makes it no {direction}."


def _graded(size: float, step: float, words: tuple[str, str]) -> str:
    return graded(size, (SAID * step, PLAIN * step, MUCH * step), words)


def _size(axis: str, before: Array, after: Array) -> float:
    along, _ = along_and_astray(after[None], before, Direction(axis, 1.0))
    return float(along[0])


def _listed(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]
