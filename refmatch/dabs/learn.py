"""A box that has learnt from the piles it was checked by.

Every pile that was photographed is a measurement of the tubes in it. All that were ever taken in
are explained together with the box as it was before the first, so that their order does not
matter, the camera's errors are counted once, and any of them can be taken out again.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.dabs.calibrate import explain
from refmatch.dabs.camera import Light, believed_camera
from refmatch.dabs.doubt import LEAST_OPEN, TUBES
from refmatch.dabs.spot import Known, PhotoDab
from refmatch.paint.box import NINE_IN_TEN, Box, CameraBelief, Tube, strength_beside
from refmatch.paint.fit.belief import Belief
from refmatch.paint.fit.tubes import Learnt, Named, beliefs_of
from refmatch.recipe.mixture import Palette

# What photos show of piles whose recipes are known: what a box can learn from.


@dataclass(frozen=True, eq=False)
class Evidence:
    """What one photo shows: piles, tubes numbered as in the box, and what else in it is known.

    White and black as squeezed are piles of one tube: they tell of their tubes too. All spots have
    ``photo`` 0. ``light`` is a lamp's name or kelvins, `camera.SAME`, or None where nobody
    knows. Photos of one ``sitting`` show the same piles at the same time, so that they cannot
    confirm each other; None is a sitting of its own.
    """

    dabs: tuple[PhotoDab, ...]
    known: tuple[Known, ...]
    light: Light | None = None
    sitting: Hashable = None


def by_light(photos: Sequence[Evidence]) -> Iterator[tuple[Light | None, tuple[int, ...]]]:
    """Yield each light and the numbers of the photos taken in it; most photos first, then oldest.

    What a camera makes of colours hangs on the light, so photos of one light share one camera.
    """
    groups: dict[Light | None, list[int]] = {}
    for number, photo in enumerate(photos):
        groups.setdefault(photo.light, []).append(number)
    for light, group in sorted(groups.items(), key=lambda item: (-len(item[1]), item[1])):
        yield light, tuple(group)


def sittings(photos: Sequence[Evidence]) -> list[int]:
    """Return for each photo the number of the first photo of its sitting."""
    first: dict[Hashable, int] = {}
    return [
        number if photo.sitting is None else first.setdefault(photo.sitting, number)
        for number, photo in enumerate(photos)
    ]


def numbered(photos: Sequence[Evidence]) -> tuple[list[PhotoDab], list[Known]]:
    """Return all dabs and all that is known, the photos numbered from 0."""
    dabs, known = [], []
    for number, evidence in enumerate(photos):
        dabs += [replace(dab, spot=replace(dab.spot, photo=number)) for dab in evidence.dabs]
        known += [replace(one, spot=replace(one.spot, photo=number)) for one in evidence.known]
    return dabs, known


def learn(box: Box, photos: Sequence[Evidence]) -> Box:
    """Return the box that explains all photos, and the box as it was, best.

    Photos of one light share a camera and are explained together; where there are several lights,
    what one has taught is what the next begins with.

    Args:
        box: before anything was learnt.
        photos: every photo taken in, with one pile at least (`gates` says which may be).

    Raises:
        ValueError: there is no pile. UsageError: no such light.
    """
    if not any(photo.dabs for photo in photos):
        raise ValueError("there is nothing to learn from")
    after = box
    for light, group in by_light(photos):
        after = _learnt(after, [photos[number] for number in group], believed_camera(box, light))
    return after


def _learnt(box: Box, photos: Sequence[Evidence], camera: CameraBelief) -> Box:
    """Return the box after photos by one camera in one light."""
    dabs, known = numbered(photos)
    used = sorted({tube for dab in dabs for tube in dab.tubes})
    anew = {old: new for new, old in enumerate(used)}
    tubes = [box.tubes[number] for number in used]
    named = [Named.of(tube) for tube in tubes]
    dabs = [replace(dab, tubes=tuple(anew[each] for each in dab.tubes)) for dab in dabs]
    white = box.white.name
    beliefs = tuple(_belief(tube, white) for tube in tubes)
    explained = explain(named, beliefs, dabs, known, camera=camera, surface=box.surface)
    learnt = Learnt(
        tuple(named), white, beliefs, explained.swatches, explained.fitted, explained.misses
    )
    learnt_tubes = learnt.box(box.name, box.parts, "photographed").tubes
    after = {old.name: _joined(old, new) for old, new in zip(tubes, learnt_tubes, strict=True)}
    return replace(box, tubes=tuple(after.get(tube.name, tube) for tube in box.tubes))


def _belief(tube: Tube, white: str) -> Belief:
    """Return what the box believes of a tube: as far open as it says."""
    if tube.is_generic:
        return beliefs_of([Named.of(tube)], white, TUBES)[0]
    mean = np.log(np.concatenate([tube.absorption, tube.scattering]))
    strength = np.concatenate([np.ones(BANDS), np.zeros(BANDS)])[:, None]
    if len(tube.modes):
        return Belief(mean, tube.modes.T)
    return Belief(mean, max(tube.doubt, LEAST_OPEN) * strength)


def _joined(before: Tube, after: Tube) -> Tube:
    """Put what was learnt now on top of what the tube's own swatches had told."""
    swatches = before.swatches + after.swatches
    misses = [(tube.swatches, tube.residual_delta_e_00 or 0.0) for tube in (before, after)]
    residual = np.sqrt(sum(n * miss**2 for n, miss in misses) / max(swatches, 1))
    doubts = [tube.doubt_in_colours for tube in (before, after) if tube.swatches]
    return replace(
        after,
        swatches=swatches,
        residual_delta_e_00=float(residual),
        doubt_in_colours=min(doubts),
        flags=before.flags,
    )


# What a box has learnt of each tube, in a painter's words: stronger or weaker, and of what hue.
#
# Strength is all the light that a tint loses, and says nothing of hue; hue is that of the tint, one
# to nine white, whatever its strength.

TINT_WHITE_PARTS = 9.0
LEAST_PERCENT = 5
"""A strength nearer to the one assumed is told as such: no hand notices it."""

LITTLE, MUCH = 1.5, 4.0
"""dE00 from which a tint's hue is told to be a little other, and other (own choice)."""


@dataclass(frozen=True)
class Change:
    """What was learnt of one tube.

    ``strength_percent`` is how much stronger it is than assumed, below 0 where weaker, None for a
    white. ``is_other`` says whether strength or hue differs by more than nine of ten errors would
    make of it: the ``words`` then say how, and else that it is as assumed.
    """

    tube: str
    strength_percent: float | None
    is_other: bool
    words: str


def changes(assumed: Box, learnt: Box, names: Iterable[str]) -> tuple[Change, ...]:
    """Return what was learnt of the tubes of these names, those that changed most first."""
    pairs = [(assumed.tube(name), learnt.tube(name)) for name in names]
    told_changes = [
        _of_white(before, after, assumed)
        if before.is_white
        else _of_colour(before, after, assumed, learnt)
        for before, after in pairs
    ]
    return tuple(sorted(told_changes, key=lambda change: -_size(change)))


def _size(change: Change) -> float:
    return abs(change.strength_percent or 0.0) if change.is_other else -1.0


def _of_colour(before: Tube, after: Tube, assumed: Box, learnt: Box) -> Change:
    strength = strength_beside(after, before)
    percent = 100.0 * (strength.ratio - 1.0)
    amount = round(abs(percent))
    said = []
    if strength.is_certain and amount >= LEAST_PERCENT:
        said.append(f"{amount} % {'stronger' if percent > 0.0 else 'weaker'}")
    hue = _hue(_tint(before, assumed), _tint(after, learnt), _tint_doubt(after, learnt))
    if hue:
        said.append(hue)
    return Change(before.name, percent, bool(said), _words(before.name, said))


def _of_white(before: Tube, after: Tube, assumed: Box) -> Change:
    """A white has no strength of its own to know: it is what others are let down in."""
    labs = [_lab([tube], [1.0], assumed) for tube in (before, after)]
    hue = _hue(labs[0], labs[1], _doubt([after], np.ones(1), assumed))
    return Change(before.name, None, bool(hue), _words(before.name, [hue] if hue else []))


def _words(tube: str, said: list[str]) -> str:
    if not said:
        return f"your {tube} is as assumed, as far as these photos tell"
    return f"your {tube} is {' and '.join(said)} than assumed"


def _hue(before: Array, after: Array, doubt: Array) -> str:
    """Return how much redder, greener, yellower or bluer a colour became, "" where not.

    ``doubt`` is the covariance (3, 3) of the Lab of ``after``.
    """
    moved = np.array([0.0, *(after - before)[1:]])
    chroma = float(np.hypot(*before[1:]))
    if chroma > LITTLE:
        along = before[1:] / chroma
        moved[1:] -= along * (moved[1:] @ along)  # that it became stronger is no hue
    size, length = float(delta_e_00(before, before + moved)), float(np.hypot(*moved[1:]))
    if size < LITTLE or length**2 < NINE_IN_TEN**2 * (moved @ doubt @ moved) / length**2:
        return ""
    if abs(moved[1]) > abs(moved[2]):
        word = "redder" if moved[1] > 0.0 else "greener"
    else:
        word = "yellower" if moved[2] > 0.0 else "bluer"
    return word if size >= MUCH else f"a little {word}"


def _tint(tube: Tube, box: Box) -> Array:
    return _lab([tube, box.white], [1.0, TINT_WHITE_PARTS], box)


def _tint_doubt(tube: Tube, box: Box) -> Array:
    return _doubt([tube, box.white], np.array([1.0, TINT_WHITE_PARTS]), box)


def _doubt(tubes: list[Tube], parts: Array, box: Box) -> Array:
    """Return the covariance, (3, 3), that the first tube's open modes leave of a mix's Lab."""
    by_modes = Palette.of(tubes, box.surface).lab_by_curves(parts)[0] @ tubes[0].modes.T
    spread: Array = by_modes @ by_modes.T
    return spread


def _lab(tubes: list[Tube], parts: list[float], box: Box) -> Array:
    return Palette.of(tubes, box.surface).lab(np.array(parts))
