"""A colour the box cannot make: how far off, in which direction, and what would help.

Where something must be given up, a painter gives up chroma: a picture whose values
hold still reads, a right hue still tells the light, and a colour that is only too
quiet can be helped by quieter neighbours. Common practice, no source.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import hue_name, leans_to, munsell_hue
from refmatch.colorimetry.lab import chroma, lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import chroma_difference, value_difference
from refmatch.paint.box import Box, Tube, built_in_tube
from refmatch.paint.library import advisable, pigments
from refmatch.recipe.doubt import metric, root
from refmatch.recipe.mixture import Palette

K_LIGHTNESS, K_CHROMA, K_HUE = 0.7, 1.5, 1.0
"""CIE94's parametric factors, set so that a step of value weighs half as much again
as a step of hue and twice a step of chroma. With more than that, a dark brown out of
reach ends as black: its last tenth of a value bought with all its colour. Our own choice."""

WITHIN_REACH = 1.0
"""A colour is within reach when the best mix comes this near in dE00."""

HELPS_BY = 1.0
"""What a pigment must gain in dE00 to be named at all."""

LEANS_WITHIN = 10.0
"""Steps of Munsell hue, of 100, within which a mix leans; beyond, it has another name."""

LOOKED_INTO = 4
"""How many pigments, the most promising in a rough look, are solved for in earnest."""


class Nearest(NamedTuple):
    """The best that some tubes can do for a target: its Lab, (3,), and its dE00."""

    lab: Array
    delta_e_00: float


Solver = Callable[[Sequence[str]], Sequence[Nearest]]
"""From pigments to the best that the box with a tube of each can do for one target."""


class Helper(NamedTuple):
    """A built-in pigment that is not in the box, and how near the target it would bring it."""

    key: str
    name: str
    lab: Array
    delta_e_00: float


def held_distance(labs: Array, target: Array) -> Array:
    """Return how far colours are from a target out of reach, shape (..., 3) to (...).

    CIE94 with the target as its standard and the factors `K_LIGHTNESS`, `K_CHROMA`,
    `K_HUE`: value is held first, then hue, and chroma is given up. Equals CIE94 in
    scale where the factors are 1. Source: CIE 116-1995.
    """
    d_l, d_c, d_h = lch_differences(labs, target)
    s_c, s_h = 1.0 + 0.045 * chroma(target), 1.0 + 0.015 * chroma(target)
    return np.sqrt(
        (d_l / K_LIGHTNESS) ** 2 + (d_c / (K_CHROMA * s_c)) ** 2 + (d_h / (K_HUE * s_h)) ** 2
    )


@dataclass(frozen=True, eq=False)
class Held:
    """A target out of reach, (3,), missed by the held distance: the search's `Measure` for it."""

    target_lab: Array

    def miss(self, lab: Array) -> tuple[Array, Array]:
        """Return the miss of colours (n, 3), (n, 3), and its slopes by Lab, (n, 3, 3).

        Its length is `held_distance`; dH* is in the form of Seve (1991, Color Research &
        Application 16, 217-218), which has slopes everywhere but opposite the target.
        """
        _, a_0, b_0 = self.target_lab
        own = float(chroma(self.target_lab))
        k_l, k_c, k_h = K_LIGHTNESS, K_CHROMA * (1.0 + 0.045 * own), K_HUE * (1.0 + 0.015 * own)
        a, b = lab[:, 1], lab[:, 2]
        c = np.maximum(np.hypot(a, b), 1e-3)
        across = a_0 * b - b_0 * a
        half = np.sqrt(np.maximum(0.5 * (c * own + a_0 * a + b_0 * b), 1e-4))
        d_h = across / half
        missed = np.stack([(lab[:, 0] - self.target_lab[0]) / k_l, (c - own) / k_c, d_h / k_h], 1)
        slopes = np.zeros((len(lab), 3, 3), dtype=lab.dtype)
        slopes[:, 0, 0] = 1.0 / k_l
        for axis, value, mate, turned in ((1, a, a_0, -b_0), (2, b, b_0, a_0)):
            along = value / c
            slopes[:, 1, axis] = along / k_c
            by_half = 0.25 * (own * along + mate) / half
            slopes[:, 2, axis] = (turned - d_h * by_half) / half / k_h
        return missed, slopes


def explain(target_lab: Array, best_lab: Array) -> str:
    """Say in two sentences that a target is out of reach, and in which direction.

    Such as "Out of reach. Too dull: your nearest violet is much duller." ``best_lab`` is the
    nearest mix; how far off it is, its recipe tells in figures.
    """
    return f"Out of reach. {falls_short(target_lab, best_lab)}"


def falls_short(target_lab: Array, best_lab: Array) -> str:
    """Say what the nearest mix most falls short in: value, chroma or hue."""
    d_l, d_c, d_h = (float(part) for part in lch_differences(best_lab, target_lab))
    weighed = {
        "value": abs(d_l),
        "chroma": abs(d_c) / (1.0 + 0.045 * float(chroma(target_lab))),
        "hue": abs(d_h) / (1.0 + 0.015 * float(chroma(target_lab))),
    }
    worst = max(weighed, key=lambda part: weighed[part])
    return {"value": _value_words, "chroma": _chroma_words, "hue": _hue_words}[worst](
        target_lab, best_lab
    )


def _value_words(target_lab: Array, best_lab: Array) -> str:
    which = "Not dark enough" if best_lab[0] > target_lab[0] else "Not light enough"
    miss = value_difference(best_lab, target_lab).replace("lighter", "too light")
    miss = miss.replace("darker", "too dark")
    return f"{which}: your nearest {_noun(target_lab)} is {miss}."


def _chroma_words(target_lab: Array, best_lab: Array) -> str:
    is_dull = float(chroma(best_lab)) < float(chroma(target_lab))
    which, plain = ("Too dull", "duller") if is_dull else ("Not dull enough", "stronger")
    miss = chroma_difference(best_lab, target_lab) or f"a touch {plain}"
    return f"{which}: your nearest {_noun(target_lab)} is {miss}."


def _hue_words(target_lab: Array, best_lab: Array) -> str:
    lacks = _lacks_words(target_lab, best_lab)
    turned = abs((float(munsell_hue(best_lab) - munsell_hue(target_lab)) + 50.0) % 100.0 - 50.0)
    if turned > LEANS_WITHIN and _noun(best_lab) != _noun(target_lab):
        return f"{lacks}: the nearest to this {_noun(target_lab)} is {_noun(best_lab)}."
    side = leans_to(best_lab, target_lab)
    return f"{lacks}: your nearest {_noun(target_lab)} leans too far to {side}."


POLES_DEG: dict[str, float] = {"red": 25.0, "yellow": 90.0, "green": 165.0, "blue": 255.0}
"""Where in a*b* the four unique hues lie, to the nearest 5 degrees (from memory)."""


def _lacks_words(target_lab: Array, best_lab: Array) -> str:
    """Say of which of the four unique hues a mix has too little: "Not green enough"."""
    way = target_lab[1:] - best_lab[1:]
    toward = np.degrees(np.arctan2(way[1], way[0]))
    off = {name: abs((toward - pole + 180.0) % 360.0 - 180.0) for name, pole in POLES_DEG.items()}
    return f"Not {min(off, key=lambda name: off[name])} enough"


def _noun(lab: Array) -> str:
    """Name a colour so that it can follow "your nearest"."""
    name = hue_name(lab)
    return name.split(" leaning ")[0]


def helper_pigment(box: Box, target_lab: Array, now: float, solve_with: Solver) -> Helper | None:
    """Return the built-in pigment whose tube would bring the target nearest, if any helps.

    Args:
        box: the painter's box, without the pigment.
        target_lab: the colour out of reach, shape (3,).
        now: how near the box comes, in dE00.
        solve_with: finds the best mixes with a tube of each of some pigments.

    A rough look at mixtures of each pigment with white and one tube of the box
    chooses `LOOKED_INTO` pigments; those are solved for. None where the best gains
    less than `HELPS_BY`.
    """
    missing, looks = _rough_looks(box)
    if not missing:
        return None
    keys = [missing[at] for at in _promising(looks, target_lab)]
    helpers = [
        Helper(key, pigments()[key].name, *nearest)
        for key, nearest in zip(keys, solve_with(keys), strict=True)
    ]
    best = min(helpers, key=lambda helper: helper.delta_e_00)
    return best if best.delta_e_00 <= now - HELPS_BY else None


def promising_tubes(box: Box, tubes: tuple[Tube, ...], target_lab: Array) -> list[int]:
    """Return which of some tubes that are not in the box may bring a target nearest, by place."""
    return _promising(_looks_with(box, tubes), target_lab) if tubes else []


def _promising(looks: Array, target_lab: Array) -> list[int]:
    """Return the first `LOOKED_INTO` of the tubes, by the nearest of their mixes, (tubes, n, 3)."""
    away = (looks - target_lab.astype(np.float32)) @ root(metric(target_lab)).astype(np.float32)
    least = np.sum(away * away, axis=2).min(axis=1)
    return [int(at) for at in np.argsort(least, kind="stable")[:LOOKED_INTO]]


def help_words(helper: Helper | None, *, can_key: bool = True) -> str:
    """Say what a tube of the helping pigment would do, or what is left where none helps.

    Without ``can_key`` others aim at the same colour, which stays where it is.
    """
    if helper is None:
        return f"No one tube brings it much nearer{f': {KEY}' if can_key else ''}."
    how = "within reach" if helper.delta_e_00 <= WITHIN_REACH else "nearer"
    or_key = f"; or {KEY}" if can_key else ""
    return f"The tube to buy is {helper.name}, which brings it {how}{or_key}."


KEY = "key the picture, so that all its colours keep their places"
"""What a painter does who has no such tube."""


def with_all_pigments(box: Box) -> Box:
    """Return the box with a tube more of every built-in pigment that is not in it."""
    return replace(box, tubes=(*box.tubes, *(built_in_tube(key) for key in _missing(box))))


def _missing(box: Box) -> list[str]:
    owned = {key.removesuffix("-oil") for tube in box.tubes for key in tube.keys}
    return [key for key in advisable() if key not in owned]


@functools.lru_cache(8)
def _rough_looks(box: Box) -> tuple[list[str], Array]:
    """Return the missing pigments, and Lab, (pigments, n, 3), of mixes of each.

    With white, and with any one tube of the box.
    """
    missing = _missing(box)
    return missing, _looks_with(box, tuple(map(built_in_tube, missing)))


@functools.lru_cache(8)
def _looks_with(box: Box, tubes: tuple[Tube, ...]) -> Array:
    """Return Lab, (tubes, n, 3), of mixes of each tube with white and any one tube of the box."""
    shares = np.array(list(_triples(12)), dtype=float)
    looks = [
        np.concatenate(
            [Palette.of([tube, box.white, other], box.surface).lab(shares) for other in box.tubes]
        )
        for tube in tubes
    ]
    return np.array(looks, dtype=np.float32)


def _triples(total: int) -> Iterator[tuple[float, float, float]]:
    """Yield shares of a tube, white and another, close together where little is used.

    Squares of whole numbers: strong tubes matter in parts of 1 : 144 as much as in 1 : 1.
    """
    for first, second in itertools.product(range(1, total + 1), range(total + 1)):
        for third in range(total + 1):
            if max(first, second, third) == total:
                yield first**2, second**2, third**2


# From which dark to which light a box's tubes reach, in L*.
#
# The lightest mix is mostly the white itself; the darkest is seldom a single tube, since
# two transparent darks that each let another part of the spectrum through swallow more
# together than alone.

SHARES: Array = np.array([0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9])
"""Shares tried of one tube in another, and of a tube more in what was found so far."""

GAINS = 0.01
"""A step of the search that gains less, in L*, is the last."""

MOST_STEPS = 40


class ValueRange(NamedTuple):
    """The darkest and the lightest L* that the tubes of a box mix, both reached."""

    dark_lstar: float
    light_lstar: float


@functools.lru_cache(8)
def value_range(box: Box) -> ValueRange:
    """Return the value range of a box, by any shares of its tubes.

    The best pair is taken, then a share of any other tube worked in for as long as it
    gains: every mix looked at is a real one, so the range never says too much.
    """
    palette = Palette.of(box.tubes, box.surface)
    return ValueRange(-_farthest(palette, -1.0), _farthest(palette, 1.0))


def _farthest(palette: Palette, sign: float) -> float:
    """Return the largest ``sign`` times L* of any shares."""
    unit = np.eye(len(palette.absorption))
    pairs = [unit, *(_worked_in(one, other) for one, other in itertools.combinations(unit, 2))]
    best, mix = _best(palette, np.concatenate(pairs), sign)
    for _ in range(MOST_STEPS):
        gained, trial = _best(palette, np.concatenate([_worked_in(mix, one) for one in unit]), sign)
        if gained < best + GAINS:
            break
        best, mix = gained, trial
    return best


def _worked_in(mix: Array, other: Array) -> Array:
    """Return every share of another worked into a mix, (shares, tubes)."""
    return mix + SHARES[:, None] * (other - mix)


def _best(palette: Palette, mixes: Array, sign: float) -> tuple[float, Array]:
    lstar = sign * palette.lab(mixes)[:, 0]
    at = int(np.argmax(np.round(lstar, 6)))
    return float(lstar[at]), mixes[at]
