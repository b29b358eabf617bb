"""Whether a dab is right, on which grounds, and what is wrong with it in words.

The verdict rests on two colours: the dab as the photo alone shows it, and what photo and recipe
together make it believed to be, each as sure as it is. A recipe may be wrong, so that a puddle is
right only where the photo itself shows it there.

What is wrong is said value first, then hue, then strength.

Said of the mix, so that each word is also what to undo: "a little too light, too cold". Each
dimension is measured by the CIEDE2000 that it alone makes, so that all three are said at one size
of what is seen. Nobody needs to see the swatches to use the words: of blues they
say redder or greener, elsewhere warm or cold, and how much.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import GREY_BELOW, munsell_chroma
from refmatch.colorimetry.lab import chroma, delta_e_00, lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import worded_turns
from refmatch.recipe.choice import TOO, verdict
from refmatch.recipe.doubt import uncertainty
from refmatch.recipe.rank import EYE

LITTLE, PLAIN, MUCH = 0.6, 2.0, 5.0
"""From which dE00 a dimension is "a little too", "too" and "much too" (our own choice).

Three dimensions just under the first make 1.0 together, which is still a match; the second is where
"good" ends.
"""

WITHIN, UNTOLD, OFF = "within what this photo can tell", "this photo cannot tell", "off"
"""The verdicts on a dab."""

NEAR = 2.0
"""The dE00 within which the photo itself must show a dab that is to be left: where "good" ends."""


class Apart(NamedTuple):
    """How far a colour is from its target, in dE00, and what half and nine in ten lie within."""

    delta_e_00: float
    p50: float
    p90: float

    @classmethod
    def of(cls, lab: Array, covariance: Array, target_lab: Array) -> Apart:
        """Return it of a Lab (3,) and its covariance (3, 3)."""
        return cls(float(delta_e_00(lab, target_lab)), *uncertainty(lab, covariance))


class Verdict(NamedTuple):
    """Whether a dab is off, to be left, or cannot be told of; its grounds, and what is wrong.

    ``name`` is one of `WITHIN`, `UNTOLD` and `OFF`; ``nearness`` is one of "match", "good",
    "close", "off", "another colour"; ``words`` say what is wrong. ``photo`` and ``belief`` are the
    dab as photographed, and as photo and recipe together have it, beside the target.
    """

    name: str
    nearness: str
    words: str
    photo: Apart
    belief: Apart


def judge(lab: Array, target_lab: Array, photo: Apart, belief: Apart) -> Verdict:
    """Return the verdict on a dab that is believed to be of colour ``lab`` (3,).

    Off is what is believed to be, beyond its p50 and what the eye tells. The rest is to be left
    where the photo by itself shows the dab within its own p90 of the target, and within `NEAR`.
    """
    name = OFF
    if belief.delta_e_00 <= max(belief.p50, EYE):
        is_shown = photo.delta_e_00 <= min(photo.p90, NEAR)
        name = WITHIN if is_shown and belief.delta_e_00 <= NEAR else UNTOLD
    words = difference_words(lab, target_lab)
    return Verdict(name, verdict(belief.delta_e_00), words, photo, belief)


class Miss(NamedTuple):
    """How far one dimension alone is off, in dE00, with the word for above and for below zero."""

    size: float
    above: str
    below: str

    @property
    def words(self) -> str:
        """Such as "a little too light"; "" where it is not worth saying."""
        word = self.above if self.size > 0.0 else self.below
        if abs(self.size) < LITTLE:
            return ""
        if abs(self.size) < PLAIN:
            return f"a little {word}"
        return f"much {word}" if abs(self.size) >= MUCH else word


def difference_words(lab: Array, target_lab: Array) -> str:
    """Return what is wrong with a mix beside its target, both (3,); "" where nothing is.

    Such as "a little too light, too cold, a little too strong".
    """
    return ", ".join(miss.words for miss in misses(lab, target_lab) if miss.words)


def misses(lab: Array, target_lab: Array) -> tuple[Miss, ...]:
    """Return what is off, value first, then hue, then strength; hue may be said in two ways.

    Value and strength carry the signs of dL* and dC*.
    """
    pair = np.stack([lab, target_lab])
    d_l, d_c, _ = lch_differences(lab, target_lab)
    middle, scale = pair.mean(axis=0), _hue_scale(pair)
    lighter = np.column_stack([pair[:, 0], np.broadcast_to(middle[1:], (2, 2))])
    at = _middle_hue(pair)
    stronger = np.column_stack([np.full(2, middle[0]), chroma(pair)[:, None] * at])
    return (
        Miss(float(np.sign(d_l) * delta_e_00(*lighter)), "too light", "too dark"),
        *(Miss(scale * far, TOO[up], TOO[down]) for far, up, down in worded_turns(lab, target_lab)),
        Miss(float(np.sign(d_c) * delta_e_00(*stronger)), "too strong", "too dull"),
    )


def _middle_hue(pair: Array) -> Array:
    """Return the direction in a*, b* halfway between two hues, or the stronger of opposites."""
    lengths = np.maximum(chroma(pair), 1e-9)[:, None]
    total = (pair[:, 1:] / lengths).sum(axis=0)
    if np.hypot(*total) < 1e-6 or lengths.min() < 1e-6:
        total = pair[np.argmax(lengths), 1:]
    return total / max(float(np.hypot(*total)), 1e-9)


def _hue_scale(pair: Array) -> float:
    """Return what a `Turn` of 1 is worth in dE00 here: 1 in CIE94, which lacks the blues' terms."""
    s_h = 1.0 + 0.015 * chroma(pair).mean()
    flat = np.column_stack([np.full(2, pair[:, 0].mean()), pair[:, 1:]])
    if np.min(munsell_chroma(pair)) >= GREY_BELOW:
        flat[:, 1:] *= (chroma(pair).mean() / chroma(pair))[:, None]
    apart = float(np.hypot(*(flat[0, 1:] - flat[1, 1:]))) / s_h
    return float(delta_e_00(*flat)) / apart if apart > 1e-6 else 1.0
