"""From swatches to a box: every tube's K and S, what is left in doubt, and what to beware of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.errors import BoxError
from refmatch.flag import Flag
from refmatch.paint.box import BLACKS, NEIGHBOUR, NOTHING_KNOWN, Box, Tube
from refmatch.paint.fit.belief import KNOWN, Belief, belief_of, belief_of_white
from refmatch.paint.fit.fit import Fitted, Task
from refmatch.paint.fit.swatch import DARK, Swatch
from refmatch.paint.kubelka_munk import GLOSS, Surface
from refmatch.paint.makers import Spread

# What was learnt of tubes, as a box: their curves, their doubt, and what to beware of.

STRONGER_IN_COLOURS, STRONGER_WHEN_SEEN = 1.0, 0.15
"""Relative error of a black's strength in colours: measured in white only, and in colours too.

One per cent of bone black was 0.2 to 4.5 times as strong in eight oils as in white, a factor of e
to either side (Geldof et al. 2018, Heritage Science 6:17).
"""

LOAD_DOUBT = 0.3
"""Relative error of a strength that one swatch tells, at other loads of the paint: absorption is
not quite in proportion to load. Between two tints of one real oil it grew by a third of its
proportion (Prussian blue, 1 and 6 %) and a tenth (bone black, 3 and 10 %): Geldof et al. 2018,
Heritage Science 6:17. So many times less of it is left as there are swatches (own choice)."""

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

    @property
    def is_white(self) -> bool:
        """Whether it is known to hold only whites."""
        return self.generic is not None and self.generic.is_white


@dataclass(frozen=True, eq=False)
class Learnt:
    """Tubes, the swatches they were learnt from, and the fit: a box is made of it.

    ``misses`` are the dE00 by which each swatch is missed, in order; ``load_doubt`` is the relative
    error of a strength that one swatch tells, at other loads.
    """

    tubes: tuple[Named, ...]
    reference_white: str
    beliefs: tuple[Belief, ...]
    swatches: tuple[Swatch, ...]
    fitted: Fitted
    misses: tuple[float, ...]
    load_doubt: float = 0.0

    def box(self, name: str, parts: str, source: str) -> Box:
        """Return the box; ``source`` says how its tubes were learnt."""
        made = tuple(self._tube(index, source) for index in range(len(self.tubes)))
        return Box(name, made, parts, replace(self.fitted.surface, f=0.0))

    def flags(self) -> tuple[Flag, ...]:
        """Return what to say of single swatches."""
        return tuple(
            Flag("swatch_missed", swatch=swatch.label, delta_e_00=miss)
            for swatch, miss in zip(self.swatches, self.misses, strict=True)
            if miss > MISSED_BY
        )

    def _tube(self, index: int, source: str) -> Tube:
        tube, own = self.tubes[index], self._rows_with(index)
        span = self.fitted.spans[index]
        load = 0.0 if tube.is_white else self.load_doubt / len(own)
        modes = _modes(self.beliefs[index].factor, self.fitted.covariance[span, span], load)
        curves = np.exp(self.fitted.curves[index])
        strength = modes[:, :BANDS].mean(axis=1)
        return Tube(
            name=tube.name,
            pigments=tube.pigments,
            keys=tube.keys,
            source=source,
            absorption=curves[:BANDS],
            scattering=curves[BANDS:],
            doubt=float(max(np.sqrt(np.sum(strength**2)), 0.01)),
            modes=modes,
            doubt_in_colours=self._doubt_in_colours(tube, own),
            residual_delta_e_00=float(np.sqrt(np.mean([self.misses[row] ** 2 for row in own]))),
            swatches=len(own),
            flags=(*self._swatch_flags(index, own), *self._pigment_flags(index, own)),
        )

    def _rows_with(self, index: int) -> list[int]:
        return [row for row, swatch in enumerate(self.swatches) if index in swatch.tubes]

    def _doubt_in_colours(self, tube: Named, own: Sequence[int]) -> float:
        if not BLACKS & set(tube.keys):
            return 0.0
        whites = {index for index, each in enumerate(self.tubes) if each.is_white}
        in_colours = any(len(set(self.swatches[row].tubes) - whites) > 1 for row in own)
        return STRONGER_WHEN_SEEN if in_colours else STRONGER_IN_COLOURS

    def _swatch_flags(self, index: int, own: Sequence[int]) -> list[Flag]:
        tube, flags = self.tubes[index], []
        if len(own) < FEWEST and not tube.is_white:
            flags.append(Flag("few_swatches", tube=tube.name, swatches=len(own)))
        information = self.fitted.information[:, index]
        alone = [row for row in own if len(self.swatches[row].tubes) == 1]
        tints = [row for row in own if len(self.swatches[row].tubes) > 1]
        weak = alone and tints and max(information[alone]) < sum(information[tints])
        if weak and all(_is_dark(self.swatches[row]) for row in alone):
            flags.append(Flag("tints_decide", tube=tube.name))
        return flags

    def _pigment_flags(self, index: int, own: Sequence[int]) -> list[Flag]:
        tube, flags = self.tubes[index], []
        if tube.generic is None or not tube.generic.is_known:
            flags.append(Flag("unknown_pigment", tube=tube.name))
        # a second white's S shows only in a mix with a colour that the reference white meets too
        colours = {i for i, one in enumerate(self.tubes) if not one.is_white}
        met = any(colours & set(self.swatches[row].tubes) for row in own)
        if tube.is_white and tube.name != self.reference_white and not met:
            flags.append(Flag("white_by_prior", tube=tube.name))
        return flags


def _modes(factor: Array, covariance: Array, load: float) -> Array:
    """Return the independent ways in which the curves may be off, (m, 62), largest first.

    ``load`` is the error of all K alike that the fit does not know of.
    """
    values, vectors = np.linalg.eigh(covariance)
    ways = (factor @ (vectors * np.sqrt(np.maximum(values, 0.0)))).T
    by_load = load * np.repeat([1.0, 0.0], BANDS)
    _, size, axes = np.linalg.svd(np.vstack([ways, by_load]), full_matrices=False)
    modes: Array = np.round(size[:MOST_MODES, None] * axes[:MOST_MODES], MODE_DIGITS)
    return modes


def _is_dark(swatch: Swatch) -> bool:
    return bool(swatch.reflectance.max() - swatch.f * GLOSS.k1 < 2.0 * DARK)


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
    learnt = Learnt(
        tuple(tubes), reference_white, beliefs, tuple(swatches), fitted, misses, LOAD_DOUBT
    )
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
    unit = _unit_of_scattering(tubes, reference_white)
    return tuple(
        belief_of_white(_generic(tube), known)
        if tube.name == reference_white
        else belief_of(_in_units_of(tube.generic, unit), known)
        for tube in tubes
    )


def _unit_of_scattering(tubes: Sequence[Named], reference_white: str) -> Array:
    """Return the generic scattering of the white that the box takes for 1, (31,)."""
    white = [tube for tube in tubes if tube.name == reference_white and tube.generic]
    return _generic(white[0]).scattering if white else np.ones(BANDS)


def _in_units_of(tube: Tube | None, unit: Array) -> Tube | None:
    """Return generic curves, whose unit is titanium white's scattering, in that of another."""
    if tube is None or (tube.source == NEIGHBOUR and tube.neighbour == NOTHING_KNOWN):
        return tube
    return replace(tube, absorption=tube.absorption / unit, scattering=tube.scattering / unit)


def check(tubes: Sequence[Named], mixtures: Sequence[tuple[int, ...]]) -> None:
    """Refuse tubes that cannot be learnt from swatches of these mixtures, tubes by number.

    Raises:
        BoxError: no swatch, or a tube without any.
    """
    if not mixtures:
        raise BoxError("no_swatches")
    painted = {tube for mixture in mixtures for tube in mixture}
    for index, tube in enumerate(tubes):
        if index not in painted:
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
