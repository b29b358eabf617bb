"""The canvas laid over its reference: which part of both is looked at, and in what light.

A drawn shape is seldom quite where the photo has it. So nothing is compared pixel by pixel: the
masses, the steps of value and the holes are regions of the reference, drawn in from their rims by
what a shape may be off, and of each the mean is taken on the reference and on the canvas.

Light falls off along a canvas. Within one mass of the reference it is the paint that is meant to be
alike, so what still changes there, steadily from one side of the whole canvas to the other, is laid
to the light and divided out. How far a painter has kept or flattened the mass' own changes is found
with it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.canvas.corners import Bools, Squared
from refmatch.colorimetry.hues import lstar_from_value, munsell_value
from refmatch.colorimetry.lab import delta_e_00, lab_to_xyz, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.dabs.doubt import LEAST_SIGMA, SHADING_DOUBT
from refmatch.dabs.spot import NONE_CLIPPED, Channels, Spot
from refmatch.photo.masses import LEFT_OUT
from refmatch.photo.opencv import opencv
from refmatch.photo.values import DETAIL, Bytes, ValueStudy
from refmatch.plan.amounts import Canvas
from refmatch.plan.key import AS_IT_IS, Curve
from refmatch.recipe.reach import ValueRange

MASS, HOLE, STEP = "mass", "hole", "step"
"""What a region is: a mass of the picture, a hole punched in it, a step of a value study."""

TOLERANCE = 0.015
"""How far a drawn shape may be off its place, as a part of the longer side (own choice: half a
centimetre on a canvas of 40 x 30)."""

NARROWER = (1.0, 0.5, 0.25, 0.0)
"""What is tried of it where a mass is so thin that nothing would be left."""

LEAST_SHARE = 0.0004
"""Of the picture that a region must keep to be judged."""

HOLE_ALIKE = 8.0
"""dE00 within which what lies about a hole's middle is still what it was punched for."""

SEEN_PX = 320
"""Longest side at which both are compared: that of the masses."""


def part_shown(aspect: float, canvas: Canvas | None) -> tuple[float, float, float, float]:
    """Return left, top, width and height, 0 to 1, of what a canvas shows of a photo.

    ``aspect`` is the photo's width over height. The canvas lies as the photo does, its middle on
    the photo's, and shows as much of it as it can: the page to draw by has the same.
    """
    if canvas is None:
        return 0.0, 0.0, 1.0, 1.0
    sides = sorted((canvas.width_cm, canvas.height_cm))
    own = sides[1] / sides[0] if aspect >= 1.0 else sides[0] / sides[1]
    width, height = min(own / aspect, 1.0), min(aspect / own, 1.0)
    return (1.0 - width) / 2.0, (1.0 - height) / 2.0, width, height


@dataclass(frozen=True, eq=False)
class Reference:
    """What the canvas is held against, as it is to be painted.

    ``xyz`` (rows, columns, 3) is the balanced photo, white Y = 1; ``masses`` (rows, columns) tell
    the mass of each pixel and ``labels`` their names; ``studies`` are the value studies of it.
    ``curve`` and ``reach`` are the key: how the plan carries L* into what the box mixes.
    """

    xyz: Array
    masses: npt.NDArray[np.int16]
    labels: tuple[str, ...]
    studies: tuple[ValueStudy, ...]
    curve: Curve = AS_IT_IS
    reach: ValueRange | None = None

    def keyed(self, lab: Array) -> Array:
        """Return Lab (..., 3) of the photo as the plan means it to be painted."""
        keyed = np.array(lab, dtype=float)
        if self.curve is not AS_IT_IS and self.reach is not None:
            keyed[..., 0] = np.clip(self.curve.at(keyed[..., 0]), *self.reach)
        return keyed

    @property
    def lab(self) -> Array:
        """The reference as it is to be painted, Lab (rows, columns, 3)."""
        return self.keyed(xyz_to_lab(np.maximum(self.xyz, 0.0), PHOTO_WHITE))


@dataclass(frozen=True, eq=False)
class Wanted:
    """A hole as it is asked for: its name, its target as keyed, and its place, the sides 1."""

    label: str
    lab: Array
    x: float
    y: float


@dataclass(frozen=True, eq=False)
class Region:
    """A part of the picture that is judged as one colour.

    ``kind`` is one of `MASS`, `HOLE`, `STEP`; ``study`` and ``level`` say which step of which value
    study, counted from the darkest. ``target_lab`` (3,) is what it should be, keyed; ``share`` its
    part of the picture, ``x`` and ``y`` its middle, the sides 1. ``drawn_off`` (3, 3) is the
    covariance of what would be read of it where its shape is off its place; ``is_thin`` where it
    had to be read nearer to its rim than that may be.
    """

    kind: str
    label: str
    mask: Bools
    target_lab: Array
    share: float
    x: float
    y: float
    drawn_off: Array
    is_thin: bool = False
    study: int = 0
    level: int = 0


def regions_of(reference: Reference, holes: Sequence[Wanted]) -> tuple[Region, ...]:
    """Return the parts of a reference that can be judged: masses, holes, steps of value."""
    found = [*_masses(reference), *_steps(reference)]
    found += [hole for wanted in holes if (hole := _hole(reference, wanted)) is not None]
    return tuple(found)


def _masses(reference: Reference) -> Iterator[Region]:
    for number, label in enumerate(reference.labels):
        region = _region(reference, MASS, label, np.asarray(reference.masses == number))
        if region is not None:
            yield region


def _steps(reference: Reference) -> Iterator[Region]:
    for study in reference.studies:
        for level in range(len(study.values)):
            mask = np.asarray(study.image == level) & (reference.masses != LEFT_OUT)
            of = len(study.values), level
            region = _region(reference, STEP, f"{level + 1} of {len(study.values)}", mask, of)
            if region is not None:
                yield region


def _region(
    reference: Reference, kind: str, label: str, mask: Bools, of: tuple[int, int] = (0, 0)
) -> Region | None:
    inner, part = _drawn_in(mask)
    if not inner.any():
        return None
    target = reference.keyed(mean_lab(reference.xyz, inner))
    x, y = _middle(inner)
    share, off = float(mask.mean()), _if_drawn_off(reference, inner, target)
    return Region(kind, label, inner, target, share, x, y, off, part < 1.0, *of)


SHIFTS = ((0, 1), (0, -1), (1, 0), (-1, 0))

OFF_SIGMAS = 2.0
"""The tolerance in standard deviations of how far shapes are off (own choice)."""


def _if_drawn_off(reference: Reference, mask: Bools, target: Array) -> Array:
    """Return the covariance (3, 3) of what is read of a region whose shape is off its place.

    The reference itself tells: it is read as far beside the region as a shape may be off. Well
    within a mass that is the same colour, of a thin one it is its neighbours'.
    """
    reach = max(round(TOLERANCE * max(mask.shape)), 1)
    padded = np.pad(mask, reach)
    covariance = np.zeros((3, 3))
    for down, across in SHIFTS:
        rows = slice(reach + reach * down, reach + reach * down + mask.shape[0])
        columns = slice(reach + reach * across, reach + reach * across + mask.shape[1])
        beside = padded[rows, columns]
        if beside.any():
            off = reference.keyed(mean_lab(reference.xyz, beside)) - target
            covariance += np.outer(off, off) / len(SHIFTS) / OFF_SIGMAS**2
    return covariance / _pieces(mask)


ALIKE_WITHIN = 0.1
"""As far as this part of the longer side a shape is off the same way (own choice)."""


def _pieces(mask: Bools) -> float:
    """Return how many pieces of a region are drawn by themselves: their errors cancel in part.

    A patch counts for as many as it is long in stretches that are off the same way; patches count
    by their area, as in an effective number: 1 for one small thing, many for leaves.
    """
    cv2 = opencv()
    _, _, facts, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    stretch = ALIKE_WITHIN * max(mask.shape)
    area = facts[1:, cv2.CC_STAT_AREA].astype(float)
    long = np.maximum(facts[1:, cv2.CC_STAT_WIDTH], facts[1:, cv2.CC_STAT_HEIGHT]) / stretch
    return float(area.sum() ** 2 / max(float((area**2 / np.maximum(long, 1.0)).sum()), 1e-9))


def _hole(reference: Reference, wanted: Wanted) -> Region | None:
    """Return what lies about a hole's middle and is of its colour."""
    rows, columns = reference.masses.shape
    x, y = wanted.x * columns, wanted.y * rows
    if not (0.0 <= x < columns and 0.0 <= y < rows):
        return None
    radius = TOLERANCE * max(rows, columns)
    down, across = np.mgrid[0:rows, 0:columns]
    about = np.hypot(across + 0.5 - x, down + 0.5 - y) <= radius
    alike = about & (delta_e_00(reference.lab, wanted.lab) <= HOLE_ALIKE)
    mask = alike if alike.sum() >= 4 else about
    is_thin = bool(mask.sum() < 0.6 * about.sum())
    mask, share = np.asarray(mask), float(mask.mean())
    off = _if_drawn_off(reference, mask, wanted.lab)
    return Region(
        HOLE, wanted.label, mask, wanted.lab, share, wanted.x, wanted.y, off, is_thin=is_thin
    )


def _drawn_in(mask: Bools) -> tuple[Bools, float]:
    """Return a mask without its rim, and which part of the whole tolerance could be taken off."""
    cv2 = opencv()
    padded = np.pad(mask, 1).astype(np.uint8)
    depth = cv2.distanceTransform(padded, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)[1:-1, 1:-1]
    radius = TOLERANCE * max(mask.shape)
    for part in NARROWER:
        inner = np.asarray(depth > part * radius) & mask
        if inner.mean() >= LEAST_SHARE:
            return inner, part
    return np.zeros_like(mask), 0.0


def mean_lab(xyz: Array, mask: Bools) -> Array:
    """Return the Lab (3,) of the mean light under a mask."""
    return xyz_to_lab(np.maximum(xyz[mask].mean(axis=0), 0.0), PHOTO_WHITE)


def _middle(mask: Bools) -> tuple[float, float]:
    rows, columns = np.nonzero(mask)
    return (
        float((columns.mean() + 0.5) / mask.shape[1]),
        float((rows.mean() + 0.5) / mask.shape[0]),
    )


# How the light falls off along the canvas.

SLOPE_DOUBT = 0.15
"""Standard deviation beforehand of how much the ln of the light changes from the middle to an edge:
a window at one side (common practice, no source)."""

SLOPE_LEFT = 0.3
"""Part of what is divided out that may be wrong: the light is no plane, and masses are modelled."""

STROKE = 0.02
"""What of the longer side is one independent look at the light: a brush's width."""

FLAT_SPREAD = 0.03
"""Least standard deviation of the ln of the light within a mass that no slope explains."""

STEADY = 3.0
"""Of those standard deviations beyond which a pixel is of another shape, and does not count."""


@dataclass(frozen=True, eq=False)
class Fall:
    """How the ln of the light changes from the canvas' middle to its right and lower edge, (2,).

    ``doubt`` (2,) is the standard error of each.
    """

    slope: Array
    doubt: Array

    def at(self, points: Array) -> Array:
        """Return how many times the middle's light falls on places (n, 2), the sides 1."""
        return np.asarray(np.exp((2.0 * np.asarray(points) - 1.0) @ self.slope))

    def doubt_between(self, points: Array, others: Array) -> Array:
        """Return the standard error of the ln of the light at places (n, 2) beside others' mean."""
        apart = 2.0 * (np.asarray(points) - np.asarray(others).mean(axis=0))
        return np.asarray(np.sqrt((apart**2) @ self.doubt**2))

    @property
    def percent(self) -> float:
        """How much less light the darkest corner has than the lightest."""
        return float(100.0 * (1.0 - np.exp(-2.0 * np.abs(self.slope).sum())))


EVEN = Fall(np.zeros(2), np.full(2, SHADING_DOUBT))


def fall_of(canvas: Squared, reference: Reference) -> Fall:
    """Return how light falls off along the canvas, from what changes steadily within masses.

    ln Y(canvas) = m + s ln Y(reference) + g x: of each mass its own level m, of all one share s of
    the reference's own changes that is painted, and one slope g of the light.
    """
    rows, columns = reference.masses.shape
    down, across = np.mgrid[0:rows, 0:columns]
    seen, wanted, x, y, mass = [], [], [], [], []
    for number in range(len(reference.labels)):
        inner, _ = _drawn_in(np.asarray(reference.masses == number))
        inner &= ~canvas.clipped
        if inner.sum() < 12:
            continue
        of_canvas = np.log(np.maximum(canvas.xyz[inner][:, 1], 0.002))
        of_reference = np.log(np.maximum(reference.xyz[inner][:, 1], 0.002))
        seen.append(of_canvas - np.median(of_canvas))
        wanted.append(of_reference - of_reference.mean())
        x.append((across[inner] + 0.5) / columns * 2.0 - 1.0)
        y.append((down[inner] + 0.5) / rows * 2.0 - 1.0)
        mass.append(np.full(int(inner.sum()), number))
    if not seen:
        return EVEN
    terms = np.column_stack([np.concatenate(each) for each in (x, y, wanted)])
    return _fitted(terms, np.concatenate(seen), np.concatenate(mass), max(rows, columns))


def _fitted(terms: Array, seen: Array, mass: Array, longer_px: int) -> Fall:
    looks = 1.0 / max((STROKE * longer_px) ** 2, 1.0)
    weights = np.ones(len(seen))
    prior = np.diag([SLOPE_DOUBT**-2, SLOPE_DOUBT**-2, 1.0])
    before = np.array([0.0, 0.0, 0.5])
    found, spread = before, FLAT_SPREAD
    for _ in range(8):
        level = _of_each(terms, weights, mass), _of_each(seen[:, None], weights, mass)[:, 0]
        own, off = terms - level[0], seen - level[1]
        gram = looks / spread**2 * (own * weights[:, None]).T @ own + prior
        pull = looks / spread**2 * (own * weights[:, None]).T @ off + prior @ before
        found = np.linalg.solve(gram, pull)
        miss = np.abs(off - own @ found)
        spread = max(FLAT_SPREAD, 1.4826 * float(np.median(miss[weights > 0.0])))
        weights = np.where(miss <= STEADY * spread, 1.0, 0.0)
    error = np.sqrt(np.diag(np.linalg.inv(gram))[:2])
    return Fall(found[:2], np.hypot(np.hypot(error, SLOPE_LEFT * np.abs(found[:2])), SHADING_DOUBT))


def _of_each(values: Array, weights: Array, mass: Array) -> Array:
    """Return the weighted mean of each pixel's own mass, (n, k)."""
    count = int(mass.max()) + 1
    total = np.maximum(np.bincount(mass, weights, count), 1e-9)
    sums = [np.bincount(mass, weights * column, count) / total for column in values.T]
    return np.stack(sums, axis=1)[mass]


# What the canvas shows of a region.

GLINT_LSTAR, GLINT_CHROMA = 12.0, 0.7
"""A pixel so much lighter than its region, and of less than this part of its chroma, is a shine."""

GLINTS_TOLD = 0.02
"""Part of a region that shines from which it is said."""

CLIPPED_SHARE = 0.02

ROUGH_COUNTS = 0.1
"""How much of a region's unevenness is an error of its mean: brush marks, shapes that are off."""


@dataclass(frozen=True, eq=False)
class Look:
    """What the photo shows of a region: its spot, and the share of it that shines."""

    spot: Spot
    shine: float


def look_at(canvas: Squared, region: Region, fall: Fall) -> Look:
    """Return what a region shows, what shines left out."""
    xyz, clipped = canvas.xyz[region.mask], canvas.clipped[region.mask]
    lab = xyz_to_lab(np.maximum(xyz, 0.0), PHOTO_WHITE)
    middle = np.median(lab, axis=0)
    lighter = lab[:, 0] > middle[0] + GLINT_LSTAR
    bound = GLINT_CHROMA * np.hypot(*middle[1:]) + 2.0
    blown = clipped & (lab[:, 0] > max(90.0, middle[0] + 5.0))
    glint = (lighter & (np.hypot(lab[:, 1], lab[:, 2]) < bound)) | blown
    if region.kind == STEP or glint.mean() > 0.4:
        glint &= blown if glint.mean() <= 0.4 else np.zeros_like(glint)
    kept = xyz[~glint]
    mean, shade = kept.mean(axis=0), float(fall.at(np.array([[region.x, region.y]]))[0])
    error = ROUGH_COUNTS * kept.std(axis=0) if region.kind != STEP else 0.02 * kept.std(axis=0)
    ends = bool(clipped[~glint].mean() >= CLIPPED_SHARE)
    high, low = _ends(ends, bool(mean[1] > 0.5))
    spot = Spot(
        xyz=mean / shade,
        sigma=np.hypot(error / shade, LEAST_SIGMA),
        high=high,
        low=low,
        shading=shade,
    )
    return Look(spot, float(glint.mean()))


def _ends(is_clipped: bool, is_bright: bool) -> tuple[Channels, Channels]:
    all_three: Channels = (is_clipped, is_clipped, is_clipped)
    return (all_three, NONE_CLIPPED) if is_bright else (NONE_CLIPPED, all_three)


def xyz_of(lab: Array) -> Array:
    """Return XYZ, white Y = 1, of Lab (..., 3)."""
    return lab_to_xyz(lab, PHOTO_WHITE)


def levels_of(
    reference: Reference, study: ValueStudy, seen: Array
) -> tuple[Bytes, Bytes, tuple[float, ...]]:
    """Return reference and canvas in the same few values, and these values, dark to light.

    The steps part where the study of the reference does, as keyed. ``seen`` is the canvas, XYZ
    (rows, columns, 3), white Y = 1. Small shapes of the canvas are left out as the study does.
    """
    ends = np.zeros((len(study.thresholds), 3))
    ends[:, 0] = lstar_from_value(np.array(study.thresholds))
    values = np.zeros((len(study.values), 3))
    values[:, 0] = lstar_from_value(np.array(study.values))
    edges = xyz_of(reference.keyed(ends))[:, 1]
    levels = np.searchsorted(edges, seen[..., 1], side="right").astype(np.uint8)
    width = 2 * round(DETAIL * min(levels.shape) / 2.0) + 1
    levels = np.asarray(opencv().medianBlur(levels, width), dtype=np.uint8)
    keyed = tuple(float(value) for value in munsell_value(reference.keyed(values)))
    return study.image, levels, keyed
