"""What a mix does in the evening: how its neighbours and it move apart under a lamp.

A colour of a photo has no spectrum, so nothing can be said of how the *target*
looks under a lamp. Of two mixes it can: both have spectra. Where they agree by
day (two recipes for one target) or stand in a known relation (two neighbouring
puddles), the change of that difference under the lamp is what a painter would see.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.colorimetry.words import compare

LAMPS = ("A", "LED-B3")
"""The lamps looked at (CIE 015:2018): tungsten, and a white LED."""

SPOKEN_FROM = 1.5
"""The change in dE00 from which a lamp is worth a sentence: between what half of all
observers perceive (0.8) and accept (1.8; Paravina et al. 2015)."""

NEAR_BY_DAY = 5.0
"""The dE00 by day within which two mixes are held against each other. Colours far apart
always move apart under a lamp, whatever they are mixed from; near ones need not."""


def pair_under_lamp(mix: Array, other: Array, lamp: str) -> tuple[Array, Array]:
    """Return Lab of both under a lamp, the second freed of their difference by day.

    Both (..., 31) reflectances as seen; Lab (..., 3). Each light counts by its own white,
    as an eye settled to it sees. What the pair differs by under D50 is taken off
    the second as a Lab vector, so that only the change is left: CIE 015:2018, the
    special metamerism index for a change of illuminant, with additive correction (from
    memory). CIELAB is no perfect adaptation: through Bradford's instead, pairs 5 to 10 dE00
    apart by day move by 0.8 under CIE A in the middle, here by 1.2; metamers alike.
    """
    by_day = reflectance_to_lab(other) - reflectance_to_lab(mix)
    under = viewing(lamp)
    return reflectance_to_lab(mix, under), reflectance_to_lab(other, under) - by_day


def labs_under_lamps(mix: Array) -> dict[str, Array]:
    """Return the Lab, (..., 3), of a mix by lamp, each beside that lamp's own white.

    ``mix`` is its reflectance as the eye sees it, (..., 31). So it looks to an eye
    settled to the lamp; by CIELAB, which settles less well than the eye does.
    """
    return {lamp: reflectance_to_lab(mix, viewing(lamp)) for lamp in LAMPS}


def lamp_change(mix: Array, other: Array, lamp: str) -> Array:
    """Return how far two colours move apart under a lamp, in dE00, 0 where they move alike."""
    return delta_e_00(*pair_under_lamp(mix, other, lamp))


class LampChange(NamedTuple):
    """What a lamp makes of a mix beside the other that moves farthest from it.

    ``turns`` is how the mix then differs from that, such as ("redder",); ``other`` its label,
    None for the first choice of the same target.
    """

    lamp: str
    turns: tuple[str, ...]
    other: str | None


def under_lamps(mix: Array, others: Mapping[str | None, Array]) -> tuple[LampChange, ...]:
    """Return at most one change a lamp, beside the other mix that moves farthest from this.

    Args:
        mix: its reflectance as the eye sees it, shape (31,).
        others: its neighbours by label, or the first choice, reflectance (31,) each.

    None where no change reaches `SPOKEN_FROM`. Only others `NEAR_BY_DAY` count.
    """
    by_day = reflectance_to_lab(mix)
    near = {
        label: other
        for label, other in others.items()
        if delta_e_00(by_day, reflectance_to_lab(other)) <= NEAR_BY_DAY
    }
    changes = (_farthest(mix, near, lamp) for lamp in LAMPS) if near else ()
    return tuple(change for change in changes if change)


def _farthest(mix: Array, others: Mapping[str | None, Array], lamp: str) -> LampChange | None:
    """Return the change beside the one that moves farthest from the mix, None where too little."""
    label, other = max(others.items(), key=lambda item: float(lamp_change(mix, item[1], lamp)))
    turns = compare(*pair_under_lamp(mix, other, lamp))
    if not turns or lamp_change(mix, other, lamp) < SPOKEN_FROM:
        return None
    return LampChange(lamp, turns, label)
