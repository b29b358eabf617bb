"""What a tutor would not have drawn from what. All common practice, no source.

A light is not made from a dark: it would take a mountain of white. White is kept out
of the darks. Two hues that stand opposite each other on the circle make a grey, so one is
worked into the other only by a touch, unless a grey is wanted; and bright colours from all
round the circle make soup.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hue_names import GREY_BELOW, munsell_chroma, munsell_hue
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.entries import Entries
from refmatch.recipe.hand import TOUCH_SHARE
from refmatch.recipe.mixture import Palette
from refmatch.recipe.puddles.model import Mother
from refmatch.recipe.subsets import Mask

MOST_STEPS = 2.0
"""How many values a puddle may lie from the one it is drawn from, lighter or darker."""

DARK_BELOW, LITTLE_WHITE = 4.0, 0.1
"""The value below which a puddle is a dark, and the share of white it may inherit."""

MOST_TURN = 15.0
"""Steps of Munsell hue, of 100, that a puddle may be turned by what is worked into it."""

STRONGER_BY = 2.0
"""Steps of Munsell chroma by which it may be stronger than what it is drawn from: a colour
is dulled with ease, and freshened only by drowning it."""

OPPOSED, DULL = 35.0, 3.0
"""Steps of Munsell hue, of 100, from which two hues are opposed; and the Munsell chroma below
which a colour may be made by working one into the other."""

BRIGHT, ROUND = 9.5, 52.0
"""The Munsell chroma from which a tube is bright (yellow earths stay below); and the steps of
hue, of 100, below which the widest gap between three bright tubes or more says that they stand
all round the circle."""

MOST_COLOURS, COUNTS_FROM = 4, 0.05
"""Tubes in one puddle besides white, and the share from which one counts; more is soup."""


@dataclass(frozen=True, eq=False)
class Nature:
    """What the rules ask of a box: each tube's Munsell hue (nan where grey), and which are bright.

    All (tubes,).
    """

    hue: Array
    bright: Mask
    white: Mask


class Look(NamedTuple):
    """Colours as the rules see them: Munsell value, hue (nan where grey) and chroma, (n,) each."""

    value: Array
    hue: Array
    chroma: Array

    def of(self, place: int) -> Look:
        """Return one of them."""
        return Look(self.value[place], self.hue[place], self.chroma[place])


def nature_of(entries: Entries) -> Nature:
    """Look the rules' questions up once for a box.

    A tube's hue is taken where it shows most: dark transparent tubes show it only in a tint.
    """
    box = entries.box
    parts = [[1.0, 0.0], [1.0, 1.0], [1.0, 4.0]]
    pale = next((tube for tube in box.tubes if tube.is_white), box.tubes[0])
    shown = np.stack(
        [Palette.of([tube, pale], box.surface).lab(np.array(parts)) for tube in box.tubes]
    )
    strength = munsell_chroma(shown)
    most = strength.argmax(axis=1)[:, None]
    strongest = np.take_along_axis(strength, most, axis=1)[:, 0]
    hue = np.take_along_axis(munsell_hue(shown), most, axis=1)[:, 0]
    return Nature(
        np.where(strongest >= GREY_BELOW, hue, np.nan),
        strongest >= BRIGHT,
        np.array([tube.is_white for tube in box.tubes]),
    )


def apart(one: Array | float, other: Array | float) -> Array:
    """Return how many of the circle's 100 steps two Munsell hues lie apart, 0 to 50."""
    return np.abs((np.asarray(one) - np.asarray(other) + 50.0) % 100.0 - 50.0)


def look_at(labs: Array) -> Look:
    """Return value, hue and chroma of colours, (n, 3), as the rules ask for them."""
    strength = munsell_chroma(labs)
    hue = np.where(strength >= GREY_BELOW, munsell_hue(labs), np.nan)
    return Look(munsell_value(labs), hue, strength)


def near_enough(wanted: Look, given: Look) -> Mask:
    """Say which colours (n,) may be drawn from which others (m,), by their places: (m, n).

    They must not be far in value or hue, nor much stronger than what they come from.
    """
    apart_in_value = np.abs(wanted.value - given.value[:, None]) <= MOST_STEPS
    fresher = wanted.chroma - given.chroma[:, None] <= STRONGER_BY
    turned = apart(wanted.hue, given.hue[:, None]) > MOST_TURN  # nan: greys have no hue
    return apart_in_value & fresher & ~turned


def allowed(nature: Nature, whole: Array) -> Mask:
    """Say what a tutor would let pass for any colour, (n,), of shares of each tube (n, tubes)."""
    few = (whole[:, ~nature.white] >= COUNTS_FROM).sum(axis=1) <= MOST_COLOURS
    return few & ~is_soup(nature, whole)


def allowed_for(wanted: Look, nature: Nature, added: Array, mother_hue: float) -> Mask:
    """Say which would pass for one colour besides, (n,): no opposed hue beyond a touch.

    ``added`` (n, tubes) are the shares of the whole that come into the mother.
    """
    if wanted.chroma < DULL:
        return np.ones(len(added), dtype=bool)
    opposed = apart(nature.hue, mother_hue) > OPPOSED  # nan is never opposed
    return ~np.logical_or.reduce(added[:, opposed] > TOUCH_SHARE, axis=1)


def clashes(nature: Nature, added: Array) -> Mask:
    """Say where two bright tubes of opposed hues come in together, (n,): one undoes the other.

    ``added`` (n, tubes) are the shares of the whole that come into the mother.
    """
    hue = nature.hue[nature.bright]
    opposed = (apart(hue, hue[:, None]) > OPPOSED).astype(float)
    held = (added[:, nature.bright] > 0.0).astype(float)
    return np.logical_or.reduce((held @ opposed) * held > 0.0, axis=1)


def keeps_dark(wanted: Look, nature: Nature, whole: Array, own_net: Array | None = None) -> Mask:
    """Say which would carry no white into a dark, (n,): no more than a dark's own recipe has.

    ``own_net`` (tubes,) are that recipe's shares, where the colour has one.
    """
    if wanted.value >= DARK_BELOW:
        return np.ones(len(whole), dtype=bool)
    own = 0.0 if own_net is None else float(own_net[nature.white].sum())
    return whole[:, nature.white].sum(axis=1) <= max(LITTLE_WHITE, own)


def whole_of(added: Array, mother: Mother) -> Array:
    """Return the shares of each tube, (n, tubes), where such shares come into a mother."""
    return added + (1.0 - added.sum(axis=1, keepdims=True)) * mother.net


def is_soup(nature: Nature, shares: Array) -> Mask:
    """Say where bright tubes from all round the circle come together, (n,), of shares (n, tubes).

    Touches do not count, nor do earths.
    """
    bright = np.flatnonzero(nature.bright)
    held, hue = shares[:, bright] > TOUCH_SHARE, nature.hue[bright]
    onward = (hue[None, :] - hue[:, None]) % 100.0  # from each to every other, once round
    np.fill_diagonal(onward, 100.0)
    to_next = np.where(held[:, None, :], onward, 100.0).min(axis=2, initial=100.0)
    widest = np.where(held, to_next, 0.0).max(axis=1, initial=0.0)
    return (held.sum(axis=1) >= 3) & (widest < ROUND)
