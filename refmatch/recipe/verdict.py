"""How near a mix comes to its target, in a word and in what to look for.

The words are our own choice, held between two published judgements: about 0.8 is
just perceptible and 1.8 dE00 just acceptable to half of all observers (Paravina et al.
2015, Journal of Esthetic and Restorative Dentistry 27 S1, S1-S9,
doi:10.1111/jerd.12149: dental ceramics).
"""

from __future__ import annotations

from refmatch.colorimetry.comparison import graded, told_turns
from refmatch.colorimetry.hue_names import munsell_chroma
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import Array

VERDICTS: tuple[tuple[float, str], ...] = (
    (1.0, "match"),
    (2.0, "good"),
    (4.0, "close"),
    (8.0, "off"),
    (float("inf"), "another colour"),
)
"""Up to which dE00 each word reaches."""

MEANINGS: dict[str, str] = {
    "match": "you will not see a difference",
    "good": "a difference only if you look for it",
    "close": "seen side by side",
    "off": "seen across the room",
    "another colour": "not the same colour any more",
}
"""What each word says to the painter."""

VALUE_ENDS = (0.1, 0.25, 0.6)
TURN_ENDS = (1.0, 2.0, 5.0)
CHROMA_ENDS = (0.3, 0.8, 2.0)
"""Where "a touch too", "too" and "much too" begin: in Munsell values, as a `Turn`
of the hue, and in Munsell chroma. Each triple is about 1, 2 and 5 dE00
for colours of middle value and chroma."""

TOO: dict[str, str] = {
    "warmer": "too warm",
    "cooler": "too cold",
    "redder": "too red",
    "greener": "too green",
    "yellower": "too yellow",
}


def verdict(delta_e: float) -> str:
    """Return the word for a distance of ``delta_e`` in CIEDE2000, 0 or more."""
    return next(word for end, word in VERDICTS if delta_e <= end)


def miss_words(lab: Array, target_lab: Array) -> str:
    """Say what is wrong with a mix beside its target, value first; "" where nothing is.

    Such as "too light, a touch too cold, a touch too strong". Among blues "too red"
    or "too green" stands instead of a temperature.
    """
    value = float(munsell_value(lab) - munsell_value(target_lab))
    strength = float(munsell_chroma(lab) - munsell_chroma(target_lab))
    words = (
        graded(value, VALUE_ENDS, ("too light", "too dark")),
        *(
            graded(far, TURN_ENDS, (TOO[one], TOO[other]))
            for far, one, other in told_turns(lab, target_lab)
        ),
        graded(strength, CHROMA_ENDS, ("too strong", "too dull")),
    )
    return ", ".join(word for word in words if word)
