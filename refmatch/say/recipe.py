"""What is said of recipes and how they are mixed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.say.sentence import NBSP, Sentence, counted, signed

if TYPE_CHECKING:  # only their shape is needed here
    from refmatch.recipe.model import FromPuddle, Laid, Recipe

LAMPS = {"A": "a tungsten lamp", "LED-B3": "a white LED lamp"}
"""The lamps of CIE 015:2018 that recipes are looked at under, as a painter calls them."""


def _under_lamp(lamp: str, turns: Sequence[str], other: str | None) -> str:
    beside = "the first choice" if other is None else other
    return f"Under {LAMPS[lamp]} it turns {', '.join(turns)} than {beside}."


def _stray_hue(hue: str, stays: bool) -> str:
    return f"Goes {hue} {'here' if stays else 'on the way'}."


SENTENCES: dict[str, Sentence] = {
    # doubt: uncalibrated curves are about 3 ΔE00 off real acrylics, sometimes 9 (docs/accuracy.md)
    "generic_curves": (
        "Reckoned from generic curves of these pigments, not from your own tubes: "
        "expect the real mix to be a little off, sometimes plainly; the dab is the judge."
    ),
    "tubes_not_offered": "At most {tubes} tubes is not offered; ask for 2 to 5.",
    "total_not_offered": "A total of {total} parts is not offered; ask for 2 to 64.",
    "no_tubes_left": "The box '{box}' has no tubes left; hold fewer of them out.",
    "white_held_out": "Without its white the box '{box}' mixes nothing; leave one in.",
    "no_recipe_keeps_habits": "No recipe keeps to all these habits; allow more tubes or parts.",
    "insisted_and_held_out": "'{tube}' is both insisted on and held out; take one of the two away.",
    "stray_hue": _stray_hue,
    "under_lamp": _under_lamp,
}


def laid_words(laid: Laid) -> str:
    """Return what one row of a recipe counts: "phthalo green let-down (1 : 9 white)"."""
    if not laid.let_down_white_parts:
        return laid.tube
    return f"{laid.tube} let-down (1{NBSP}:{NBSP}{laid.let_down_white_parts}{NBSP}white)"


def puddle_name(source: FromPuddle) -> str:
    """Return what the row of a recipe counts that is taken of another puddle."""
    return f"of puddle{NBSP}{source.number}, “{source.label}”"


def laid_rows(recipe: Recipe) -> tuple[tuple[int, str], ...]:
    """Return all that goes in as rows of parts and words, what is taken of a puddle first."""
    rows = [(laid.parts, laid_words(laid)) for laid in recipe.laid_out]
    source = recipe.from_puddle
    return tuple([(source.parts, puddle_name(source)), *rows] if source else rows)


def laid_line(recipe: Recipe) -> str:
    """Return the recipe in one line: "24 titanium white + 7 hansa yellow"."""
    return " + ".join(f"{parts} {words}" for parts, words in laid_rows(recipe))


def total_words(recipe: Recipe, parts_by: str) -> str:
    """Return "39 parts by volume"."""
    return f"{counted(sum(parts for parts, _ in laid_rows(recipe)), 'part')} by {parts_by}"


MOST_WHOLE = 64
"""Parts up to which a drawn puddle's tubes are told in whole ones: the most a recipe may have."""


def straight_words(recipe: Recipe) -> str:
    """Return a drawn puddle's own tubes: "The same puddle straight from tubes: 9 ochre + 3 blue".

    Empty where the recipe is from tubes anyhow.
    """
    if recipe.from_puddle is None:
        return ""
    return f"The same puddle straight from tubes: {tubes_line(recipe)}."


def tubes_line(recipe: Recipe) -> str:
    """Return a recipe by tubes alone: as it is laid out, a drawn puddle with all that is in it."""
    if recipe.from_puddle is None:
        return laid_line(recipe)
    parts = np.array([portion.parts for portion in recipe.portions])
    told = (parts * _whole_by(parts)).tolist()
    rows = zip(told, recipe.portions, strict=True)
    return " + ".join(f"{_rounded(share)} {portion.tube}" for share, portion in rows)


def _rounded(parts: float) -> str:
    """Return parts as the hand can lay them out: whole from ten on, below it with a tenth."""
    return f"{parts:.0f}" if parts >= 9.95 else f"{parts:.1f}".removesuffix(".0")


def _whole_by(parts: Array) -> float:
    """Return what makes parts whole, or where only large figures would, their least to be one."""
    for scale in range(1, MOST_WHOLE + 1):
        scaled = parts * scale / parts.min()
        if scaled.sum() > MOST_WHOLE + 0.5:
            break
        if np.allclose(scaled, np.round(scaled), rtol=0.0, atol=1e-3):
            return float(scale / parts.min())
    return float(1.0 / parts.min())


def distance_words(recipe: Recipe) -> str:
    """Return how near real puddles come: "near, expect ΔE00 3.1 (0.8 on paper, by hand 1.6)"."""
    on_paper = f"{recipe.delta_e_00:.1f}{NBSP}on{NBSP}paper"
    by_hand = f"by{NBSP}hand{NBSP}{recipe.delta_e_00_hand:.1f}"
    if recipe.delta_e_00_expected is None:
        return f"{recipe.verdict}, ΔE00{NBSP}{on_paper}, {by_hand}"
    return f"{nearness_words(recipe)} ({on_paper}, {by_hand})"


def nearness_words(recipe: Recipe) -> str:
    """Return how near real puddles come, and no more: "near, expect ΔE00 3.1"."""
    if recipe.delta_e_00_expected is None:
        return f"{recipe.verdict}, ΔE00{NBSP}{recipe.delta_e_00_hand:.1f} by hand"
    return f"{recipe.verdict}, expect{NBSP}ΔE00{NBSP}{recipe.delta_e_00_expected:.1f}"


def paper_words(recipe: Recipe) -> str:
    """Return what is reckoned behind that: "ΔE00 0.8 on paper, 1.6 by hand"."""
    return (
        f"ΔE00{NBSP}{recipe.delta_e_00:.1f} on paper, "
        f"{recipe.delta_e_00_hand:.1f}{NBSP}by{NBSP}hand"
    )


def difference_words(recipe: Recipe) -> str:
    """Return the mix minus the target: "ΔL* −0.6, ΔC* +0.2, ΔH* 0.0"."""
    parts = (
        ("L", recipe.delta_lstar),
        ("C", recipe.delta_cstar),
        ("H", recipe.delta_hstar),
    )
    return ", ".join(f"Δ{name}*{NBSP}{signed(value)}" for name, value in parts)
