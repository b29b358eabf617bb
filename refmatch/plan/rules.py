"""What a tutor would not have drawn from what. All common practice, no source.

A light is not made from a dark: it would take a mountain of white. White is kept out
of the darks. Two hues that stand opposite each other on the circle make a grey, so one is
worked into the other only by a touch, unless a grey is wanted; and bright colours from all
round the circle make soup.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import GREY_BELOW, munsell_chroma, munsell_hue, munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.plan.mothers import Mother
from refmatch.recipe.habits import permitted
from refmatch.recipe.hand import TOUCH_SHARE
from refmatch.recipe.mixture import Entries, Palette
from refmatch.recipe.solve import Options
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


def keeps_habits(entries: Entries, options: Options, target_lab: Array, whole: Array) -> Mask:
    """Say which shares of each tube, (n, tubes), keep to what is asked of a target's recipe."""
    box, used = entries.box, whole > 0.0
    away = np.isin([t.name for t in box.tubes], [box.tube(n).name for n in options.habits.without])
    first = used.argmax(axis=1)
    members = np.where(used, np.arange(used.shape[1]), first[:, None])
    keeps = (used.sum(axis=1) <= options.tubes) & ~used[:, away].any(axis=1)
    return keeps & permitted(entries, members, options.habits, target_lab)


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


# Local colours: which targets of a picture are one colour in light and in shadow.
#
# Of a thing in one light the photo shows a run of colours, from its light to its shadow,
# that stays about its hue. Targets near in hue and not far in strength are taken for one
# such run; what the thing is, recipes do not know.

SAME_HUE, SAME_STRENGTH = 10.0, 4.0
"""Within what all of one run lie: steps of Munsell hue, of 100 (one of its ten families), and
steps of Munsell chroma (the width of "moderate"), all brought to value 5: in less light
a thing keeps its chromaticity, so that its chroma falls about as its value does."""

LEAST_VALUE = 1.0
"""Darker than this, chroma is not brought to value 5 any further."""

MOST_BETWEEN = 3.0
"""How many values may lie between two neighbours on a run."""

LEAST_SPAN = 1.5
"""The least values from light to shadow for which a string is laid out."""

AS_ONE_LSTAR = 8.0
"""Targets of a run nearer in L* than this count as one place on it: their mean."""


@dataclass(frozen=True, eq=False)
class LocalColour:
    """Targets of one local colour, and the run through them.

    ``places`` are theirs in the set, lightest first; ``run`` (k, 3) is Lab from light to
    shadow, L* falling, k >= 2.
    """

    places: tuple[int, ...]
    run: Array

    def at(self, lstar: float) -> Array:
        """Return the colour of the run, (3,), at an L* within it."""
        rising = self.run[::-1]
        return np.array([np.interp(lstar, rising[:, 0], rising[:, axis]) for axis in range(3)])


def local_colours(labs: Array, shares: Array) -> tuple[LocalColour, ...]:
    """Return the local colours among targets (n, 3), those of the largest share first.

    Greys have no hue to hold together and are left out, and so is what spans less
    than `LEAST_SPAN` values.
    """
    looks = look_at(labs)
    whole = [piece for group in _groups(looks) for piece in _unbroken(looks.value, group)]
    groups = [group for group in whole if np.ptp(looks.value[group]) >= LEAST_SPAN]
    groups.sort(key=lambda group: (-round(float(np.sum(shares[group])), 9), group))
    return tuple(_local_colour(labs, shares, group) for group in groups)


def _groups(looks: Look) -> list[list[int]]:
    """Join the nearest in hue, until no two groups are near in hue and strength throughout."""
    off = apart(looks.hue, looks.hue[:, None]) / SAME_HUE
    strength = looks.chroma * 5.0 / np.maximum(looks.value, LEAST_VALUE)
    off = np.maximum(off, np.abs(strength - strength[:, None]) / SAME_STRENGTH)
    groups = [[place] for place in np.flatnonzero(~np.isnan(looks.hue)).tolist()]
    while len(groups) > 1:
        farthest = {
            (one, other): float(off[np.ix_(groups[one], groups[other])].max())
            for one in range(len(groups))
            for other in range(one)
        }
        one, other = min(farthest, key=lambda pair: (round(farthest[pair], 9), pair))
        if farthest[one, other] > 1.0:
            break
        groups[other] = sorted(groups[other] + groups.pop(one))
    return groups


def _unbroken(value: Array, group: Sequence[int]) -> list[list[int]]:
    """Part a group where too many values lie between two neighbours."""
    order = sorted(group, key=lambda place: (-round(float(value[place]), 9), place))
    gaps = np.flatnonzero(-np.diff(value[order]) > MOST_BETWEEN) + 1
    return [piece.tolist() for piece in np.split(np.array(order), gaps)]


def _local_colour(labs: Array, shares: Array, group: Sequence[int]) -> LocalColour:
    order = sorted(group, key=lambda place: (-round(float(labs[place, 0]), 9), place))
    runs: list[list[int]] = [[order[0]]]
    for place in order[1:]:
        near = labs[runs[-1][0], 0] - labs[place, 0] < AS_ONE_LSTAR
        runs[-1].append(place) if near else runs.append([place])
    run = [np.average(labs[same], axis=0, weights=shares[same]) for same in runs]
    return LocalColour(tuple(order), np.array(run))
