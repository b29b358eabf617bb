"""A box that has learnt from the piles it was checked by.

Every pile that was photographed is a measurement of the tubes in it. All that were ever taken in
are explained together with the box as it was before the first, so that their order does not
matter, the camera's errors are counted once, and any of them can be taken out again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.spectrum import BANDS
from refmatch.paint.box import Box, Tube
from refmatch.paint.characterise.belief import Belief
from refmatch.paint.characterise.learnt import Learnt, Named
from refmatch.paint.characterise.tubes import beliefs_of
from refmatch.paint.strength import Strength, strength_beside
from refmatch.recipe.doubt import is_generic
from refmatch.swatch.calibrate import TUBES
from refmatch.swatch.camera import Generic
from refmatch.swatch.evidence import Evidence, by_light, numbered
from refmatch.swatch.explain import explain
from refmatch.swatch.own_camera import believed_camera

LEAST_OPEN = 0.02
"""Standard error of ln K of a measured tube whose file says nothing of it: a mode of strength."""


@dataclass(frozen=True, eq=False)
class Learning:
    """The box that has learnt, and how strong each tube it learnt of is beside the box before."""

    box: Box
    strengths: tuple[tuple[str, Strength], ...]


def learn(box: Box, photos: Sequence[Evidence]) -> Learning:
    """Return the box that explains all photos, and the box as it was, best.

    Photos of one light share a camera and are explained together; where there are several lights,
    what one has taught is what the next begins with.

    Args:
        box: before anything was learnt.
        photos: every photo taken in, with one pile at least (`gates` says which may be).

    Raises:
        ValueError: there is no pile. UsageError: no such light.
    """
    used = sorted({tube for each in photos for dab in each.dabs for tube in dab.tubes})
    if not used:
        raise ValueError("there is nothing to learn from")
    after = box
    for light, group in by_light(photos):
        after = _learnt(after, [photos[number] for number in group], believed_camera(box, light))
    strengths = tuple(
        (box.tubes[n].name, strength_beside(after.tubes[n], box.tubes[n])) for n in used
    )
    return Learning(after, strengths)


def _learnt(box: Box, photos: Sequence[Evidence], camera: Generic) -> Box:
    """Return the box after photos by one camera in one light."""
    dabs, known = numbered(photos)
    used = sorted({tube for dab in dabs for tube in dab.tubes})
    anew = {old: new for new, old in enumerate(used)}
    tubes = [box.tubes[number] for number in used]
    named = [Named.of(tube) for tube in tubes]
    dabs = [replace(dab, tubes=tuple(anew[each] for each in dab.tubes)) for dab in dabs]
    white = box.white.name
    beliefs = tuple(_belief(tube, white) for tube in tubes)
    seen = explain(named, beliefs, dabs, known, camera=camera, surface=box.surface)
    learnt = Learnt(tuple(named), white, beliefs, seen.swatches, seen.fitted, seen.misses)
    found = learnt.box(box.name, box.parts, "photographed").tubes
    after = {old.name: _joined(old, new) for old, new in zip(tubes, found, strict=True)}
    return replace(box, tubes=tuple(after.get(tube.name, tube) for tube in box.tubes))


def _belief(tube: Tube, white: str) -> Belief:
    """Return what the box believes of a tube: as far open as it says."""
    if is_generic(tube):
        return beliefs_of([Named.of(tube)], white, TUBES)[0]
    mean = np.log(np.concatenate([tube.absorption, tube.scattering]))
    strength = np.concatenate([np.ones(BANDS), np.zeros(BANDS)])[:, None]
    if len(tube.modes):
        return Belief(mean, tube.modes.T)
    return Belief(mean, max(tube.doubt, LEAST_OPEN) * strength)


def _joined(before: Tube, after: Tube) -> Tube:
    """Put what was learnt now on top of what the tube's own swatches had told."""
    swatches = before.swatches + after.swatches
    misses = [(each.swatches, each.residual_delta_e_00 or 0.0) for each in (before, after)]
    residual = np.sqrt(sum(n * miss**2 for n, miss in misses) / max(swatches, 1))
    doubts = [each.doubt_in_colours for each in (before, after) if each.swatches]
    return replace(
        after,
        swatches=swatches,
        residual_delta_e_00=float(residual),
        doubt_in_colours=min(doubts),
        flags=before.flags,
    )
