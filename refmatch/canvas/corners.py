"""Where the canvas lies in a photo, and the canvas squared.

Straight lines are looked for in lightness and in colour; any two that run across and two that run
down make a four-sided shape. Of those whose sides lie on edges the one is taken whose picture is
most like the reference: a window, an easel's frame or the grey card has edges as good, but not the
picture. Its sides are then fitted anew to the edges beside them.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.lab import xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo, Working, reduced

Bools = npt.NDArray[np.bool_]

LOOKED_AT_PX = 800
"""Longest side of the small picture in which edges are looked for."""

SOFT_PX, LINES = (11, 5), (8, 14)
"""Medians, in pixels, by which texture is left out, and how many straight lines are tried each way
by the end of each: the outline of a canvas outlasts the first, faint edges need the second."""

STEEPEST_DEG = 30.0
"""How far a side may lean: beyond this a canvas is photographed too much from the side."""

LEAST_AREA = 0.08
"""Of the photo: a smaller canvas shows too little (own choice)."""

LEAST_ON_EDGE = 0.35
"""Of each side that must lie on an edge, so that a corner may be covered or a side be faint."""

TRIED = 80
LIKENESS_PX = 48

LEAST_LIKENESS, SURE_LIKENESS = 0.35, 0.5
"""Correlation with the reference below which nothing is a canvas of it, and below which the finding
is called unsure (own choice: canvases of the virtual studio with faults reach 0.54
to 0.9, photos without the canvas up to 0.28)."""

SURE_ON_EDGE = 0.6
"""Part of the sides on edges below which the finding is called unsure."""

POINTED_AREA = 0.005
"""Four places that enclose less of the photo are no canvas."""

UNIT: Array = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
"""The canvas' corners: from its upper left round to its lower left."""


@dataclass(frozen=True, eq=False)
class Corners:
    """The canvas' corners in the photo's pixels, (4, 2), from its upper left round.

    ``likeness`` is the correlation of what they enclose with the reference, -1 to 1.
    """

    px: Array
    likeness: float
    is_pointed: bool = False
    flags: tuple[Flag, ...] = ()

    @property
    def to_photo(self) -> Array:
        """The homography (3, 3) from the canvas, its sides 1, to the photo's pixels."""
        return _homography(UNIT, self.px)

    def on_canvas(self, points_px: Array) -> Array:
        """Return places (n, 2) of the photo as places on the canvas' plane, its sides 1."""
        lifted = np.column_stack([points_px, np.ones(len(points_px))])
        moved = lifted @ np.linalg.inv(self.to_photo).T
        return np.asarray(moved[:, :2] / moved[:, 2:])


def find_corners(photo: Photo, reference_lab: Array) -> Corners:
    """Find the canvas whose picture is most like a reference, Lab (rows, columns, 3).

    Raises:
        PhotoError: none is seen.
    """
    working = reduced(photo, LOOKED_AT_PX)
    lab = _lab_of(working.xyz)
    small = _small(reference_lab)
    best, best_score = None, -np.inf
    for quad, on_edge in _quads(lab):
        likeness, _ = _likeness(lab, quad, small)
        score = likeness + 0.3 * on_edge
        if likeness > LEAST_LIKENESS and score > best_score:
            best, best_score = quad, score
    if best is None:
        raise PhotoError("no_canvas_seen", photo=photo.path.name)
    fitted, on_edge, likeness, turn = _laid_along(lab, best, small)
    slid = _laid_along(lab, _slid(lab, fitted, small), small)
    if slid[2] > likeness + LEDGE:
        fitted, on_edge, likeness, turn = slid
    unsure = likeness < SURE_LIKENESS or on_edge < SURE_ON_EDGE
    flags = (Flag("canvas_unsure"),) if unsure else ()
    if turn:
        flags = (*flags, Flag("canvas_turned"))
    return Corners(np.roll(fitted, -turn, axis=0) / working.scale, likeness, flags=flags)


def _laid_along(lab: Array, quad: Array, reference: Array) -> tuple[Array, float, float, int]:
    """Return a shape laid along the edges beside it, unless it is then less like the reference.

    With the part of its sides that lies on an edge, its likeness, and its turn.
    """
    fitted, on_edge = _fitted(lab, quad)
    likeness, turn = _likeness(lab, fitted, reference)
    before, turn_before = _likeness(lab, quad, reference)
    if likeness < before - 0.02:
        return quad, on_edge, before, turn_before
    return fitted, on_edge, likeness, turn


def pointed_corners(
    photo: Photo, points_px: Sequence[tuple[float, float]], reference: Array
) -> Corners:
    """Return the corners that a painter pointed to, in any order.

    Raises:
        PhotoError: they are no four-sided shape within the photo.
    """
    points = np.array(points_px, dtype=float).reshape(-1, 2)
    size = np.array([photo.width_px, photo.height_px])
    if len(points) != 4 or (points < 0.0).any() or (points > size).any():
        raise PhotoError("no_such_corners", photo=photo.path.name)
    ring = in_order(points)
    hull = opencv().convexHull(ring.astype(np.float32))
    if len(hull) != 4 or _area(ring) < POINTED_AREA * size.prod():
        raise PhotoError("no_such_corners", photo=photo.path.name)
    working = reduced(photo, LOOKED_AT_PX)
    likeness, _ = _likeness(_lab_of(working.xyz), ring * working.scale, _small(reference), turns=1)
    flags = () if likeness >= LEAST_LIKENESS else (Flag("canvas_unlike"),)
    return Corners(ring, likeness, is_pointed=True, flags=flags)


def in_order(points: Array) -> Array:
    """Return four points (4, 2) as a ring from the upper left, as the photo lies."""
    away = points - points.mean(axis=0)
    ring = points[np.argsort(np.arctan2(away[:, 1], away[:, 0]))]
    first = int(np.argmin(ring.sum(axis=1)))
    return np.asarray(np.roll(ring, -first, axis=0))


SQUARED_FROM_PX = 2048
"""Longest side of the photo from which the canvas is squared."""


@dataclass(frozen=True, eq=False)
class Squared:
    """The canvas seen straight on: ``xyz`` (rows, columns, 3) as the photo decodes it.

    ``clipped`` (rows, columns) says where the photo is at an end of its scale.
    """

    xyz: Array
    clipped: Bools


def squared(photo: Photo, corners: Corners, size: tuple[int, int]) -> Squared:
    """Return the canvas squared to so many (rows, columns), each the mean light of its pixels."""
    working: Working = reduced(photo, SQUARED_FROM_PX)
    rows, columns = size
    px = corners.px * working.scale
    longest = max(float(np.linalg.norm(side)) for side in np.roll(px, -1, axis=0) - px)
    finer = int(np.clip(np.ceil(longest / max(rows, columns)), 1, 8))
    whole = np.array([finer * columns, finer * rows], dtype=float)
    onto = _homography(px, UNIT * whole)
    # a pixel's middle lies half a pixel in, here and there
    half = np.array([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]])
    onto = np.linalg.inv(half) @ onto @ half
    cv2, wide = opencv(), (finer * columns, finer * rows)
    xyz = cv2.warpPerspective(
        np.asarray(working.xyz, np.float32), onto, wide, borderMode=cv2.BORDER_REPLICATE
    )
    ends = cv2.warpPerspective(working.clipped.astype(np.float32), onto, wide)
    small = cv2.resize(xyz, (columns, rows), interpolation=cv2.INTER_AREA)
    share = cv2.resize(ends, (columns, rows), interpolation=cv2.INTER_AREA)
    return Squared(np.asarray(small, dtype=float), np.asarray(share > 0.25))


# Lines, and the shapes that four of them make.


def _lab_of(xyz: Array) -> Array:
    lab = xyz_to_lab(np.maximum(np.asarray(xyz, dtype=float), 0.0), PHOTO_WHITE)
    return np.asarray(lab, np.float32)


def _edges(lab: Array, soft_px: int) -> Bools:
    """Return where lightness or colour changes at once, (rows, columns), fine texture aside."""
    cv2 = opencv()
    found = np.zeros(lab.shape[:2], bool)
    for channel, (gain, middle) in enumerate(((2.55, 0.0), (3.0, 128.0), (3.0, 128.0))):
        grey = np.clip(gain * lab[..., channel] + middle, 0, 255).astype(np.uint8)
        grey = cv2.medianBlur(grey, soft_px)
        found |= cv2.Canny(grey, 25, 70) > 0
    return found


def _quads(lab: Array) -> list[tuple[Array, float]]:
    """Return shapes whose sides lie on edges, best first, each with the part that does."""
    kinds = [_edges(lab, soft_px) for soft_px in SOFT_PX]
    across, down = _lines(kinds)
    near = opencv().dilate(kinds[-1].astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    size = np.array(near.shape[::-1], dtype=float)
    if len(across) < 2 or len(down) < 2:
        return []
    meet = _meetings(across, down)
    tops, lefts = (np.array(list(itertools.combinations(range(len(o)), 2))) for o in (across, down))
    top, left = (each.ravel() for each in np.meshgrid(range(len(tops)), range(len(lefts))))
    (one, two), (three, four) = tops[top].T, lefts[left].T
    quads = np.stack([meet[one, three], meet[one, four], meet[two, four], meet[two, three]], axis=1)
    margin = 0.02 * size.max()
    within = ((quads > -margin) & (quads < size + margin)).all(axis=(1, 2))
    quads = np.stack([in_order(quad) for quad in quads[within]] or [np.zeros((4, 2))])
    fits = [_area(quad) >= LEAST_AREA * size.prod() and _is_convex(quad) for quad in quads]
    found = []
    for quad in quads[np.array(fits, dtype=bool)]:
        shares = _on_edges(near, quad)
        if shares.min() >= LEAST_ON_EDGE:
            found.append((quad, float(shares.mean())))
    found.sort(key=lambda each: -each[1] * _area(each[0]) ** 0.25)
    return found[:TRIED]


def _lines(kinds: Sequence[Bools]) -> tuple[Array, Array]:
    """Return the strongest lines across and down, (n, 2) each, rho and the normal's angle.

    Those of the softened picture come first: leaves and cloth have lines in plenty, but fine ones.
    """
    cv2 = opencv()
    across: list[Array] = []
    down: list[Array] = []
    for most, edges in zip(LINES, kinds, strict=True):
        votes = int(0.12 * min(edges.shape))
        raw = cv2.HoughLines(edges.astype(np.uint8), 1.5, np.pi / 270.0, votes)
        for rho, theta in [] if raw is None else raw[:, 0]:
            lean = np.degrees(theta)
            if abs(lean - 90.0) <= STEEPEST_DEG:
                family, line = across, np.array([rho, theta])
            elif lean <= STEEPEST_DEG:
                family, line = down, np.array([rho, theta])
            elif lean >= 180.0 - STEEPEST_DEG:
                family, line = down, np.array([-rho, theta - np.pi])
            else:
                continue
            if len(family) < most and all(_apart(line, other, edges.shape) for other in family):
                family.append(line)
    return np.array(across), np.array(down)


def _apart(line: Array, other: Array, shape: tuple[int, ...]) -> bool:
    """Whether two lines are two: they lie apart somewhere along the picture."""
    rows, columns = shape[:2]
    middle = np.array([columns / 2.0, rows / 2.0])
    normal, second = _normal(line[1]), _normal(other[1])
    off = abs((line[0] - normal @ middle) - (other[0] - second @ middle))
    turned = abs(line[1] - other[1]) * min(rows, columns) / 2.0
    return bool(off + turned > 0.015 * max(rows, columns))


def _normal(theta: Array | float) -> Array:
    return np.array([np.cos(theta), np.sin(theta)])


def _meetings(across: Array, down: Array) -> Array:
    """Return where lines across meet lines down, (n, m, 2)."""
    a, b = _normal(across[:, 1]).T[:, None], _normal(down[:, 1]).T[None]
    one, other = across[:, 0][:, None], down[:, 0][None]
    turned = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    x = (one * b[..., 1] - other * a[..., 1]) / turned
    y = (other * a[..., 0] - one * b[..., 0]) / turned
    return np.stack([x, y], axis=-1)


def _on_edges(near: Bools, quad: Array) -> Array:
    """Return which part of each side, (4,), lies on an edge."""
    rows, columns = near.shape
    along = np.linspace(0.03, 0.97, 60)[:, None, None]
    points = quad[None] * (1.0 - along) + np.roll(quad, -1, axis=0)[None] * along
    x = np.clip(np.rint(points[..., 0]).astype(int), 0, columns - 1)
    y = np.clip(np.rint(points[..., 1]).astype(int), 0, rows - 1)
    return np.asarray(near[y, x].mean(axis=0))


def _area(quad: Array) -> float:
    x, y = quad.T
    return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0)


def _is_convex(quad: Array) -> bool:
    ahead, behind = np.roll(quad, -1, axis=0) - quad, quad - np.roll(quad, 1, axis=0)
    cross = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    return bool((cross > 0.0).all() or (cross < 0.0).all())


# How like the reference the picture within is.


def _small(lab: Array) -> Array:
    size = (LIKENESS_PX, LIKENESS_PX)
    small = opencv().resize(np.asarray(lab, np.float32), size, interpolation=opencv().INTER_AREA)
    return _levelled(small)


def _levelled(small: Array) -> Array:
    """Return a small picture without its means, so that neither exposure nor cast counts."""
    return np.asarray(small - small.mean(axis=(0, 1)))


def _likeness(lab: Array, quad: Array, reference: Array, turns: int = 4) -> tuple[float, int]:
    """Return the highest correlation with the reference over quarter turns, and that turn."""
    cv2 = opencv()
    side = 3 * LIKENESS_PX
    onto = _homography(quad, UNIT * side)
    seen = cv2.warpPerspective(lab, onto, (side, side), borderMode=cv2.BORDER_REPLICATE)
    seen = cv2.resize(seen, (LIKENESS_PX, LIKENESS_PX), interpolation=cv2.INTER_AREA)
    seen = _levelled(seen)
    scale = np.linalg.norm(seen) * np.linalg.norm(reference)
    found = [
        float((np.rot90(seen, turn) * reference).sum() / max(scale, 1e-9)) for turn in range(turns)
    ]
    turn = int(np.argmax(found))
    # a turn is believed only where it is plainly better than the photo as it lies
    if found[turn] < found[0] + 0.15:
        turn = 0
    return found[turn], turn


SLIDES: Array = np.linspace(-0.06, 0.06, 13)
"""How far a side is tried inwards and outwards, as parts of the sides that it joins."""

GAINED = 0.006
"""What in likeness must be gained for a side, or one of its ends, to be moved (own choice)."""


LEDGE = 0.02
"""What in likeness all of it must gain, since edges are surer than likeness (own choice)."""


def _slid(lab: Array, quad: Array, reference: Array) -> Array:
    """Return the shape with each side where the picture within is most like the reference.

    A ledge or a frame of the canvas' own colour has the better edge; the picture ends before it.
    """
    best, likeness = quad, _likeness(lab, quad, reference)[0]
    ends = [((side, side - 1), ((side + 1) % 4, (side + 2) % 4)) for side in range(4)]
    single = [(end,) for pair in ends for end in pair]
    for moving in (*ends, *ends, *single):
        held = best, likeness
        for slide in SLIDES:
            moved = held[0].copy()
            for corner, other in moving:
                moved[corner] += slide * (held[0][other] - held[0][corner])
            found = _likeness(lab, moved, reference)[0]
            if found > max(likeness, held[1] + GAINED):
                best, likeness = moved, found
    return np.asarray(best)


# The sides fitted anew to the edges beside them.

REACH = 0.012
"""How far from the first finding an edge may lie, as a part of the picture's longer side."""

ALONG = 80


def _fitted(lab: Array, quad: Array) -> tuple[Array, float]:
    """Return the shape with each side laid along its edge, and which part of the sides has one."""
    reach = max(REACH * max(lab.shape[:2]), 3.0)
    lines, on_edge = [], []
    middle = quad.mean(axis=0)
    for start, end in zip(quad, np.roll(quad, -1, axis=0), strict=True):
        line, share = _side(lab, start, end, middle, reach)
        lines.append(line)
        on_edge.append(share)
    points = [_cross(lines[side - 1], lines[side]) for side in range(4)]
    if any(point is None for point in points):
        return quad, float(np.mean(on_edge))
    fitted = np.array(points)
    if np.abs(fitted - quad).max() > 4.0 * reach:
        fitted = quad
    return fitted, float(np.mean(on_edge))


def _side(
    lab: Array, start: Array, end: Array, middle: Array, reach: float
) -> tuple[tuple[Array, Array], float]:
    """Return a point and a direction of the edge nearest to a side, and how much of it there is."""
    direction = (end - start) / max(float(np.linalg.norm(end - start)), 1e-9)
    outward = np.array([direction[1], -direction[0]])
    if outward @ (start - middle) < 0.0:
        outward = -outward
    along = np.linspace(0.04, 0.96, ALONG)
    offsets = np.arange(-reach, reach + 0.25, 0.5)
    points = start + along[:, None, None] * (end - start) + offsets[None, :, None] * outward
    profile = _at(lab, points)
    rise = np.linalg.norm(profile[:, 4:] - profile[:, :-4], axis=-1)
    where = rise.argmax(axis=1)
    strength = rise[np.arange(ALONG), where]
    off = offsets[where + 2]
    seen = strength > max(4.0, 0.3 * float(np.median(strength)))
    if seen.sum() < 8:
        return (start, direction), 0.0
    kept = seen
    for _ in range(4):
        slope, level = np.polyfit(along[kept], off[kept], 1)
        miss = np.abs(off - (level + slope * along))
        kept = seen & (miss <= max(1.0, 1.5 * float(np.median(miss[seen]))))
        if kept.sum() < 8:
            return (start, direction), 0.0
    ends = [start + t * (end - start) + (level + slope * t) * outward for t in (0.0, 1.0)]
    return (ends[0], ends[1] - ends[0]), float(kept.mean())


def _at(lab: Array, points: Array) -> Array:
    maps = np.asarray(points, np.float32)
    cv2 = opencv()
    return np.asarray(
        cv2.remap(
            lab, maps[..., 0], maps[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
    )


def _cross(one: tuple[Array, Array], other: tuple[Array, Array]) -> Array | None:
    matrix = np.column_stack([one[1], -other[1]])
    if abs(np.linalg.det(matrix)) < 1e-6:
        return None
    step = np.linalg.solve(matrix, other[0] - one[0])
    return np.asarray(one[0] + step[0] * one[1])


def _homography(here: Array, there: Array) -> Array:
    return np.asarray(
        opencv().getPerspectiveTransform(
            np.asarray(here, np.float32), np.asarray(there, np.float32)
        ),
        dtype=float,
    )
