"""One colour in a painter's words: value first, then hue, then chroma.

Differences between colours are in `refmatch.colorimetry.comparison`; temperature
is there too, since no colour is warm or cool by itself.
"""

from __future__ import annotations

from refmatch.colorimetry.hue_names import GREY_BELOW, hue_name, munsell_chroma
from refmatch.colorimetry.munsell import munsell_value
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
