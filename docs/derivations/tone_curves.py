"""Derive how far tone curves differ: TONE_USUAL and TONE_DOUBT of refmatch/dabs/doubt.py.

Run from the top folder: ``python docs/derivations/tone_curves.py``. What makers do between light
and file is nowhere published for many cameras. What is known of it (common practice, no source):
pictures are made with more contrast in the middle than the scene had, up to a third more, seldom
less; darks and lights pay for it; and the whole is lifted or lowered by some twelfth. Curves of
three forms that do so, none of them the form that the program fits, are fitted by that form;
printed are mean and standard deviation of its terms, and what is left.
"""

from __future__ import annotations

import numpy as np
from scipy.interpolate import PchipInterpolator

from refmatch.colorimetry.display import decode_srgb, encode_srgb
from refmatch.dabs.camera import Tone, lightness, linear_of

COUNT = 600
MOST_CONTRAST = 1.35
LIFT = 0.08
VALUE = np.linspace(0.0, 1.0, 101)


def arc(code: np.ndarray, contrast: float, rng: np.random.Generator) -> np.ndarray:
    """An arc of the tangent's inverse about a pivot."""
    pivot, steep = rng.uniform(0.4, 0.6), 3.0
    raw = np.arctan(steep * (code - pivot))
    low, high = np.arctan(-steep * pivot), np.arctan(steep * (1.0 - pivot))
    most = steep / (high - low)
    share = (contrast - 1.0) / (most - 1.0)
    return (1.0 - share) * code + share * (raw - low) / (high - low)


def smooth(code: np.ndarray, contrast: float, rng: np.random.Generator) -> np.ndarray:
    """A cubic that is flat at both ends, in part, its middle moved."""
    share = (contrast - 1.0) / 0.5
    moved = code ** np.exp(rng.normal(0.0, LIFT))
    return (1.0 - share) * code + share * (3.0 - 2.0 * moved) * moved**2


def points(code: np.ndarray, contrast: float, rng: np.random.Generator) -> np.ndarray:
    """A curve drawn through three points, as retouchers draw it."""
    off = 0.25 * (contrast - 1.0) + rng.normal(0.0, 0.01, 2)
    return PchipInterpolator(
        [0.0, 0.25, 0.5, 0.75, 1.0], [0.0, 0.25 - off[0], 0.5, 0.75 + off[1], 1.0]
    )(code)


def terms_of(curve: np.ndarray) -> np.ndarray:
    """Return a_1 to a_4 of the curve nearest in lightness, Gauss and Newton's steps."""
    terms = np.zeros(4)
    for _ in range(30):
        tone = Tone.of(terms)
        slope = tone.slopes(VALUE)
        terms = terms + np.linalg.lstsq(slope, curve - tone(VALUE), rcond=None)[0]
    return terms


def main() -> None:
    """Print what the terms are among such curves."""
    rng, found, left = np.random.default_rng(14), [], []
    code = encode_srgb(linear_of(VALUE))
    for n in range(COUNT):
        contrast = rng.uniform(0.95, MOST_CONTRAST)
        lifted = code ** np.exp(rng.normal(0.0, LIFT))
        curve = lightness(decode_srgb((arc, smooth, points)[n % 3](lifted, contrast, rng)))
        found.append(terms_of(curve))
        left.append(np.sqrt(np.mean((Tone.of(found[-1])(VALUE) - curve) ** 2)))
    terms = np.array(found)
    print("mean", np.round(terms.mean(axis=0), 3))
    print("standard deviation", np.round(terms.std(axis=0), 3))
    print("correlation", np.round(np.corrcoef(terms.T), 2).tolist())
    median, p90 = 100.0 * np.percentile(left, [50, 90])
    print(f"left over, in L*: median {median:.2f}, p90 {p90:.2f}")
    for n, form in enumerate((arc, smooth, points)):
        print(
            form.__name__,
            np.round(terms[n::3].mean(axis=0), 3),
            np.round(terms[n::3].std(axis=0), 3),
        )


if __name__ == "__main__":
    main()
