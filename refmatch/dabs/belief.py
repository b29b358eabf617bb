"""A puddle as it is believed to be: once it was seen, and after what was worked into it since.

What a check finds of a puddle, from its photo and its recipe together, is reckoned once. All that
is said of it later begins there: paint that is added moves it as the model says, and thins what is
not known of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.dabs.additions import LET_DOWN, Ingredient, Pile, Portions, pile_of
from refmatch.dabs.fuse import Estimated
from refmatch.dabs.measured import bent_to
from refmatch.paint.box import Box
from refmatch.paint.kubelka_munk import k_over_s, to_inner
from refmatch.recipe.mixture import Palette, film
from refmatch.recipe.rank import LET_DOWN_ERROR, part_errors

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
            np.stack([self.pile.absorption, *(each.absorption for each, _ in added)]),
            np.stack([self.pile.scattering, *(each.scattering for each, _ in added)]),
            self.pile.surface,
        )
        _, slopes = palette.lab_and_slopes(laid)
        made = [LET_DOWN_ERROR * (each.kind == LET_DOWN) for each, _ in added]
        by_hand = slopes[:, 1:] * (np.hypot(part_errors(laid)[1:], made) * amounts)
        kept = laid[0] / laid.sum()
        pile = Pile(
            laid @ palette.absorption / laid.sum(),
            laid @ palette.scattering / laid.sum(),
            float(laid.sum()),
            self.pile.surface,
        )
        return Belief(pile, kept**2 * self.covariance + by_hand @ by_hand.T)


def box_as_found(box: Box, found: Estimated) -> Box:
    """Return the box with its tubes as an estimate has them: what the next puddle is mixed from."""
    factors = np.exp(found.tubes)
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


def believed(box: Box, parts: Array, found: Estimated, number: int) -> Pile:
    """Return the pile of ``parts`` (tubes,) that has the colour found of dab ``number``.

    Its tubes are as found; what that leaves of the colour is a bend of its K.
    """
    tubes = box_as_found(box, found).tubes
    share = parts / parts.sum()
    absorption = share @ np.stack([tube.absorption for tube in tubes])
    scattering = share @ np.stack([tube.scattering for tube in tubes])
    return _bent(Pile(absorption, scattering, float(parts.sum()), box.surface), found.lab[number])


def pile_seen(box: Box, portions: Portions, lab: Array) -> Pile:
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
