"""Looking at dabs: what their photo shows, what their recipes say, and what they then are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import lab_slopes, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.dabs.additions import Pile
from refmatch.dabs.belief import Belief, believed
from refmatch.dabs.camera import Light
from refmatch.dabs.fuse import Estimated, Predicted, fuse, fused_before, predict_piles, with_earlier
from refmatch.dabs.measured import Measured, block_diag, measure
from refmatch.dabs.own_camera import believed_camera
from refmatch.dabs.spot import WET, Known, Spot, as_reckoned, as_seen, doubt_of
from refmatch.paint.box import Box

ALIKE = 0.5
"""How far the errors of a photographed box and of a later photo go together, and those of two
photos of one puddle (own choice): it is mostly the same phone."""


TOLD_DOUBT = 0.3
"""Standard error of each of L*, a* and b* of a colour that was measured (own choice)."""


@dataclass(frozen=True, eq=False)
class Looked:
    """What a photo says of its dabs alone, what it and the recipes say together, and the piles.

    All colours are of the finish that the box is reckoned for.
    """

    measured: Measured
    estimated: Estimated
    piles: tuple[Pile, ...]


@dataclass(frozen=True, eq=False)
class Told:
    """A pile of ``parts`` (tubes,) whose Lab (3,) is known: what it tells of the tubes."""

    parts: Array
    lab: Array


def look(
    box: Box,
    parts: Array,
    spots: Sequence[Spot],
    known: Sequence[Known],
    *,
    light: Light | None = None,
    state: str = WET,
    told: Sequence[Told] = (),
    earlier: Sequence[Belief | None] = (),
) -> Looked:
    """Return what the dabs of one photo are.

    Args:
        box: whose tubes they are made of.
        parts: what is meant to be in each pile, (n, tubes).
        spots: the dabs as they were read.
        known: what is known beside them (`dabs.beside`).
        light: its name or kelvins, `own_camera.SAME`, or None where nobody knows.
        state: of the dabs: one of `spot.STATES`.
        told: piles of the same tubes that were measured otherwise.
        earlier: what is believed of each pile by its recipe and earlier photos, None where there
            are none; of none where it is left out.

    Raises:
        ValueError: nothing is known beside them. UsageError: no such light.
    """
    every = np.concatenate([parts, *(each.parts[None] for each in told)])
    predicted = predict_piles(box, every)
    guesses = as_seen(predicted.reflectance[: len(parts)], state, box.surface)
    seen = measure(spots, guesses, known, believed_camera(box, light))
    measured = _reckoned(seen, box, state)
    alike = ALIKE if _is_photographed(box, parts) else 0.0
    seen_before = _seen_before(predicted, earlier)
    every_photo = with_earlier(measured, seen_before, ALIKE)
    found = fuse(predicted, _with(every_photo, told), alike).only(len(parts))
    piles = tuple(believed(box, row, found, number) for number, row in enumerate(parts))
    return Looked(measured, found, piles)


def _reckoned(seen: Measured, box: Box, state: str) -> Measured:
    """Take off the shine by which dabs look other than reckoned; all share what it leaves open."""
    reflectance = as_reckoned(seen.reflectance, state, box.surface)
    turns = np.linalg.solve(
        np.swapaxes(_slopes(seen.reflectance), 1, 2), np.swapaxes(_slopes(reflectance), 1, 2)
    )
    turn = block_diag(*np.swapaxes(turns, 1, 2))
    shine = doubt_of(reflectance, state, box.surface).ravel()
    return replace(
        seen,
        lab=reflectance_to_lab(reflectance),
        covariance=turn @ seen.covariance @ turn.T + np.outer(shine, shine),
        reflectance=reflectance,
    )


def _seen_before(
    predicted: Predicted, earlier: Sequence[Belief | None]
) -> dict[int, tuple[Array, Array]]:
    """Return what earlier photos alone say of piles, by their number; see `fused_before`."""
    found = {}
    for number, belief in enumerate(earlier):
        if belief is not None:
            rows = slice(3 * number, 3 * number + 3)
            recipe = predicted.lab[number], predicted.covariance[rows, rows]
            found[number] = fused_before(belief.lab, belief.covariance, *recipe)
    return found


def _with(measured: Measured, told: Sequence[Told]) -> Measured:
    """Put piles that were measured otherwise after those of the photo."""
    sure = TOLD_DOUBT**2 * np.eye(3 * len(told))
    return replace(
        measured,
        lab=np.concatenate([measured.lab, *(each.lab[None] for each in told)]),
        covariance=block_diag(measured.covariance, sure) if told else measured.covariance,
    )


def _slopes(reflectance: Array) -> Array:
    """Return the slopes, (n, 3, 3), of Lab by XYZ: light that is added counts for more in darks."""
    seen = viewing()
    return lab_slopes(reflectance @ seen.weights, seen.white)


def _is_photographed(box: Box, parts: Array) -> bool:
    used = parts.sum(axis=0) > 0.0
    return any(
        tube.source == "photographed" for tube, is_in in zip(box.tubes, used, strict=True) if is_in
    )
