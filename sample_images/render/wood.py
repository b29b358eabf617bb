"""Planks: boards with rounded edges and a grain that runs, waves and knots."""

from __future__ import annotations

import numpy as np

from .mesh import Mesh, grid
from .noise import fractal_noise, specks, step

GRAIN = (1024, 2048)


def plank(length_m: float, width_m: float, thick_m: float, seed: int) -> Mesh:
    """Return a board along x, its top at z = 0, slightly cupped, its edges worn round."""
    worn = min(0.004, thick_m / 3)
    arc = np.linspace(0, np.pi / 2, 7)
    right_y = width_m / 2 - worn + worn * np.sin(arc)
    right_z = -worn + worn * np.cos(arc)
    y = np.concatenate(
        [
            [-width_m / 2],
            -right_y[::-1],
            np.linspace(-1, 1, 30)[1:-1] * (width_m / 2 - worn),
            right_y,
            [width_m / 2],
        ]
    )
    z = np.concatenate([[-thick_m], right_z[::-1], np.zeros(28), right_z, [-thick_m]])
    x = np.linspace(-length_m / 2, length_m / 2, 400)
    points = np.empty((len(y), len(x), 3))
    points[..., 0] = x[None]
    points[..., 1] = y[:, None]
    wave = fractal_noise((len(y), len(x)), (30, 160), seed, 4)
    flatness = np.clip((z[:, None] + thick_m) / thick_m, 0, 1)
    points[..., 2] = z[:, None] + flatness * (
        0.0004 * wave - 0.5 * 0.0012 * (2 * y[:, None] / width_m) ** 2
    )
    return grid(points)


def grain(seed: int, knots: int = 3) -> tuple[np.ndarray, np.ndarray]:
    """Return (tone, height), fields of 0 to 1 on the `GRAIN` raster; the grain runs along x."""
    rows, cols = GRAIN
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
    flow = y + 50 * fractal_noise(GRAIN, (300, 900), seed, 4)
    draw = np.random.default_rng(seed)
    knot = np.zeros(GRAIN, dtype=np.float32)
    for _ in range(knots):
        ky, kx, size = draw.uniform(0, rows), draw.uniform(0, cols), draw.uniform(14, 30)
        distance = np.hypot((y - ky) * 1.25, (x - kx) * 0.55)
        flow += np.sign(y - ky) * size * 2.4 * np.exp(-distance / (size * 2.2))
        knot = np.maximum(knot, step(-distance, -size * 1.15, -size * 0.55))
    rings = 0.5 + 0.5 * np.sin(flow / 15.0 + 1.2 * fractal_noise(GRAIN, (200, 900), seed + 1, 3))
    rings = rings**2.2
    fibres = fractal_noise(GRAIN, (3, 120), seed + 2, 3)
    pores = step(fractal_noise(GRAIN, (2, 34), seed + 3, 2), 1.0, 2.2)
    broad = fractal_noise(GRAIN, (260, 800), seed + 4, 3)
    cracks = step(fractal_noise(GRAIN, (5, 700), seed + 5, 3), 1.75, 2.15)
    tone = 0.58 - 0.16 * rings + 0.11 * fibres + 0.10 * broad - 0.22 * pores - 0.5 * cracks
    tone = tone - 0.4 * knot
    height = 0.55 - 0.22 * rings + 0.12 * fibres - 0.25 * pores - 0.6 * cracks
    return np.clip(tone, 0, 1), np.clip(height, 0, 1)


def coloured(tone: np.ndarray, stops: list[tuple[float, float, float]], seed: int) -> np.ndarray:
    """Return linear sRGB from a tone: dark to light through ``stops`` (sRGB-encoded 0 to 255)."""
    from refmatch.colorimetry.display import decode_srgb

    linear = decode_srgb(np.array(stops) / 255.0)
    place = np.linspace(0, 1, len(stops))
    rgb = np.stack([np.interp(tone, place, linear[:, k]) for k in range(3)], axis=-1)
    drift = fractal_noise(tone.shape, (300, 500), seed + 9, 3)[..., None]
    stains = specks(tone.shape, 14, (4, 22), seed + 10)[..., None]
    return rgb * (1.0 + 0.05 * drift * np.array([1.0, 0.2, -1.0])) * (1.0 - 0.13 * stains)
