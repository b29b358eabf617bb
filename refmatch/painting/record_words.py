"""The record in words: how much of what went into a puddle."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.words import with_halves
from refmatch.painting.rounds import Added
from refmatch.swatch.pile import CORE, Parts

RECIPE = "the recipe"
"""The name of a whole recipe among what went into a puddle."""

BY_ITS_RECIPE = "mixed it anew by its recipe"
BY_THE_TOLD = "mixed it anew by the recipe that was told"
LEFT = "left it as it was"
DIVIDED = "divided it and kept a third to go on with"


def figure(parts: float) -> str:
    """Return parts as they are counted: "½", "2½", "12"; what is no half to two figures."""
    halves = round(2.0 * parts)
    if halves and abs(2.0 * parts - halves) < 1e-6:
        return with_halves(parts)
    return f"{parts:.2g}" if parts < 10.0 else f"{parts:.1f}".removesuffix(".0")


def counted(parts: float) -> str:
    """Return "½ part", "1 part", "2½ parts"."""
    return f"{figure(parts)} {'part' if parts <= 1.0 else 'parts'}"


def added_words(additions: Sequence[Added], verb: str = "added") -> str:
    """Return "added 1 part of titanium white, then ½ part of the core"."""
    told = (
        f"{counted(each.parts)} of {'the core' if each.name == CORE else each.name}"
        for each in additions
    )
    return f"{verb} {', then '.join(told)}"


def done_words(additions: Sequence[Added], *, divided: bool) -> str:
    """Return what was done to a pile in one clause; without additions, that it was only divided."""
    if divided:
        return f"{DIVIDED}, {added_words(additions)}" if additions else DIVIDED
    return added_words(additions) if additions else LEFT


def parts_line(parts: Parts) -> str:
    """Return what is in a puddle in one line: "24 titanium white + 7½ hansa yellow"."""
    return " + ".join(f"{figure(share)} {tube}" for tube, share in parts)


def anew_words(additions: Sequence[Added]) -> str:
    """Return that another pile was mixed, and of what: "mixed it anew: 3 parts of ..."."""
    return added_words(additions, "mixed it anew:").replace(", then ", ", ")
