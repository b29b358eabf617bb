"""The sheet's own phrases: dates, shares, parts and distances as a painter reads them."""

from __future__ import annotations

from datetime import date

from refmatch.colorimetry.hue_names import hue_name
from refmatch.photo.light import Balance
from refmatch.recipe.model import Laid, Recipe
from refmatch.target import Target

NBSP = "\u00a0"
"""Keeps a figure with what it belongs to."""

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

KEPT_WORDS = {10: "a tenth", 20: "a fifth", 25: "a quarter", 33: "a third", 50: "half"}
"""Shares of the light's cast that have a plain name, in per cent."""


def day(iso: str) -> str:
    """Return "2026-11-24" as "24 November 2026"; other text stays as it is."""
    try:
        found = date.fromisoformat(iso)
    except ValueError:
        return iso
    return f"{found.day} {MONTHS[found.month - 1]} {found.year}"


def heading(target: Target, number: int) -> str:
    """Return the name of a slip; a hole that is only a number is called by its hue."""
    return hue_name(target.lab) if target.label == str(number) else target.label


def light(balance: Balance) -> str:
    """Return what was done about the light: "light warm, about 3200 K, taken out".

    How much of it was kept is told as a plain share: "; a fifth of it kept".
    """
    cast, kept = balance.words.partition(";")[0], round(balance.keep_light_percent)
    if cast.startswith("no cast"):
        return f"{cast} in the light"
    if balance.cast_kelvin is None:
        return f"light {cast}"
    if kept >= 100:
        return f"light {cast}, left as it is"
    if kept <= 0:
        return f"light {cast}, taken out"
    share = KEPT_WORDS.get(kept, f"{kept} %")
    return f"light {cast}, taken out; {share} of it kept"


def seen_under(viewing: str) -> str:
    """Return what light the colours are told for: "colours for daylight (D50)"."""
    illuminant = viewing.split(",")[0].strip()
    name = f"daylight ({illuminant})" if illuminant.startswith("D") else illuminant
    return f"colours for {name}"


def number(value: float) -> str:
    """Return parts without idle decimals: 3, 0.5, 2.25."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def laid(part: Laid) -> str:
    """Return what one row of a recipe counts: "phthalo green, 1 to 9 white"."""
    if not part.let_down_white_parts:
        return part.tube
    return f"{part.tube}, 1{NBSP}to{NBSP}{part.let_down_white_parts}{NBSP}white"


def laid_line(recipe: Recipe) -> str:
    """Return the recipe in one line: "24 titanium white + 7 hansa yellow"."""
    return " + ".join(f"{part.parts} {laid(part)}" for part in recipe.laid_out)


def total(recipe: Recipe, parts_by: str) -> str:
    """Return "39 parts by volume"."""
    parts = sum(part.parts for part in recipe.laid_out)
    return f"{parts} {'part' if parts == 1 else 'parts'} by {parts_by}"


def distance(recipe: Recipe) -> str:
    """Return how near the recipe comes, exact and by hand: "good, ΔE00 1.1, by hand 1.6"."""
    exact, by_hand = recipe.delta_e_00, recipe.delta_e_00_hand
    return f"{recipe.verdict}, ΔE00{NBSP}{exact:.1f}, by{NBSP}hand{NBSP}{by_hand:.1f}"


def signed(value: float) -> str:
    """Return a difference with its sign, and a true minus: "+0.3", "−1.2", "0.0"."""
    text = f"{value:+.1f}".replace("-", "−")
    return "0.0" if text in ("+0.0", "−0.0") else text


def differences(recipe: Recipe) -> str:
    """Return the mix minus the target: "ΔL* −0.6, ΔC* +0.2, ΔH* 0.0"."""
    parts = (
        ("L", recipe.delta_lstar),
        ("C", recipe.delta_cstar),
        ("H", recipe.delta_hstar),
    )
    return ", ".join(f"Δ{name}*{NBSP}{signed(value)}" for name, value in parts)


def sentence(words: str) -> str:
    """Return the words with a capital and a full stop."""
    words = words.strip()
    if not words:
        return ""
    return words[0].upper() + words[1:] + ("" if words[-1] in ".!?" else ".")


def listed(words: list[str]) -> str:
    """Return "a", "a and b", "a, b and c"."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def plain(value: float) -> str:
    """Return a figure to the nearest whole, with a true minus."""
    return f"{value:.0f}".replace("-0", "0").replace("-", "−")
