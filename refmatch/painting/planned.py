"""The plan of a painting: what is asked of it, its colours and its masses, as one wish.

A colour's share of the picture tells how much of its puddle is mixed. Where its hole does not say
it, each mass of the picture counts for the colour that is nearest to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.asked import Asked, AskedHole, AskedPlan, coats_of, options_of
from refmatch.plan.advise import all_to_buy
from refmatch.plan.layers import FINISH, GLAZE, Coat
from refmatch.plan.whole import Solver, WholePlan, Wish, solved, whole_plan
from refmatch.target import Target

LEAST_SHARE = 0.005
"""What a hole counts for that no mass is nearest to: a spot of the picture."""

SHARES_GUESSED = Flag("shares_guessed")


class HasShare(Protocol):
    """A mass of the picture, found just now or saved: its Lab, (3,), and its share."""

    @property
    def lab(self) -> Array:
        """The mass's colour."""

    @property
    def share(self) -> float:
        """The mass's part of the picture, 0 to 1."""


def plan_of(
    asked: Asked,
    targets: Sequence[Target],
    masses: Sequence[HasShare],
    *,
    holes: Sequence[AskedHole | None],
    box: Box,
    solver: Solver = solved,
) -> WholePlan:
    """Return the plan of a painting: its key, its palette, its puddles.

    Args:
        asked: what is asked of the painting, its plan with it.
        targets: the colours as the photo has them.
        masses: those of the picture, by which a hole's share is guessed where it is not known.
        holes: those of the targets, side by side.
        box: the whole box, as its paint is looked at.
        solver: makes the recipes.

    Raises:
        UsageError: no target, or a palette of so many tubes is not offered.
        BoxError: the box has no white, or no colour beside it.
    """
    wanted = asked.plan or AskedPlan()
    options = options_of(asked)
    insist, of_each = options.habits.insist, tuple(options_of(asked, hole) for hole in holes)
    if wanted.buy:  # what names tubes of the box, those to be bought know nothing of
        box, insist, of_each = all_to_buy(box), (), ()
        known = {tube.name for tube in box.tubes}
        away = tuple(name for name in asked.away if name in known)
        options = replace(options, habits=replace(options.habits, without=away, insist=()))
    coats = _coats(holes)
    shares, _ = shares_of(targets, masses, coats)
    canvas = asked.canvas
    return whole_plan(
        Wish(
            targets=tuple(targets),
            shares=shares,
            box=box,
            count=wanted.tubes,
            keep=tuple(dict.fromkeys((*wanted.keep, *insist))),
            keyed=wanted.keyed,
            canvas=canvas,
            options=options,
            of_each=of_each,
            chosen=tuple(hole.choice if hole else "" for hole in holes),
            coats=coats,
        ),
        solver,
    )


def _coats(holes: Sequence[AskedHole | None]) -> tuple[Coat, ...]:
    return coats_of([hole or AskedHole("", 0.0, 0.0, 0.0) for hole in holes])


def shares_of(
    targets: Sequence[Target], masses: Sequence[HasShare], coats: Sequence[Coat] = ()
) -> tuple[Array, bool]:
    """Return each target's share of the picture, (targets,), and whether any is guessed.

    Where all targets stand for masses, their shares are known. Else each mass counts for
    the target nearest to it in colour; with ``coats``, in each layer for the nearest of that.
    """
    known = [target.share for target in targets]
    if all(share is not None for share in known):
        return np.array(known, dtype=float), False
    labs, shares = np.array([target.lab for target in targets]), np.zeros(len(targets))
    layers = np.array([coat.layer for coat in coats] or [""] * len(targets))
    for layer in dict.fromkeys(layers.tolist()):
        # a glaze covers what is nearer to it than to the finish; other layers cover all
        own = np.flatnonzero((layers == layer) | ((layer == GLAZE) & (layers == FINISH)))
        for mass in masses:
            nearest = own[int(np.argmin(delta_e_00(labs[own], mass.lab)))]
            shares[nearest] += mass.share if layers[nearest] == layer else 0.0
    return np.maximum(shares, LEAST_SHARE), True


def share_flags(targets: Sequence[Target]) -> tuple[Flag, ...]:
    """Return the flag that shares are guessed, where the hole of any does not say its own."""
    return (SHARES_GUESSED,) if any(target.share is None for target in targets) else ()
