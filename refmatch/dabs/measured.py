"""What colour the dabs in a photo are, by what else in the photo is known, and how sure that is.

The camera is found from known surfaces alone: a grey card, white and black paint, a chart, an
earlier dab. Then each dab's spectrum, as its recipe predicts it, is bent until the camera would
see what it saw. The camera's error is one for all dabs of a photo, so their errors hang together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import (
    lab_slopes,
    reflectance_to_lab,
    xyz_to_lab,
)
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.dabs.calibrate import Photographed
from refmatch.dabs.camera import Camera
from refmatch.dabs.doubt import BEND_DOUBT, NOISE_PATCHES, SHAPE_ERROR
from refmatch.dabs.spot import Known, Spot
from refmatch.paint.box import CameraBelief

# A reflectance bent to another colour: the same shape, three broad stretches raised or lowered.
#
# Of a dab whose recipe is known its spectrum is known but for a little; three numbers are as many
# as a camera, or Lab, can tell of that little.

CENTRES_NM: Array = np.array([450.0, 540.0, 620.0])
WIDTH_NM = 45.0
"""About where the eye's three responses to colour lie (own choice)."""

BEND_STEPS = 40
LONGEST_BEND = 0.5
CLOSE_DELTA_E = 1e-6


def bumps() -> Array:
    """Return three shapes, (31, 3), that add up to 1 in every band."""
    apart = (WAVELENGTHS_NM[:, None] - CENTRES_NM) / WIDTH_NM
    height = np.exp(-0.5 * apart**2)
    share: Array = height / height.sum(axis=1, keepdims=True)
    return share


def bent(reflectance: Array, bends: Array) -> Array:
    """Return reflectance (..., 31) times the exponential of ``bends`` (..., 3) along the bumps."""
    return reflectance * np.exp(bends @ bumps().T)


def bent_to(reflectance: Array, lab: Array) -> Array:
    """Return the reflectance, (31,), bent so that its colour is ``lab`` (3,), D50.

    Newton's steps; where no such bend is found the nearest one met.
    """
    eye, bends = viewing(), np.zeros(3)
    best, nearest = reflectance, np.inf
    for _ in range(BEND_STEPS):
        now = bent(reflectance, bends)
        xyz = now @ eye.weights
        off = lab - xyz_to_lab(xyz, eye.white)
        if (distance := float(np.linalg.norm(off))) < nearest:
            best, nearest = now, distance
        if distance < CLOSE_DELTA_E:
            break
        step = np.linalg.lstsq(lab_by_bends(now), off, rcond=None)[0]
        bends = bends + step * min(1.0, LONGEST_BEND / max(float(np.abs(step).max()), 1e-12))
    return best


def lab_by_bends(reflectance: Array) -> Array:
    """Return the slopes, (..., 3, 3), of Lab by the bends of reflectance (..., 31)."""
    eye = viewing()
    by_bends = reflectance[..., :, None] * bumps()
    by_xyz = lab_slopes(reflectance @ eye.weights, eye.white)
    return by_xyz @ (eye.weights.T @ by_bends)


NOISE_ROUNDS = 2
"""So often the camera is found anew by what its own misses say of the noise."""

MOST_STEPS, LONGEST_STEP = 30, 0.5
SETTLED = 1e-4


@dataclass(frozen=True, eq=False)
class Measured:
    """The dabs' ``lab`` (n, 3) and its ``covariance`` (3n, 3n), dab by dab; and the cameras.

    ``reflectance`` (n, 31) is each recipe's, bent to what was seen.
    ``strain`` is how badly the known surfaces agree with each other in any camera's eyes: about 1
    or less where they do.
    """

    lab: Array
    covariance: Array
    cameras: tuple[Camera, ...]
    reflectance: Array
    strain: float = 0.0

    def covariance_of(self, dab: int) -> Array:
        """Return one dab's own covariance, (3, 3)."""
        rows = slice(3 * dab, 3 * dab + 3)
        return self.covariance[rows, rows]


def measure(
    spots: Sequence[Spot], guesses: Array, known: Sequence[Known], camera: CameraBelief
) -> Measured:
    """Return what a photo, or a few by one camera in one light, tell of the dabs in it.

    Args:
        spots: the dabs as they were read.
        guesses: what they should reflect by their recipes, (n, 31).
        known: surfaces of known reflectance in the same photos; at least one.
        camera: what is believed of it beforehand.

    Raises:
        ValueError: nothing in the photo is known.
    """
    if not known:
        raise ValueError("nothing in the photo is known")
    shot = Photographed(spots, known, camera)
    own, spread, strain = _camera(shot, guesses)
    for _ in range(NOISE_ROUNDS):
        shot = shot.noisier(_noise(shot, guesses, own, spread) / shot.noise)
        own, spread, _ = _camera(shot, guesses)
    reflectance, spread_of_bends, by_miss = _bends(shot, guesses, own)
    by_own = shot.look(np.cbrt(reflectance), own).by_own
    by_bends = lab_by_bends(reflectance)
    shared = (by_bends @ by_miss @ by_own).reshape(3 * len(spots), -1)
    covariance = shared @ spread @ shared.T
    for dab, (turn, left) in enumerate(zip(by_bends, spread_of_bends, strict=True)):
        rows = slice(3 * dab, 3 * dab + 3)
        covariance[rows, rows] += turn @ left @ turn.T + SHAPE_ERROR**2 * np.eye(3)
    return Measured(
        reflectance_to_lab(reflectance), covariance, shot.cameras(own), reflectance, strain
    )


def any_of(readings: Sequence[Measured], weights: Array) -> Measured:
    """Return what one of several readings of a photo says, where it is not known which is right.

    ``weights`` (readings,) are how probable each is. Mean and covariance are those of all of them,
    so that what they differ by is doubt, alike in all dabs; the rest is the likeliest one's.
    """
    likeliest = readings[int(np.argmax(weights))]
    labs = np.stack([reading.lab.ravel() for reading in readings])
    lab = weights @ labs
    apart = (labs - lab) * np.sqrt(weights)[:, None]
    covariance = apart.T @ apart
    for weight, reading in zip(weights, readings, strict=True):
        covariance += weight * reading.covariance
    return replace(likeliest, lab=lab.reshape(-1, 3), covariance=covariance)


def _camera(shot: Photographed, guesses: Array) -> tuple[Array, Array, float]:
    """Return the camera's unknowns, (size,), and their covariance, by known surfaces alone.

    And the strain: the least sum of squares of misses and unknowns, for each miss.
    """
    root = np.cbrt(guesses)
    own, damping = np.zeros(shot.size), 1e-3
    look = shot.look(root, own)
    cost = look.aside @ look.aside
    for _ in range(MOST_STEPS):
        slope = look.aside_by_own
        gram = slope.T @ slope + np.eye(shot.size)
        pull = slope.T @ look.aside - own
        step = np.linalg.solve(gram + damping * np.diag(np.diag(gram)), pull)
        ahead = shot.look(root, own + step)
        ahead_cost = ahead.aside @ ahead.aside + (own + step) @ (own + step)
        if ahead_cost <= cost:
            own, look, damping = own + step, ahead, damping / 4.0
            settled = cost - ahead_cost < SETTLED * cost
            cost = ahead_cost
            if settled:
                break
        else:
            damping *= 8.0
    slope = look.aside_by_own
    return own, np.linalg.inv(slope.T @ slope + np.eye(shot.size)), float(cost / len(look.aside))


def _noise(shot: Photographed, guesses: Array, own: Array, spread: Array) -> float:
    """Return how far what no camera explains strays in this photo, as a part of what was thought.

    Misses of the known surfaces and the light left over on them, found by a fit that they pull
    towards themselves, have as mean squares what that leaves of 1. What is found beside that is
    weighed with NOISE_PATCHES patches that stray as was thought: the mean of a scaled inverse
    chi-square (any handbook of Bayesian statistics).
    """
    look = shot.look(np.cbrt(guesses), own)
    light = slice(shot.at_shade + shot.dabs, shot.at_charts)
    free = np.any(look.aside_by_own != 0.0, axis=1)
    pulled = np.sum((look.aside_by_own @ spread) * look.aside_by_own, axis=1)
    left = (free - pulled).sum() + (1.0 - np.diag(spread)[light]).sum()
    strayed = (look.aside @ look.aside + own[light] @ own[light]) * shot.noise**2
    before = 3.0 * NOISE_PATCHES
    return float(np.sqrt((before + strayed) / (before + left)))


def _bends(shot: Photographed, guesses: Array, own: Array) -> tuple[Array, Array, Array]:
    """Bend each guess until the camera would see what it saw.

    Returns the reflectances, (n, 31), the covariance of the bends, (n, 3, 3), and the slopes of
    the bends by the camera's three misses, (n, 3, 3).
    """
    bends = np.zeros((len(guesses), 3))
    prior = np.eye(3) / BEND_DOUBT**2
    for _ in range(MOST_STEPS):
        root = np.cbrt(bent(guesses, bends))
        look = shot.look(root, own)
        by_bends = look.by_root @ (root[..., None] * bumps() / 3.0)
        turned = np.swapaxes(by_bends, 1, 2)
        inverse = np.linalg.inv(turned @ by_bends + prior)
        pull = (turned @ look.miss[..., None])[..., 0] - bends / BEND_DOUBT**2
        step = np.clip((inverse @ pull[..., None])[..., 0], -LONGEST_STEP, LONGEST_STEP)
        bends = bends + step
        if np.abs(step).max() < SETTLED:
            break
    return bent(guesses, bends), inverse, inverse @ turned


# Covariances of things that have nothing to do with each other, as one.


def block_diag(*blocks: Array) -> Array:
    """Return square blocks along the diagonal of one matrix, zero elsewhere."""
    ends = np.cumsum([0, *(len(block) for block in blocks)])
    whole = np.zeros((int(ends[-1]), int(ends[-1])))
    for start, block in zip(ends, blocks, strict=False):
        whole[start : start + len(block), start : start + len(block)] = block
    return whole
