"""From swatches to a box: every tube's K and S, what is left in doubt, and what to beware of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.errors import BoxError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.characterise.belief import KNOWN, Belief, Spread, belief_of, belief_of_white
from refmatch.paint.characterise.fit import Fitted, Task
from refmatch.paint.characterise.swatch import Swatch
from refmatch.paint.kubelka_munk import GLOSS, Surface

DARK = 0.06
"""Reflectance below which a swatch with the specular included tells k1."""

BLACKS = frozenset({"ivory-black", "mars-black", "carbon-black", "lamp-black"})
STRONGER_IN_COLOURS, STRONGER_WHEN_SEEN = 0.7, 0.15
"""Relative error of a black's strength in colours: measured in white only, and in colours too.

Black is up to twice as strong in colours as in white (own trials on published oils).
"""

FEWEST = 2
MOST_MODES = 8
MODE_DIGITS = 4
"""So many ways in which curves may be off are kept, to so many digits: the others are small."""

MISSED_BY = 3.0
"""dE00 from which a swatch that the fit misses is named."""


@dataclass(frozen=True, eq=False)
class Named:
    """A tube to be characterised: its name and pigments; ``generic`` its curves if known."""

    name: str
    pigments: tuple[str, ...]
    keys: tuple[str, ...]
    generic: Tube | None

    @classmethod
    def of(cls, tube: Tube) -> Named:
        """Take a tube of a box as what is to be characterised."""
        return cls(tube.name, tube.pigments, tube.keys, tube)


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
    check(tubes, swatches)
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


@dataclass(frozen=True, eq=False)
class Learnt:
    """Tubes, the swatches they were learnt from, and the fit: a box is made of it."""

    tubes: tuple[Named, ...]
    reference_white: str
    beliefs: tuple[Belief, ...]
    swatches: tuple[Swatch, ...]
    fitted: Fitted
    misses: tuple[float, ...]

    def box(self, name: str, parts: str, source: str) -> Box:
        """Return the box; ``source`` says how its tubes were learnt."""
        made = tuple(self._tube(index, source) for index in range(len(self.tubes)))
        return Box(name, made, parts, replace(self.fitted.surface, f=0.0))

    def flags(self) -> tuple[Flag, ...]:
        """Return what to say of single swatches."""
        return _missed_flags(self.swatches, self.misses)

    def _tube(self, index: int, source: str) -> Tube:
        whites = {i for i, each in enumerate(self.tubes) if each.generic and each.generic.is_white}
        made = _tube(
            self.tubes[index],
            index,
            self.beliefs[index],
            self.fitted,
            self.swatches,
            self.misses,
            frozenset(whites),
        )
        flags = _white_flags(made, index, self.reference_white, self.tubes, self.swatches)
        return replace(made, source=source, flags=made.flags + flags)


def check(tubes: Sequence[Named], swatches: Sequence[Swatch]) -> None:
    """Refuse tubes that cannot be learnt from these swatches.

    Raises:
        BoxError: no swatch, or a tube without any.
    """
    if not swatches:
        raise BoxError("There is no swatch to learn from.")
    seen = {tube for swatch in swatches for tube in swatch.tubes}
    for index, tube in enumerate(tubes):
        if index not in seen:
            raise BoxError(f"No swatch holds '{tube.name}'; measure one, or leave the tube out.")


def _generic(tube: Named) -> Tube:
    if tube.generic is None:
        raise BoxError(f"'{tube.name}' is to be the reference white, but its pigment is not said.")
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


def _tube(
    tube: Named,
    index: int,
    belief: Belief,
    fitted: Fitted,
    swatches: Sequence[Swatch],
    misses: Sequence[float],
    whites: frozenset[int],
) -> Tube:
    own = [row for row, swatch in enumerate(swatches) if index in swatch.tubes]
    span = fitted.spans[index]
    modes = _modes(belief.factor, fitted.covariance[span, span])
    curves = np.exp(fitted.curves[index])
    strength = modes[:, :BANDS].mean(axis=1)
    return Tube(
        name=tube.name,
        pigments=tube.pigments,
        keys=tube.keys,
        source="measured",
        absorption=curves[:BANDS],
        scattering=curves[BANDS:],
        doubt=float(max(np.sqrt(np.sum(strength**2)), 0.01)),
        modes=modes,
        doubt_in_colours=_doubt_in_colours(tube, own, swatches, whites),
        residual_delta_e_00=float(np.sqrt(np.mean([misses[row] ** 2 for row in own]))),
        swatches=len(own),
        flags=_tube_flags(tube, index, own, fitted, swatches),
    )


def _doubt_in_colours(
    tube: Named, own: Sequence[int], swatches: Sequence[Swatch], whites: frozenset[int]
) -> float:
    if not BLACKS & set(tube.keys):
        return 0.0
    seen = any(len(set(swatches[row].tubes) - whites) > 1 for row in own)
    return STRONGER_WHEN_SEEN if seen else STRONGER_IN_COLOURS


def _modes(factor: Array, covariance: Array) -> Array:
    """Return the independent ways in which the curves may be off, (m, 62), largest first."""
    values, vectors = np.linalg.eigh(covariance)
    ways = (factor @ (vectors * np.sqrt(np.maximum(values, 0.0)))).T
    _, size, axes = np.linalg.svd(ways, full_matrices=False)
    found: Array = np.round(size[:MOST_MODES, None] * axes[:MOST_MODES], MODE_DIGITS)
    return found


def _tube_flags(
    tube: Named, index: int, own: Sequence[int], fitted: Fitted, swatches: Sequence[Swatch]
) -> tuple[Flag, ...]:
    flags = []
    if len(own) < FEWEST and not (tube.generic and tube.generic.is_white):
        flags.append(
            Flag(
                "few_swatches",
                f"'{tube.name}' has {len(own)} swatch; a tint, 1 to 9 white, would tell more.",
            )
        )
    told = fitted.information[:, index]
    alone = [told[row] for row in own if len(swatches[row].tubes) == 1]
    tints = [told[row] for row in own if len(swatches[row].tubes) > 1]
    if alone and tints and max(alone) < sum(tints) and _is_dark(own, swatches):
        flags.append(
            Flag(
                "tints_decide",
                f"'{tube.name}' is so dark as squeezed that it says little; its tints decide.",
            )
        )
    if tube.generic is None:
        flags.append(
            Flag(
                "unknown_pigment",
                f"The pigment of '{tube.name}' is not said; its curves are the smoothest that fit.",
            )
        )
    return tuple(flags)


def _is_dark(own: Sequence[int], swatches: Sequence[Swatch]) -> bool:
    alone = [swatches[row] for row in own if len(swatches[row].tubes) == 1]
    return all(swatch.reflectance.max() - swatch.f * GLOSS.k1 < 2.0 * DARK for swatch in alone)


def _white_flags(
    made: Tube,
    index: int,
    reference_white: str,
    tubes: Sequence[Named],
    swatches: Sequence[Swatch],
) -> tuple[Flag, ...]:
    """A second white's S shows only in a mix with a colour that the reference white meets too."""
    if not made.is_white or made.name == reference_white:
        return ()
    colours = {i for i, tube in enumerate(tubes) if not (tube.generic and tube.generic.is_white)}
    if any(index in swatch.tubes and colours & set(swatch.tubes) for swatch in swatches):
        return ()
    return (
        Flag(
            "white_by_prior",
            f"No swatch mixes '{made.name}' with a colour, so its strength is only presumed.",
        ),
    )


def _missed_flags(swatches: Sequence[Swatch], misses: Sequence[float]) -> tuple[Flag, ...]:
    return tuple(
        Flag(
            "swatch_missed",
            f"Swatch '{swatch.label}' is missed by {miss:.1f} dE00; was it mixed as written?",
        )
        for swatch, miss in zip(swatches, misses, strict=True)
        if miss > MISSED_BY
    )
