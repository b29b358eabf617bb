"""From swatches to a box: every tube's K and S, what is left in doubt, and what to beware of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.characterise.belief import KNOWN, Belief, Spread, belief_of, belief_of_white
from refmatch.paint.characterise.fit import Fitted, Task
from refmatch.paint.characterise.learnt import Learnt, Named
from refmatch.paint.characterise.swatch import DARK, Swatch
from refmatch.paint.kubelka_munk import GLOSS, Surface


@dataclass(frozen=True, eq=False)
class Characterised:
    """A box of measured tubes; ``misses`` are the dE00 by which each swatch is missed, in order."""

    box: Box
    misses: tuple[float, ...]
    surface: Surface
    flags: tuple[Flag, ...] = ()


def characterise(
    tubes: Sequence[Named],
    reference_white: str,
    swatches: Sequence[Swatch],
    name: str,
    parts: str,
    surface: Surface = GLOSS,
) -> Characterised:
    """Return the box that explains the swatches best.

    Args:
        tubes: in the order in which swatches number them.
        reference_white: the name of the white whose S is 1 in every band.
        swatches: measured mixtures; any mixture of the tubes may be among them.
        name: of the box.
        parts: "volume" or "mass": what the swatches' parts were counted by.
        surface: the skin that all were measured through; k1 is fitted where swatches tell it.

    Raises:
        BoxError: no swatch, or a tube without any.
    """
    check(tubes, [swatch.tubes for swatch in swatches])
    beliefs = beliefs_of(tubes, reference_white)
    task = Task(beliefs, tuple(swatches), surface, fits_k1=_tells_k1(swatches))
    fitted = task.solve()
    misses = _misses(fitted, swatches)
    learnt = Learnt(tuple(tubes), reference_white, beliefs, tuple(swatches), fitted, misses)
    return Characterised(
        learnt.box(name, parts, "measured"), misses, fitted.surface, learnt.flags()
    )


def beliefs_of(
    tubes: Sequence[Named], reference_white: str, known: Spread = KNOWN
) -> tuple[Belief, ...]:
    """Return what is believed of each tube beforehand; ``known``: what one pigment's differ by.

    Raises:
        BoxError: the pigment of the reference white is not said.
    """
    return tuple(
        belief_of_white(_generic(tube), known)
        if tube.name == reference_white
        else belief_of(tube.generic, known)
        for tube in tubes
    )


def check(tubes: Sequence[Named], mixtures: Sequence[tuple[int, ...]]) -> None:
    """Refuse tubes that cannot be learnt from swatches of these mixtures, tubes by number.

    Raises:
        BoxError: no swatch, or a tube without any.
    """
    if not mixtures:
        raise BoxError("no_swatches")
    seen = {tube for mixture in mixtures for tube in mixture}
    for index, tube in enumerate(tubes):
        if index not in seen:
            raise BoxError("tube_without_swatch", tube=tube.name)


def _generic(tube: Named) -> Tube:
    if tube.generic is None:
        raise BoxError("reference_white_unknown", tube=tube.name)
    return tube.generic


def _tells_k1(swatches: Sequence[Swatch]) -> bool:
    return any(
        swatch.lab is None and swatch.f == 1.0 and swatch.reflectance.min() < DARK
        for swatch in swatches
    )


def _misses(fitted: Fitted, swatches: Sequence[Swatch]) -> tuple[float, ...]:
    measured = np.stack([_lab_of(swatch) for swatch in swatches])
    return tuple(float(d) for d in delta_e_00(reflectance_to_lab(fitted.root**3), measured))


def _lab_of(swatch: Swatch) -> Array:
    return reflectance_to_lab(swatch.reflectance) if swatch.lab is None else swatch.lab
