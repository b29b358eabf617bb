"""An enamel jug: turned body, pulled spout, looped handle, blue rim, chips down to the iron."""

from __future__ import annotations

import numpy as np
from scipy.interpolate import PchipInterpolator

from .mesh import grid, revolve, tube, turned
from .noise import fractal_noise, smooth_noise, specks, step
from .spectra import reflectances
from .stage import Plugin, covered, embossed, glossy, matt, shape

OUTSIDE = np.array(
    [
        (0, 0.0),
        (0.30, 0.0),
        (0.40, 0.01),
        (0.425, 0.035),
        (0.445, 0.12),
        (0.455, 0.30),
        (0.43, 0.48),
        (0.36, 0.64),
        (0.295, 0.75),
        (0.275, 0.83),
        (0.295, 0.92),
        (0.335, 1.0),
    ]
)


def jug(place: tuple, turn_deg: float, height_m: float = 0.215) -> Plugin:
    """Return the jug as scene entries; its spout points to ``turn_deg``."""
    turn = turned(z_deg=turn_deg)
    outside = _wall(height_m, 0.0)
    inside = _wall(height_m, 0.0022)[::-1]
    rim_path = outside[-1] * np.array([1, 1, 1]) + np.array([0, 0, 0.0006])
    rim = tube(rim_path[:-1], np.full(len(rim_path) - 1, 0.0027), 14)
    rim = np.concatenate([rim, rim[:1]], axis=0)
    return {
        "jug outside": shape(grid(outside, closed=True).moved(turn, place), enamel(3, "enamel")),
        "jug inside": shape(
            grid(inside, closed=True).moved(turn, place), enamel(4, "enamel white")
        ),
        "jug rim": shape(grid(rim, closed=True).moved(turn, place), chipped_rim(5)),
        "jug handle": shape(
            grid(_handle(height_m), closed=True).moved(turn, place), enamel(6, "enamel rim", 0.3)
        ),
    }


def _wall(height_m: float, inset_m: float) -> np.ndarray:
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(OUTSIDE, axis=0).T))])
    t = np.linspace(0, along[-1], 200)
    radius = np.maximum(PchipInterpolator(along, OUTSIDE[:, 0])(t) * height_m - inset_m, 0.0)
    z = PchipInterpolator(along, OUTSIDE[:, 1])(t) * height_m
    z = np.maximum(z, inset_m) if inset_m else z
    points = revolve(radius, z, 240)
    lift = np.clip((z / height_m - 0.70) / 0.30, 0, 1)[:, None] ** 2
    angle = np.linspace(-np.pi, np.pi, 241)
    spout = np.exp(-((angle / 0.42) ** 2))[None]
    spout = np.roll(spout[:, :-1], 120, axis=1)
    spout = np.concatenate([spout, spout[:, :1]], axis=1)
    outward = points[..., :2] / np.maximum(
        np.linalg.norm(points[..., :2], axis=-1, keepdims=True), 1e-9
    )
    points[..., :2] += outward * (0.026 * lift * spout)[..., None]
    points[..., 2] += 0.012 * lift * spout
    dents = smooth_noise(points.shape[:2], (60, 60), 11)
    dents[:, -1] = dents[:, 0]
    points[..., :2] += outward * (0.0005 * dents * np.sin(np.pi * z / height_m)[:, None])[..., None]
    return points


def _handle(height_m: float) -> np.ndarray:
    """Return a strap that leaves the neck, swings out and comes home at the belly."""
    knots = (
        np.array(
            [
                (-0.285, 0.90),
                (-0.42, 0.955),
                (-0.60, 0.90),
                (-0.68, 0.72),
                (-0.64, 0.50),
                (-0.54, 0.36),
                (-0.45, 0.29),
                (-0.425, 0.27),
            ]
        )
        * height_m
    )
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(knots, axis=0).T))])
    t = np.linspace(0, along[-1], 90)
    x, z = PchipInterpolator(along, knots[:, 0])(t), PchipInterpolator(along, knots[:, 1])(t)
    path = np.stack([x, np.zeros_like(x), z], -1)
    points = tube(path, np.full(len(t), 0.0052), 24)
    points[..., 1] *= 1.9
    return points


def enamel(seed: int, colour: str, wear: float = 1.0) -> Plugin:
    """Return enamel of the named colour with a few chips down to the iron."""
    surface, size = reflectances(), (768, 1536)
    ragged = fractal_noise(size, (18, 18), seed, 4)
    spots = specks(size, round(26 * wear), (1.5, 9), seed + 1)
    v = np.linspace(0, 1, size[0])[:, None]
    foot = step(-v + 0.004 * ragged, -0.165, -0.155) * 0.0
    chips = step(spots + 0.25 * ragged * (spots > 0.05), 0.55, 0.75) + foot
    wave = smooth_noise(size, (60, 60), seed + 2)
    body = covered(glossy(surface[colour], 0.07), np.clip(chips, 0, 1), matt(surface["iron"]))
    return embossed(body, 0.5 + 0.04 * wave - 0.3 * np.clip(chips, 0, 1), 0.004)


def chipped_rim(seed: int) -> Plugin:
    """Return a dark blue rim, worn through along its edge."""
    surface, size = reflectances(), (1024, 128)
    ragged = fractal_noise(size, (30, 60), seed, 4)
    chips = step(ragged, 1.35, 1.6)
    return covered(glossy(surface["enamel rim"], 0.1), chips, matt(surface["iron"]))
