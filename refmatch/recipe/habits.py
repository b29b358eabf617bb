"""A painter's habits: what may not, must, or should rather not go into a mix."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import hue_deg
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.paint.box import BLACKS, Box, Tube
from refmatch.recipe.mixture import Entries, predict
from refmatch.recipe.subsets import Indices, Mask

BROWNS = frozenset(
    {"burnt-sienna", "burnt-umber", "raw-umber", "transparent-red-oxide", "red-iron-oxide"}
)

BLACK_PRICE = 1.0
"""What a recipe with black must gain in dE00 where the painter is easy on black."""

DARK_LSTAR = 41.0
"""Lightness of Munsell value 4: below it, no white where the painter keeps that habit."""

YELLOWISH_ORANGE_HUE_DEG = (45.0, 100.0)
GREENISH_BLUE_HUE_DEG = (150.0, 250.0)
"""In a tint; ultramarine, at about 264 degrees, lies beyond."""


@dataclass(frozen=True)
class Habits:
    """What the painter holds to; every one is off unless asked for.

    ``without`` holds tubes out, ``insist`` wants tubes in every recipe,
    ``easy_on_black`` takes black only where it gains and never alone, ``no_white_in_darks`` keeps
    white out below value 4, and ``no_stray_green`` keeps greenish blues out of
    yellowish oranges where the box has a brown to dull them with.
    """

    without: tuple[str, ...] = ()
    insist: tuple[str, ...] = ()
    easy_on_black: bool = False
    no_white_in_darks: bool = False
    no_stray_green: bool = False


NO_HABITS = Habits()


def check_insisted(box: Box, habits: Habits) -> None:
    """See that every tube insisted on is in the box and is not held out at once.

    Raises:
        UnknownTube: a habit names a tube that is not in the box.
        UsageError: a tube is insisted on and held out.
    """
    held_out = {box.tube(name).name for name in habits.without}
    for name in habits.insist:
        if box.tube(name).name in held_out:
            raise UsageError("insisted_and_held_out", tube=name)


def permitted(entries: Entries, members: Indices, habits: Habits, target_lab: Array) -> Mask:
    """Say which subsets the habits allow for this target, (subsets,)."""
    box = entries.box
    allowed = np.ones(len(members), dtype=bool)
    for name in habits.insist:
        wanted = box.tube(name)
        allowed &= _holds(entries, members, np.array([tube is wanted for tube in box.tubes]))
    if habits.easy_on_black:
        colours = ~(holds_black(box) | _tubes_where(box, lambda tube: tube.is_white))
        black = _holds(entries, members, holds_black(box))
        allowed &= ~black | _holds(entries, members, colours)
    if habits.no_white_in_darks and target_lab[0] < DARK_LSTAR:
        allowed &= ~_holds_net(entries, members, _tubes_where(box, lambda tube: tube.is_white))
    if habits.no_stray_green and any(BROWNS & set(tube.keys) for tube in box.tubes):
        orange = _tubes_where(box, is_yellowish_orange)
        blue = _tubes_where(box, lambda tube: is_greenish_blue(tube, box.white))
        allowed &= ~(_holds(entries, members, orange) & _holds(entries, members, blue))
    return allowed


def may_grow(entries: Entries, members: Indices, habits: Habits, target_lab: Array) -> Mask:
    """Say which subsets, (subsets, size), the habits allow, or may once they are larger.

    The tubes insisted on come first, so that none is passed over for want of them.
    """
    box = entries.box
    wanted = sorted({box.tube(name).name for name in habits.insist})
    held = [
        _holds(entries, members, np.array([tube.name == name for tube in box.tubes]))
        for name in wanted
    ]
    allowed = permitted(
        entries, members, replace(habits, insist=(), easy_on_black=False), target_lab
    )
    if held:
        allowed &= np.sum(held, axis=0) >= min(len(held), members.shape[1])
    return allowed


def dislike(entries: Entries, used: Mask, easy_on_black: bool) -> Array:
    """Return what recipes must gain for holding black, (n,), where that is disliked.

    ``used`` (n, entries) says which entries each holds.
    """
    black = np.logical_or.reduce(entries.net[:, holds_black(entries.box)] > 0.0, axis=1)
    held = np.logical_or.reduce(used[:, black], axis=1)
    return np.where(held & easy_on_black, BLACK_PRICE, 0.0)


def holds_black(box: Box) -> Mask:
    """Say which tubes of the box hold a black pigment, (tubes,)."""
    return holding(box, BLACKS)


def holding(box: Box, keys: frozenset[str]) -> Mask:
    """Say which tubes of the box hold one of these pigments, (tubes,)."""
    return _tubes_where(box, lambda tube: bool(keys & set(tube.keys)))


def is_yellowish_orange(tube: Tube) -> bool:
    """Say whether the tube is a bright yellow or orange."""
    lab = predict([tube], [1.0])
    low, high = YELLOWISH_ORANGE_HUE_DEG
    return bool(np.hypot(lab[1], lab[2]) > 60.0 and low <= hue_deg(lab) <= high)


def is_greenish_blue(tube: Tube, white: Tube) -> bool:
    """Say whether the tube is a blue or green that would turn a yellow green.

    Dark paints show their hue only in a tint, so it is read at one part to nine white.
    """
    lab = predict([tube, white], [1.0, 9.0])
    low, high = GREENISH_BLUE_HUE_DEG
    return bool(np.hypot(lab[1], lab[2]) > 8.0 and low <= hue_deg(lab) <= high)


def _tubes_where(box: Box, true_of: Callable[[Tube], bool]) -> Mask:
    return np.array([true_of(tube) for tube in box.tubes], dtype=bool)


def _holds(entries: Entries, members: Indices, tubes: Mask) -> Mask:
    """Say which subsets hold one of the tubes, plain or let down."""
    return np.logical_or.reduce(tubes[entries.tube_index][members], axis=1)


def _holds_net(entries: Entries, members: Indices, tubes: Mask) -> Mask:
    """The same, the white inside let-downs counted too."""
    held = np.logical_or.reduce(entries.net[:, tubes] > 0.0, axis=1)
    return np.logical_or.reduce(held[members], axis=1)
