"""A puddle as it is believed to be: once it was seen, and after what was worked into it since.

What a check finds of a puddle, from its photo and its recipe together, is reckoned once. All that
is said of it later begins there: paint that is added moves it as the model says, and thins what is
not known of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import lab_slopes, reflectance_to_lab
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.dabs.additions import LET_DOWN, Ingredient, Pile, Portions, pile_of
from refmatch.dabs.camera import Light, believed_camera, generic_camera
from refmatch.dabs.doubt import ALIKE, LIKELY, PHOTOS_ALIKE, REFERENCE_DOUBT
from refmatch.dabs.fuse import (
    Estimated,
    Predicted,
    agreement,
    fuse,
    fused_before,
    predict_piles,
    with_earlier,
)
from refmatch.dabs.measured import Measured, any_of, bent_to, block_diag, measure
from refmatch.dabs.spot import WET, Known, Spot, doubt_of, with_shine, without_shine
from refmatch.paint.box import Box
from refmatch.paint.kubelka_munk import k_over_s, to_inner
from refmatch.recipe.hand import LET_DOWN_ERROR, part_errors
from refmatch.recipe.mixture import Palette, film

ROUNDS = 4
"""The skin makes reflectance and K/S bend a little otherwise; so often that is made up for."""


@dataclass(frozen=True, eq=False)
class Belief:
    """A puddle, and the covariance (3, 3) of its Lab."""

    pile: Pile
    covariance: Array

    @property
    def lab(self) -> Array:
        """Its colour, (3,)."""
        return self.pile.lab

    def with_added(self, added: Sequence[tuple[Ingredient, float]], share: float = 1.0) -> Belief:
        """Return a share of the puddle with parts of ingredients worked in.

        What was not known of the puddle is thinned by what is added; the hand's error on each
        part comes on top. The colour is that of the corrections of `dabs.correct`.
        """
        if not added:
            return replace(self, pile=replace(self.pile, parts=share * self.pile.parts))
        amounts = np.array([parts for _, parts in added])
        laid = np.array([share * self.pile.parts, *amounts])
        palette = Palette(
            np.stack([self.pile.absorption, *(ingredient.absorption for ingredient, _ in added)]),
            np.stack([self.pile.scattering, *(ingredient.scattering for ingredient, _ in added)]),
            self.pile.surface,
        )
        _, slopes = palette.lab_and_slopes(laid)
        made = [LET_DOWN_ERROR * (ingredient.kind == LET_DOWN) for ingredient, _ in added]
        by_hand = slopes[:, 1:] * (np.hypot(part_errors(laid)[1:], made) * amounts)
        kept = laid[0] / laid.sum()
        pile = Pile(
            laid @ palette.absorption / laid.sum(),
            laid @ palette.scattering / laid.sum(),
            float(laid.sum()),
            self.pile.surface,
        )
        return Belief(pile, kept**2 * self.covariance + by_hand @ by_hand.T)


def box_as_estimated(box: Box, estimate: Estimated) -> Box:
    """Return the box with its tubes as an estimate has them: what the next puddle is mixed from."""
    factors = np.exp(estimate.tubes)
    tubes = tuple(
        replace(
            tube,
            absorption=tube.absorption * factor[:BANDS],
            scattering=tube.scattering * factor[BANDS:],
        )
        for tube, factor in zip(box.tubes, factors, strict=True)
    )
    return replace(box, tubes=tubes)


def box_as_believed(box: Box, portions: Portions, pile: Pile) -> Box:
    """Return the box with the tubes of a recipe such that this makes the pile it is believed to be.

    What recipe and pile differ by is laid to all of its tubes alike, band by band.

    Raises:
        UnknownTube: a portion names none of the box's tubes.
    """
    by_recipe = pile_of(box, portions)
    used = {box.tube(name).name for name, share in portions if share > 0.0}
    more_k = pile.absorption / by_recipe.absorption
    more_s = pile.scattering / by_recipe.scattering
    tubes = tuple(
        replace(tube, absorption=tube.absorption * more_k, scattering=tube.scattering * more_s)
        if tube.name in used
        else tube
        for tube in box.tubes
    )
    return replace(box, tubes=tubes)


def believed(box: Box, parts: Array, estimate: Estimated, number: int) -> Pile:
    """Return the pile of ``parts`` (tubes,) that has the colour found of dab ``number``.

    Its tubes are as found; what that leaves of the colour is a bend of its K.
    """
    tubes = box_as_estimated(box, estimate).tubes
    share = parts / parts.sum()
    absorption = share @ np.stack([tube.absorption for tube in tubes])
    scattering = share @ np.stack([tube.scattering for tube in tubes])
    return _bent(
        Pile(absorption, scattering, float(parts.sum()), box.surface), estimate.lab[number]
    )


def pile_of_colour(box: Box, portions: Portions, lab: Array) -> Pile:
    """Return the pile of a recipe that was seen to be of a Lab (3,), as the box has its tubes.

    Raises:
        UnknownTube: a portion names none of the box's tubes.
    """
    return _bent(pile_of(box, portions), lab)


def _bent(pile: Pile, lab: Array) -> Pile:
    """Return a pile whose K is bent until its colour is a Lab (3,)."""
    absorption = pile.absorption
    for _ in range(ROUNDS):
        now = film(absorption, pile.scattering, pile.surface)
        wanted = bent_to(now, lab)
        absorption = absorption * _ratio(wanted, pile) / _ratio(now, pile)
    return replace(pile, absorption=absorption)


def _ratio(reflectance: Array, pile: Pile) -> Array:
    return k_over_s(np.clip(to_inner(reflectance, pile.surface), 1e-4, 0.9999))


# Looking at dabs: what their photo shows, what their recipes say, and what they then are.


@dataclass(frozen=True, eq=False)
class Believed:
    """What a photo says of its dabs alone, what it and the recipes say together, and the piles.

    All colours are of the finish that the box is reckoned for.
    """

    measured: Measured
    estimated: Estimated
    piles: tuple[Pile, ...]


def look(
    box: Box,
    parts: Array,
    spots: Sequence[Spot],
    known: Sequence[Known],
    *,
    light: Light | None = None,
    state: str = WET,
    references: Sequence[tuple[Array, Array]] = (),
    earlier: Sequence[Belief | None] = (),
) -> Believed:
    """Return what the dabs of one photo are.

    Of a light that nobody told, grey, white and black say nothing, but coloured paints do: each
    likely lamp is believed as far as what it shows agrees with the recipes. A chart needs no lamp.

    Args:
        box: whose tubes they are made of.
        parts: what is meant to be in each pile, (n, tubes).
        spots: the dabs as they were read.
        known: what is known beside them (`dabs.beside`).
        light: its name or kelvins, `camera.SAME`, or None where nobody knows.
        state: of the dabs: one of `spot.STATES`.
        references: piles of the same tubes that were measured otherwise: parts (tubes,), Lab (3,).
        earlier: what is believed of each pile by its recipe and earlier photos, None where there
            are none; of none where it is left out.

    Raises:
        ValueError: nothing is known beside them. UsageError: no such light.
    """
    every = np.concatenate([parts, *(row[None] for row, _ in references)])
    predicted = predict_piles(box, every)
    guesses = with_shine(predicted.reflectance[: len(parts)], state, box.surface)
    read = measure(spots, guesses, known, believed_camera(box, light))
    measured = _as_mixed(read, box, state)
    labs = [lab for _, lab in references]
    by_lamp = measured
    if light is None and not any(surface.on_chart for surface in known):
        read_by = [measure(spots, guesses, known, generic_camera(lamp)) for lamp in LIKELY]
        readings = [_as_mixed(one, box, state) for one in read_by]
        by_lamp = any_of(readings, _how_probable(readings, predicted, labs))
    alike = ALIKE if _is_photographed(box, parts) else 0.0
    photos = with_earlier(by_lamp, _earlier_photos(predicted, earlier), PHOTOS_ALIKE)
    every_look = _with(photos, labs)
    estimate = fuse(predicted, every_look, alike, len(references)).only(len(parts))
    piles = tuple(believed(box, row, estimate, number) for number, row in enumerate(parts))
    return Believed(measured, estimate, piles)


def _how_probable(
    readings: Sequence[Measured], predicted: Predicted, labs: Sequence[Array]
) -> Array:
    """Return how probable each likely lamp is, (lamps,), by what the recipes foretell."""
    agree = np.array([agreement(predicted, _with(one, labs), len(labs)) for one in readings])
    odds = np.exp(agree - agree.max())
    return np.asarray(odds / odds.sum())


def _earlier_photos(
    predicted: Predicted, earlier: Sequence[Belief | None]
) -> dict[int, tuple[Array, Array]]:
    """Return what earlier photos alone say of piles, by their number; see `fused_before`."""
    photos = {}
    for number, belief in enumerate(earlier):
        if belief is not None:
            rows = slice(3 * number, 3 * number + 3)
            recipe = predicted.lab[number], predicted.covariance[rows, rows]
            photos[number] = fused_before(belief.lab, belief.covariance, *recipe)
    return photos


def _as_mixed(measured: Measured, box: Box, state: str) -> Measured:
    """Take off the shine by which dabs look other than reckoned; all share what it leaves open."""
    reflectance = without_shine(measured.reflectance, state, box.surface)
    turns = np.linalg.solve(
        np.swapaxes(_slopes(measured.reflectance), 1, 2), np.swapaxes(_slopes(reflectance), 1, 2)
    )
    turn = block_diag(*np.swapaxes(turns, 1, 2))
    shine = doubt_of(reflectance, state, box.surface).ravel()
    return replace(
        measured,
        lab=reflectance_to_lab(reflectance),
        covariance=turn @ measured.covariance @ turn.T + np.outer(shine, shine),
        reflectance=reflectance,
    )


def _with(measured: Measured, labs: Sequence[Array]) -> Measured:
    """Put piles that were measured otherwise after those of the photo."""
    sure = REFERENCE_DOUBT**2 * np.eye(3 * len(labs))
    return replace(
        measured,
        lab=np.concatenate([measured.lab, *(lab[None] for lab in labs)]),
        covariance=block_diag(measured.covariance, sure) if labs else measured.covariance,
    )


def _slopes(reflectance: Array) -> Array:
    """Return the slopes, (n, 3, 3), of Lab by XYZ: light that is added counts for more in darks."""
    eye = viewing()
    return lab_slopes(reflectance @ eye.weights, eye.white)


def _is_photographed(box: Box, parts: Array) -> bool:
    used = parts.sum(axis=0) > 0.0
    return any(
        tube.source == "photographed" for tube, is_in in zip(box.tubes, used, strict=True) if is_in
    )
