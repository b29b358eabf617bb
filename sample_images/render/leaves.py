"""Leaves by the thousand: one bent sheet each, joined, with an atlas of veined pictures."""

from __future__ import annotations

import numpy as np
from scipy.spatial.transform import Rotation

from .mesh import Mesh, grid, join
from .noise import fractal_noise

ROWS, COLS = 9, 5


def leaf(length_m: float, width: float, curl: float, fold: float) -> Mesh:
    """Return one leaf along +y from the origin, lying about z = 0; ``width`` per length."""
    t = np.linspace(0, 1, ROWS)[:, None]
    s = np.linspace(-1, 1, COLS)[None, :]
    half = width * np.sin(np.pi * t**0.8) ** 0.85 * (1 - 0.25 * t)
    half = np.maximum(half, 0.012)
    x = half * s
    z = fold * np.abs(x) - curl * t**2 + 0.03 * np.sin(9 * t + 2 * s) * np.abs(s)
    y = t * (1 - 0.12 * curl) + 0 * s
    return grid(np.stack([x, y, z + 0 * s], -1) * length_m)


def scatter(places: np.ndarray, length_m: float, tiles: int, seed: int, droop: float = 0.5) -> Mesh:
    """Return a leaf at each of ``places`` (n, 3), turned by chance and hanging by ``droop``.

    Each takes one of ``tiles`` pictures from the atlas.
    """
    draw = np.random.default_rng(seed)
    kinds = [
        leaf(1.0, draw.uniform(0.24, 0.34), draw.uniform(0, 0.35), draw.uniform(0.1, 0.5))
        for _ in range(8)
    ]
    yaw = draw.uniform(0, 360, len(places))
    pitch = -90 * droop + draw.normal(0, 32, len(places))
    roll = draw.normal(0, 40, len(places))
    turn = Rotation.from_euler("yxz", np.stack([roll, pitch, yaw], -1), degrees=True).as_matrix()
    size = length_m * draw.uniform(0.6, 1.2, len(places))
    kind = draw.integers(0, len(kinds), len(places))
    tile = draw.integers(0, tiles, len(places))
    parts = []
    for k, mesh in enumerate(kinds):
        chosen = np.flatnonzero(kind == k)
        u_range = (tile[chosen] + 0.01) / tiles, 0.98 / tiles
        parts.append(_copies(mesh, turn[chosen], size[chosen], places[chosen], u_range))
    return join(parts)


def _copies(
    mesh: Mesh,
    turn: np.ndarray,
    size: np.ndarray,
    places: np.ndarray,
    u_range: tuple[np.ndarray, float],
) -> Mesh:
    """Return many copies of a mesh, each with its own start of u; all as wide in u."""
    vertices = np.einsum("nij,vj->nvi", turn, mesh.vertices) * size[:, None, None] + places[:, None]
    normals = np.einsum("nij,vj->nvi", turn, mesh.normals)
    u = mesh.uv[None, :, 0] * u_range[1] + u_range[0][:, None]
    uv = np.stack([u, np.broadcast_to(mesh.uv[None, :, 1], u.shape)], -1)
    count = len(mesh.vertices)
    faces = mesh.faces[None] + (np.arange(len(places)) * count)[:, None, None]
    return Mesh(
        vertices.reshape(-1, 3), normals.reshape(-1, 3), uv.reshape(-1, 2), faces.reshape(-1, 3)
    )


def atlas(colours: list[tuple[float, float, float]], seed: int, tile_px: int = 128) -> np.ndarray:
    """Return linear sRGB of leaves side by side, one for each colour (linear), with veins."""
    v, u = np.mgrid[0 : 1 : 2j * tile_px, -1 : 1 : tile_px * 1j]
    rib = np.exp(-((u / 0.05) ** 2))
    side = np.exp(-((np.sin((v * 9 - np.abs(u) * 2.2) * np.pi) / 0.18) ** 2)) * 0.5
    vein = np.clip(rib + side, 0, 1)[..., None]
    tiles = []
    for k, colour in enumerate(colours):
        mottle = fractal_noise(v.shape, (40, 40), seed + k, 4)[..., None]
        tiles.append(np.array(colour) * (1 + 0.14 * mottle) * (1 + 0.45 * vein))
    return np.concatenate(tiles, axis=1)
