"""What a box has learnt of each tube, in a painter's words: stronger or weaker, and of what hue.

Strength is all the light that a tint loses, and says nothing of hue; hue is that of the tint, one
to nine white, whatever its strength.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Box, Tube
from refmatch.paint.strength import NINE_IN_TEN, strength_beside
from refmatch.recipe.mixture import Palette

TINT_WHITE_PARTS = 9.0
LEAST_PERCENT = 5
"""A strength nearer to the one assumed is told as such: no hand notices it."""

LITTLE, MUCH = 1.5, 4.0
"""dE00 from which a tint's hue is told to be a little other, and other (own choice)."""


@dataclass(frozen=True)
class Change:
    """What was learnt of one tube.

    ``strength_percent`` is how much stronger it is than assumed, below 0 where weaker, None for a
    white. ``is_other`` says whether strength or hue differs by more than nine of ten errors would
    make of it: the ``words`` then say how, and else that it is as assumed.
    """

    tube: str
    strength_percent: float | None
    is_other: bool
    words: str


def changes(assumed: Box, found: Box, names: Iterable[str]) -> tuple[Change, ...]:
    """Return what was learnt of the tubes of these names, those that changed most first."""
    pairs = [(assumed.tube(name), found.tube(name)) for name in names]
    told = [
        _of_white(before, after, assumed)
        if before.is_white
        else _of_colour(before, after, assumed, found)
        for before, after in pairs
    ]
    return tuple(sorted(told, key=lambda each: -_size(each)))


def _size(change: Change) -> float:
    return abs(change.strength_percent or 0.0) if change.is_other else -1.0


def _of_colour(before: Tube, after: Tube, assumed: Box, found: Box) -> Change:
    strength = strength_beside(after, before)
    percent = 100.0 * (strength.ratio - 1.0)
    told = round(abs(percent))
    said = []
    if strength.is_certain and told >= LEAST_PERCENT:
        said.append(f"{told} % {'stronger' if percent > 0.0 else 'weaker'}")
    hue = _hue(_tint(before, assumed), _tint(after, found), _tint_doubt(after, found))
    if hue:
        said.append(hue)
    return Change(before.name, percent, bool(said), _words(before.name, said))


def _of_white(before: Tube, after: Tube, assumed: Box) -> Change:
    """A white has no strength of its own to know: it is what others are let down in."""
    labs = [_lab([tube], [1.0], assumed) for tube in (before, after)]
    hue = _hue(labs[0], labs[1], _doubt([after], np.ones(1), assumed))
    return Change(before.name, None, bool(hue), _words(before.name, [hue] if hue else []))


def _words(tube: str, said: list[str]) -> str:
    if not said:
        return f"your {tube} is as assumed, as far as these photos tell"
    return f"your {tube} is {' and '.join(said)} than assumed"


def _hue(before: Array, after: Array, doubt: Array) -> str:
    """Return how much redder, greener, yellower or bluer a colour became, "" where not.

    ``doubt`` is the covariance (3, 3) of the Lab of ``after``.
    """
    moved = np.array([0.0, *(after - before)[1:]])
    chroma = float(np.hypot(*before[1:]))
    if chroma > LITTLE:
        along = before[1:] / chroma
        moved[1:] -= along * (moved[1:] @ along)  # that it became stronger is no hue
    size, length = float(delta_e_00(before, before + moved)), float(np.hypot(*moved[1:]))
    if size < LITTLE or length**2 < NINE_IN_TEN**2 * (moved @ doubt @ moved) / length**2:
        return ""
    if abs(moved[1]) > abs(moved[2]):
        word = "redder" if moved[1] > 0.0 else "greener"
    else:
        word = "yellower" if moved[2] > 0.0 else "bluer"
    return word if size >= MUCH else f"a little {word}"


def _tint(tube: Tube, box: Box) -> Array:
    return _lab([tube, box.white], [1.0, TINT_WHITE_PARTS], box)


def _tint_doubt(tube: Tube, box: Box) -> Array:
    return _doubt([tube, box.white], np.array([1.0, TINT_WHITE_PARTS]), box)


def _doubt(tubes: list[Tube], parts: Array, box: Box) -> Array:
    """Return the covariance, (3, 3), that the first tube's open modes leave of a mix's Lab."""
    by_modes = Palette.of(tubes, box.surface).lab_by_curves(parts)[0] @ tubes[0].modes.T
    spread: Array = by_modes @ by_modes.T
    return spread


def _lab(tubes: list[Tube], parts: list[float], box: Box) -> Array:
    return Palette.of(tubes, box.surface).lab(np.array(parts))
