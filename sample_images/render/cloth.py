"""A napkin, dropped: particles on springs that fall on the table and come to rest in folds."""

from __future__ import annotations

import numpy as np

from .noise import fractal_noise, smooth_noise


def drop(cells: int, side_m: float, squeeze: float, seed: int, steps: int = 300) -> np.ndarray:
    """Return the points (cells, cells, 3) of a square cloth that fell crumpled on z = 0.

    ``squeeze``: to what share of its width the cloth is gathered before it falls. Positions
    are corrected towards rest lengths (position-based dynamics, Mueller et al. 2007,
    doi:10.1016/j.jvcir.2007.01.005).
    """
    step_m = side_m / (cells - 1)
    y, x = np.mgrid[0:cells, 0:cells] * step_m - side_m / 2
    hump = smooth_noise((cells, cells), (cells / 3.2, cells / 7), seed)
    hump += 0.5 * smooth_noise((cells, cells), (cells / 6, cells / 9), seed + 1)
    points = np.stack([x * squeeze, y * (0.6 + 0.4 * squeeze), 0.03 + 0.012 * hump], -1)
    points[..., 2] -= points[..., 2].min() - 0.002
    before = points.copy()
    for tick in range(steps):
        velocity = (points - before) * (0.985 if tick < steps * 0.7 else 0.9)
        before = points.copy()
        points = points + velocity + np.array([0, 0, -9.81 * 0.004**2])
        for _ in range(8):
            _hold(points, step_m)
            low = points[..., 2] < 0.0012
            points[..., 2][low] = 0.0012
            points[..., :2][low] = 0.55 * points[..., :2][low] + 0.45 * before[..., :2][low]
    return points


def _hold(points: np.ndarray, step_m: float) -> None:
    """Pull neighbours along, across, aslant and two apart back to their rest lengths."""
    for rows, cols, stiffness in (
        (0, 1, 1.0),
        (1, 0, 1.0),
        (1, 1, 0.5),
        (1, -1, 0.5),
        (0, 2, 0.25),
        (2, 0, 0.25),
        (0, 4, 0.1),
        (4, 0, 0.1),
    ):
        for phase in (0, 1):
            _pull(points, (rows, cols), step_m * np.hypot(rows, cols), stiffness, phase)


def _pull(
    points: np.ndarray, apart: tuple[int, int], rest: float, stiffness: float, phase: int
) -> None:
    """Correct every other pair that lies ``apart`` (rows, columns), so that no point is in two."""
    n = points.shape[0]
    rows, cols = apart
    start = max(0, -cols)
    a = points[: n - rows, start : n - max(cols, 0)]
    b = points[rows:, start + cols : n + min(cols, 0) if cols < 0 else n]
    offset = b - a
    length = np.linalg.norm(offset, axis=-1, keepdims=True)
    change = offset * (0.5 * stiffness * (1.0 - rest / np.maximum(length, 1e-9)))
    index = (
        np.arange(n - rows)[:, None] // max(rows, 1)
        if rows
        else np.arange(a.shape[1])[None] // abs(cols)
    )
    mine = (index % 2 == phase)[..., None]
    change = np.where(mine, change, 0.0)
    a += change
    b -= change


def linen(size_px: int, stripes: bool, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Return (linear sRGB, height) of a plain weave in undyed linen, with woven blue stripes."""
    row, col = np.mgrid[0:size_px, 0:size_px]
    slub_a = fractal_noise((size_px, size_px), (3, 400), seed, 2)
    slub_b = fractal_noise((size_px, size_px), (400, 3), seed + 1, 2)
    over = ((row // 3 + col // 3) % 2).astype(float)
    thread = over * (1 + 0.25 * slub_a) + (1 - over) * (1 + 0.25 * slub_b)
    base = np.array([0.66, 0.61, 0.50])
    rgb = np.broadcast_to(base, (size_px, size_px, 3)) * (0.86 + 0.10 * thread)[..., None]
    rgb = rgb * (1 + 0.04 * fractal_noise((size_px, size_px), (300, 300), seed + 2, 3))[..., None]
    if stripes:
        place = col / size_px
        blue = sum(
            ((place > s) & (place < s + w)).astype(float)
            for s, w in (
                (0.06, 0.012),
                (0.085, 0.035),
                (0.133, 0.012),
                (0.855, 0.012),
                (0.88, 0.035),
                (0.928, 0.012),
            )
        )
        ink = np.array([0.07, 0.13, 0.27]) * (0.85 + 0.15 * thread)[..., None]
        share = (blue * (0.75 + 0.2 * over))[..., None]
        rgb = rgb * (1 - share) + ink * share
    return rgb, np.clip(0.5 * thread, 0, 1)
