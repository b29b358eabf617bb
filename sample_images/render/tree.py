"""Apple trees and meadow: barked trunks, forking branches, grass by the hundred thousand blades."""

from __future__ import annotations

import numpy as np
from scipy.interpolate import CubicSpline

from .mesh import Mesh, grid, tube
from .noise import fractal_noise, step

BARK = (2048, 1024)


def limb(
    knots: np.ndarray, radii: tuple[float, ...], seed: int, rough_m: float, rows: int = 420
) -> Mesh:
    """Return a barked limb through ``knots`` (n, 3), with a radius at each knot (metres)."""
    knots = np.asarray(knots, dtype=float)
    along = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(knots, axis=0), axis=1))])
    t = np.linspace(0, along[-1], rows)
    path = CubicSpline(along, knots)(t)
    radius = CubicSpline(along, radii)(t)
    points = tube(path, radius, 220)
    girth = 2 * np.pi * max(radii)
    per_m = 220 / girth
    ridges = fractal_noise(points.shape[:2], (0.13 * rows / along[-1], 0.035 * per_m), seed, 4)
    ridges = 1.0 - np.abs(ridges)
    swell = fractal_noise(points.shape[:2], (0.4 * rows / along[-1], 0.25 * per_m), seed + 1, 2)
    relief = rough_m * np.clip(ridges, -1.2, 1) + 1.6 * rough_m * swell
    relief[:, -1] = relief[:, 0]
    outward = points - path[:, None]
    outward /= np.linalg.norm(outward, axis=-1, keepdims=True)
    return grid(points + outward * relief[..., None], closed=True)


def bark(seed: int) -> np.ndarray:
    """Return linear sRGB of grey-brown bark with furrows and lichen, wrapping left to right."""
    plates = 1.0 - np.abs(fractal_noise(BARK, (150, 60), seed, 5))
    fine = fractal_noise(BARK, (14, 8), seed + 1, 3)
    tone = np.clip(0.55 + 0.35 * plates + 0.10 * fine, 0, 1.2)[..., None]
    rgb = np.array([0.155, 0.125, 0.098]) * (0.35 + tone)
    lichen = (
        step(fractal_noise(BARK, (120, 120), seed + 2, 5) + 0.3 * plates, 0.75, 1.35)[..., None]
        * 0.75
    )
    pale = np.array([0.30, 0.33, 0.22]) * (0.85 + 0.15 * fine[..., None])
    moss = step(fractal_noise(BARK, (260, 200), seed + 3, 4), 0.9, 1.9)[..., None] * 0.7
    rgb = rgb * (1 - lichen) + pale * lichen
    return rgb * (1 - moss) + np.array([0.07, 0.10, 0.025]) * moss


def ground_height(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Return the height of the meadow (metres)."""
    return 0.035 * np.sin(1.7 * x + 0.6) * np.cos(1.3 * y) + 0.02 * np.sin(3.9 * x - 2.2 * y)


def meadow(seed: int) -> Mesh:
    """Return the ground under the grass, 60 m wide."""
    x, y = np.meshgrid(np.linspace(-30, 30, 300), np.linspace(-6, 54, 300))
    return grid(np.stack([x, y, ground_height(x, y)], -1))


def grass(
    count: int, area_m: tuple[float, float, float, float], height_m: float, tiles: int, seed: int
) -> Mesh:
    """Return blades of grass in tufts over ``area_m`` (x from, to, y from, to)."""
    draw = np.random.default_rng(seed)
    tufts = count // 14
    middle = np.stack([draw.uniform(*area_m[:2], tufts), draw.uniform(*area_m[2:], tufts)], -1)
    n = tufts * 14
    foot = np.repeat(middle, 14, axis=0) + draw.normal(0, 0.022, (n, 2))
    vigour = np.repeat(draw.uniform(0.45, 1.2, tufts), 14)
    height = (height_m * vigour * draw.uniform(0.6, 1.3, n))[:, None]
    yaw, lean = draw.uniform(0, 2 * np.pi, n), draw.uniform(0.1, 0.9, n)[:, None]
    width = draw.uniform(0.0016, 0.0034, n)
    t = np.array([0.0, 0.35, 0.7, 1.0])
    reach = lean * t**2 * height
    x = foot[:, :1] + reach * np.cos(yaw)[:, None]
    y = foot[:, 1:] + reach * np.sin(yaw)[:, None]
    z = ground_height(foot[:, :1], foot[:, 1:]) + height * (t - 0.25 * lean * t**2)
    half = width[:, None] * np.array([1.0, 0.9, 0.6, 0.05])
    tile = (draw.integers(0, tiles, n) + 0.5) / tiles
    return _blades(np.stack([x, y, z], -1), half, yaw, tile)


def _blades(middle: np.ndarray, half_m: np.ndarray, yaw: np.ndarray, u: np.ndarray) -> Mesh:
    """Return narrow strips about ``middle`` (n, 4, 3), each with its own column of the atlas."""
    n = len(middle)
    side = np.stack([-np.sin(yaw), np.cos(yaw), np.zeros(n)], -1)[:, None]
    offset = side * half_m[..., None]
    points = np.stack([middle - offset, middle + offset], 2)
    normal = np.cross(np.broadcast_to(side, middle.shape), np.gradient(middle, axis=1))
    normal /= np.maximum(np.linalg.norm(normal, axis=-1, keepdims=True), 1e-12)
    normals = np.repeat(normal[:, :, None], 2, axis=2)
    uv = np.empty((n, 4, 2, 2))
    uv[..., 0] = u[:, None, None]
    uv[..., 1] = np.array([0.0, 0.35, 0.7, 1.0])[None, :, None]
    strip = np.array([[0, 1, 3], [0, 3, 2], [2, 3, 5], [2, 5, 4], [4, 5, 7], [4, 7, 6]])
    faces = strip[None] + (np.arange(n) * 8)[:, None, None]
    return Mesh(
        points.reshape(-1, 3), normals.reshape(-1, 3), uv.reshape(-1, 2), faces.reshape(-1, 3)
    )


def grass_atlas(colours: list[tuple[float, float, float]]) -> np.ndarray:
    """Return linear sRGB of blades side by side: pale at the foot, each its own green."""
    v = np.linspace(0, 1, 64)[:, None, None]
    columns = np.repeat(np.array(colours), 16, axis=0)[None]
    foot = np.array([0.16, 0.17, 0.07])
    return columns * (0.55 + 0.45 * v) * (0.3 + 0.7 * v) + foot * 0.25 * (1 - v) ** 2
