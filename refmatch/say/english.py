"""How words and figures are joined: lists, counts, capitals, signs."""

from __future__ import annotations

from collections.abc import Sequence

NBSP = "\u00a0"
"""Keeps a figure with what it belongs to."""


def listed(words: Sequence[str], word: str = "and") -> str:
    """Return "a", "a and b", "a, b and c"; "" of nothing."""
    *most, last = words or ("",)
    return f"{', '.join(most)} {word} {last}" if most else last


def counted(number: int, thing: str) -> str:
    """Return "1 puddle", "3 puddles"."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def capital(words: str) -> str:
    """Return the words with a capital, the rest as it is."""
    return words[:1].upper() + words[1:]


def sentence(words: str) -> str:
    """Return the words with a capital and a full stop."""
    words = capital(words.strip())
    return words if not words or words[-1] in ".!?" else f"{words}."


def signed(value: float) -> str:
    """Return a difference with its sign, and a true minus: "+0.3", "−1.2", "0.0"."""
    text = f"{value:+.1f}".replace("-", "−")
    return "0.0" if text in ("+0.0", "−0.0") else text


def whole(value: float) -> str:
    """Return a figure to the nearest whole, with a true minus."""
    return f"{value:.0f}".replace("-0", "0").replace("-", "−")
