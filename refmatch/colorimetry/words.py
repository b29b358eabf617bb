"""One colour in a painter's words: value first, then hue, then chroma.

Differences between colours are in `refmatch.colorimetry.words`; temperature
is there too, since no colour is warm or cool by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from refmatch.colorimetry.hues import (
    GREY_BELOW,
    hue_name,
    munsell_chroma,
    munsell_hue,
    munsell_value,
)
from refmatch.colorimetry.lab import chroma, hue_deg
from refmatch.colorimetry.spectrum import Array

CHROMA_WORDS: tuple[tuple[float, str], ...] = (
    (GREY_BELOW, "near grey"),
    (3.0, "dull"),
    (7.0, "moderate"),
    (11.0, "strong"),
    (float("inf"), "very strong"),
)
"""Upper ends of the words in Munsell chroma, not in C*, so that "strong" looks alike
in every hue: 7 is C* 29 in a violet and C* 50 in a yellow. The steps 3, 7 and 11 are
those at which the ISCC-NBS names go from greyish to moderate, strong and vivid (from
memory; Kelly & Judd 1976). Fixed bands, not shares of what paint can reach, so that
two colours of one word have one strength."""


def value_words(lab: Array) -> str:
    """Return the Munsell value of one colour to the nearest half: "value 6", "value 4½"."""
    return f"value {with_halves(float(munsell_value(lab)))}"


def with_halves(number: float) -> str:
    """Write a number of 0 or more to the nearest half as a painter would: "0", "½", "2½"."""
    whole, half = divmod(round(2.0 * number), 2)
    return f"{whole or ''}½" if half else f"{whole}"


def chroma_word(lab: Array) -> str:
    """Return how strong one colour is: near grey, dull, moderate, strong, very strong."""
    step = float(munsell_chroma(lab))
    return next(word for end, word in CHROMA_WORDS if step < end)


def describe(lab: Array) -> str:
    """Return one colour, shape (3,), in words: "value 4½, brown, dull".

    A grey needs no word for its chroma: "value 6, grey leaning blue".
    """
    name, strength = hue_name(lab), chroma_word(lab)
    words = [value_words(lab), name]
    is_neutral = name.split(" leaning ")[0] in ("white", "grey", "black")
    return ", ".join(words if is_neutral else [*words, strength])


# Two colours side by side: what differs, value first, then temperature, then chroma.
#
# Temperature is relative. The warm pole is orange, the cool pole the greenish blue
# opposite; along the circle between them a colour can also turn redder, yellower or
# greener without growing warmer. Of two blues that turn is said instead of a
# temperature, since painters dispute whether a reddish or a greenish blue is warm.

WARM_POLE_DEG = 57.0
"""CIELAB hue of the warmest colour, orange; common practice, no source."""

TURN_LEAST, TURN_PLAIN, TURN_MUCH = 1.0, 3.0, 10.0
"""How far a `Turn` must go to be said at all, without "a touch", with "much"."""

CHROMA_LEAST, CHROMA_PLAIN, CHROMA_MUCH = 0.5, 1.0, 3.0
"""The same for steps of Munsell chroma."""

VALUE_LEAST, VALUE_PLAIN = 0.1, 0.3
"""Munsell values from which a difference is said at all, and counted in halves."""

COUNTS = ("", "half a value", "one value", "one and a half values", "two values")
WHOLE = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


class Turn(NamedTuple):
    """How far the hue has turned: lengths in the a*b* plane over CIE94's S_H = 1 + 0.015 C*.

    ``warmer`` along the circle towards the warm pole; ``greener`` straight across,
    a quarter turn on from the warm pole, so that below zero means redder.
    """

    warmer: float
    greener: float


def compare(lab: Array, reference: Array) -> tuple[str, ...]:
    """Return what sets one colour, shape (3,), apart from another, most telling first.

    Such as ("one and a half values darker", "warmer", "a touch duller"); empty
    where nothing would be seen side by side.
    """
    ends = (TURN_LEAST, TURN_PLAIN, TURN_MUCH)
    turned = (graded(far, ends, (one, other)) for far, one, other in worded_turns(lab, reference))
    differences = (value_difference(lab, reference), *turned, chroma_difference(lab, reference))
    return tuple(words for words in differences if words)


def compare_labelled(label: str, lab: Array, other: str, reference: Array) -> str:
    """Return a sentence: "2 is one and a half values darker, warmer, duller than 1."."""
    words = compare(lab, reference)
    if not words:
        return f"{label} looks like {other}."
    return f"{label} is {', '.join(words)} than {other}."


def compare_neighbours(
    labels: Sequence[str], labs: Array, points: Array | None = None
) -> tuple[str, ...]:
    """Return a sentence for each pair of `neighbours`, the later colour against the earlier.

    Args:
        labels: one a colour.
        labs: the colours, shape (n, 3).
        points: where they lie in the picture, (n, 2) in pixels, if they lie anywhere.
    """
    return tuple(
        compare_labelled(labels[later], labs[later], labels[earlier], labs[earlier])
        for earlier, later in neighbours(len(labels), points)
    )


def neighbours(count: int, points: Array | None = None) -> tuple[tuple[int, int], ...]:
    """Return which colours to judge side by side, as pairs (earlier, later) in order.

    The shortest set of lines that joins all points: each colour meets the one
    nearest to it, none is left out, and n colours need only n - 1 sentences.
    Without points, each meets the one before it. Prim 1957, Bell System Technical
    Journal 36, 1389-1401, doi:10.1002/j.1538-7305.1957.tb01515.x.
    """
    if points is None:
        return tuple((index, index + 1) for index in range(count - 1))
    points = np.asarray(points, dtype=float)
    distance = np.linalg.norm(points[:, None] - points[None, :], axis=-1)
    joined, waiting, pairs = [0], list(range(1, count)), []
    while waiting:
        reach = distance[np.ix_(joined, waiting)]
        row, column = np.unravel_index(np.argmin(reach), reach.shape)
        new = waiting.pop(int(column))
        pairs.append((min(joined[row], new), max(joined[row], new)))
        joined.append(new)
    return tuple(sorted(pairs))


def value_difference(lab: Array, reference: Array) -> str:
    """Return the difference in value, in halves: "half a value lighter"; "" where none."""
    difference = float(munsell_value(lab) - munsell_value(reference))
    if abs(difference) < VALUE_LEAST:
        return ""
    return f"{value_amount(abs(difference))} {'lighter' if difference > 0.0 else 'darker'}"


def chroma_difference(lab: Array, reference: Array) -> str:
    """Return the difference in chroma: "much stronger", "a touch duller"; "" where none."""
    difference = float(munsell_chroma(lab) - munsell_chroma(reference))
    ends = (CHROMA_LEAST, CHROMA_PLAIN, CHROMA_MUCH)
    return graded(difference, ends, ("stronger", "duller"))


def turn(lab: Array, reference: Array) -> Turn:
    """Return how the hue has turned, with the difference in chroma set aside.

    Both hues are compared at their mean chroma; only where one is a grey, which has
    no hue to turn, does the step from grey to colour itself count: grey is cool
    beside orange and warm beside blue.
    """
    pair = np.stack([reference, lab])
    off_pole = np.radians((hue_deg(pair) - WARM_POLE_DEG + 180.0) % 360.0 - 180.0)
    s_h = 1.0 + 0.015 * chroma(pair).mean()
    strength = chroma(pair) / s_h
    if np.min(munsell_chroma(pair)) < GREY_BELOW:
        warmth = strength * np.cos(off_pole)
    else:
        strength = strength.mean()
        warmth = -strength * np.abs(off_pole)
    greenness = strength * np.sin(off_pole)
    return Turn(float(warmth[1] - warmth[0]), float(greenness[1] - greenness[0]))


def both_blue(lab: Array, reference: Array) -> bool:
    """Say whether both are blues (5BG to 10PB), whose temperature is in dispute."""
    hues = munsell_hue(np.stack([lab, reference]))
    colourful = munsell_chroma(np.stack([lab, reference])) >= GREY_BELOW
    return bool(np.all(colourful & (hues > 55.0) & (hues <= 80.0)))


def graded(difference: float, ends: tuple[float, float, float], words: tuple[str, str]) -> str:
    """Return a signed difference as "a touch more", "more", "much more"; "" where too small."""
    least, plain, much = ends
    size, word = abs(difference), words[0] if difference > 0.0 else words[1]
    if size < least:
        return ""
    if size < plain:
        return f"a touch {word}"
    return f"much {word}" if size >= much else word


def worded_turns(lab: Array, reference: Array) -> tuple[tuple[float, str, str], ...]:
    """Return which turns of hue to tell: (how far, the word above zero, the word below).

    Of two blues only how red or green they are, else temperature, and how red or
    green where the turn leads more across the circle than towards a pole.
    """
    moved = turn(lab, reference)
    warmth = (moved.warmer, "warmer", "cooler")
    across = (moved.greener, _away_from_red(lab, reference), "redder")
    if both_blue(lab, reference) or abs(moved.greener) > 2.0 * abs(moved.warmer):
        return (across,)
    return (warmth, across) if abs(moved.greener) > abs(moved.warmer) else (warmth,)


def _away_from_red(lab: Array, reference: Array) -> str:
    """Among oranges the turn away from red leads to yellow, elsewhere to green."""
    off_pole = (hue_deg(np.stack([lab, reference])) - WARM_POLE_DEG + 180.0) % 360.0 - 180.0
    return "yellower" if np.all(np.abs(off_pole) < 50.0) else "greener"


def number_word(count: int) -> str:
    """Return a whole number in words as far as ten, else in figures."""
    return ("one", *WHOLE)[count - 1] if 1 <= count <= len(WHOLE) + 1 else str(count)


def value_amount(values: float) -> str:
    """Write a number of values, 0 or more, in words, to the nearest half: "half a value"."""
    if values < VALUE_PLAIN:
        return "a touch"
    whole, half = divmod(round(2.0 * values), 2)
    if 2 * whole + half < len(COUNTS):
        return COUNTS[2 * whole + half]
    return f"{WHOLE[whole - 2]}{' and a half' if half else ''} values"
