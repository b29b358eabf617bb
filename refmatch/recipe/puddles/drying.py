"""How fast a puddle skins over in oil, by what is in it.

Some pigments hurry the oil along (manganese in umbers, cobalt, lead), and a good
share of one hurries the whole puddle. Common practice, no source; the built-in
pigments' own drying is from memory. Acrylics skin over in minutes whatever is in them.
"""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.colorimetry.spectrum import Array
from refmatch.paint.box import Tube
from refmatch.paint.library import pigments

HURRIES_FROM = 0.2
"""The share of fast driers from which the whole puddle dries fast (our own choice)."""

HOLDS_BACK_FROM = 0.5
"""The share of slow driers from which a puddle without fast ones dries slowly (our own choice)."""


def dries(tubes: Sequence[Tube], net: Array) -> str | None:
    """Return "fast", "middle" or "slow" for shares (tubes,) of some tubes.

    None where more than `HURRIES_FROM` is of tubes whose pigments are not known.
    """
    share = {"F": 0.0, "M": 0.0, "S": 0.0, "": 0.0}
    for tube, part in zip(tubes, net / net.sum(), strict=True):
        for key in tube.keys or ("",):
            known = pigments().get(key)
            share[known.drying if known else ""] += float(part) / max(1, len(tube.keys))
    if share["F"] >= HURRIES_FROM:
        return "fast"
    if share[""] > HURRIES_FROM:
        return None
    return "slow" if share["S"] >= HOLDS_BACK_FROM else "middle"


def hurries(tube: Tube) -> bool:
    """Say whether a tube holds a pigment that dries fast."""
    known = [pigments().get(key) for key in tube.keys]
    return any(pigment is not None and pigment.drying == "F" for pigment in known)
