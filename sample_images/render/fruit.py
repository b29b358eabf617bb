"""Pears, apples and plums: turned forms made irregular, with stems and speckled skins."""

from __future__ import annotations

import numpy as np
from scipy.interpolate import PchipInterpolator

from .mesh import Mesh, grid, revolve, tube
from .noise import fractal_noise, smooth_noise, specks, step
from .spectra import reflectances
from .stage import Plugin, covered, embossed, glossy, matt, shape

PEAR = np.array(
    [
        (0, 0.045),
        (0.07, 0.03),
        (0.15, 0.004),
        (0.21, 0.0),
        (0.32, 0.05),
        (0.40, 0.17),
        (0.42, 0.29),
        (0.40, 0.42),
        (0.335, 0.56),
        (0.25, 0.69),
        (0.195, 0.80),
        (0.165, 0.89),
        (0.125, 0.955),
        (0.07, 0.982),
        (0.03, 0.972),
        (0, 0.955),
    ]
)
APPLE = np.array(
    [
        (0, 0.10),
        (0.06, 0.07),
        (0.15, 0.012),
        (0.24, 0.0),
        (0.38, 0.08),
        (0.49, 0.28),
        (0.53, 0.50),
        (0.50, 0.72),
        (0.40, 0.88),
        (0.27, 0.945),
        (0.16, 0.93),
        (0.07, 0.85),
        (0.02, 0.79),
        (0, 0.78),
    ]
)
PLUM = np.array(
    [
        (0, 0.0),
        (0.12, 0.01),
        (0.26, 0.08),
        (0.38, 0.27),
        (0.42, 0.5),
        (0.38, 0.73),
        (0.27, 0.90),
        (0.13, 0.975),
        (0.04, 0.97),
        (0, 0.955),
    ]
)
SKIN = (512, 1024)


def _body(profile: np.ndarray, height_m: float, seed: int, bend: float) -> np.ndarray:
    """Return the points of a fruit standing on z = 0, its axis bent and its girth uneven."""
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(profile, axis=0).T))])
    t = np.linspace(0, along[-1], 140)
    radius = np.maximum(PchipInterpolator(along, profile[:, 0])(t), 0.0) * height_m
    z = PchipInterpolator(along, profile[:, 1])(t) * height_m
    points = revolve(radius, z, 180)
    lumps = smooth_noise(points.shape[:2], (50, 60), seed) + 0.4 * smooth_noise(
        points.shape[:2], (22, 30), seed + 1
    )
    lumps[:, -1] = lumps[:, 0]
    points[..., :2] *= 1.0 + 0.016 * lumps[..., None]
    rise = points[..., 2] / height_m
    draw = np.random.default_rng(seed)
    angle = draw.uniform(0, 2 * np.pi)
    shift = bend * height_m * rise**2
    points[..., 0] += shift * np.cos(angle)
    points[..., 1] += shift * np.sin(angle)
    return points


def _stem(points: np.ndarray, length_m: float, thick_m: float, seed: int) -> Mesh:
    """Return a bent stem rising from the fruit's upper dimple."""
    draw = np.random.default_rng(seed + 5)
    foot = points[-1].mean(axis=0)
    t = np.linspace(-0.12, 1, 40)
    angle, lean = draw.uniform(0, 2 * np.pi), draw.uniform(0.2, 0.5)
    sway = lean * np.maximum(t, 0) ** 1.7
    path = foot + length_m * np.stack([sway * np.cos(angle), sway * np.sin(angle), t * 0.95], -1)
    radius = thick_m * (
        1.0 - 0.35 * np.sin(np.pi * np.clip(t, 0, 1)) + 0.5 * np.clip(t - 0.85, 0, 1) * 4
    )
    closed = np.concatenate([radius[:-1], [radius[-1] * 0.02]])
    path[-1] = path[-2] + (path[-1] - path[-2]) * 0.1
    return grid(tube(path, closed), closed=True)


def pear(
    name: str, place: tuple, turn: np.ndarray, look: tuple[int, float, float], height_m: float
) -> Plugin:
    """Return a pear with its stem as scene entries.

    ``look``: (seed, blush in degrees: where round its waist the sun has reddened it, ripeness:
    0 green to 1 yellow).
    """
    seed, blush_deg, ripe = look
    points = _body(PEAR, height_m, seed, 0.10)
    stem = _stem(points, 0.034, 0.0021, seed)
    return {
        f"{name} body": shape(
            grid(points, closed=True).moved(turn, place), pear_skin(seed, blush_deg, ripe)
        ),
        f"{name} stem": shape(stem.moved(turn, place), matt(reflectances()["stem"])),
    }


def stem_tip(seed: int, height_m: float) -> np.ndarray:
    """Return where the stem of the pear of this seed ends, before the pear is turned."""
    stem = _stem(_body(PEAR, height_m, seed, 0.10), 0.034, 0.0021, seed)
    return stem.vertices[-17:].mean(axis=0)


def pear_skin(seed: int, blush_deg: float, ripe: float) -> Plugin:
    """Return green skin turning yellow, a blush, russet at both ends and freckles all over."""
    surface = reflectances()
    v, around = np.mgrid[0 : 1 : SKIN[0] * 1j, 0 : 360 : SKIN[1] * 1j]
    mottle = fractal_noise(SKIN, (140, 170), seed + 20)
    fine = fractal_noise(SKIN, (12, 12), seed + 21, 3)
    yellow = np.clip(ripe + 0.16 * mottle + 0.04 * fine, 0, 1)
    facing = np.cos(np.radians(around - blush_deg))
    blush = step(facing + 0.22 * mottle + 0.10 * fine - 1.3 * np.abs(v - 0.45), 0.1, 1.15) * 0.72
    freckles = specks(SKIN, 1900, (1.1, 2.5), seed + 22)
    ends = np.maximum(step(v + 0.02 * mottle, 0.88, 0.99), step(-v + 0.02 * mottle, -0.10, -0.02))
    patches = step(mottle * 0.7 + fine * 0.5, 1.5, 2.4) * 0.35
    rust = np.clip(0.75 * freckles + 0.9 * ends + patches, 0, 1)
    skin = covered(
        glossy(surface["pear green"], 0.22), yellow, glossy(surface["pear yellow"], 0.22)
    )
    skin = covered(skin, blush, glossy(surface["pear blush"], 0.22))
    skin = covered(skin, rust, matt(surface["russet"]))
    return embossed(skin, 0.5 + 0.06 * fine + 0.04 * mottle - 0.12 * freckles, 0.0006)


def apple_skin(seed: int, red: float) -> Plugin:
    """Return yellow-green skin flamed with red from the stem down; ``red``: 0 to 1."""
    surface = reflectances()
    v, _ = np.mgrid[0 : 1 : SKIN[0] * 1j, 0:1:2j].astype(float)
    v = np.broadcast_to(v[:, :1], SKIN)
    mottle = fractal_noise(SKIN, (170, 200), seed + 30)
    flames = fractal_noise(SKIN, (200, 14), seed + 31, 3)
    fine = fractal_noise(SKIN, (10, 10), seed + 32, 2)
    green = np.clip(0.45 + 0.25 * mottle, 0, 1)
    flush = step(2.2 * red - 1.1 + 0.6 * mottle + 0.34 * flames + 0.10 * fine, -1.0, 1.0)
    dots = specks(SKIN, 900, (0.7, 1.6), seed + 33)
    hollow = step(v + 0.03 * mottle, 0.88, 0.97) * 0.7
    skin = covered(
        glossy(surface["apple yellow"], 0.12), green, glossy(surface["apple green"], 0.12)
    )
    skin = covered(skin, flush * 0.96, glossy(surface["apple red"], 0.12))
    return covered(skin, np.clip(hollow + 0.35 * dots, 0, 1), matt(surface["russet"]))


def apple_meshes(seed: int, height_m: float) -> tuple[Mesh, Mesh]:
    """Return the body and the stem of an apple standing on z = 0."""
    points = _body(APPLE, height_m, seed, 0.05)
    return grid(points, closed=True), _stem(points, 0.021, 0.0014, seed)


def plum(name: str, place: tuple, turn: np.ndarray, seed: int) -> Plugin:
    """Return a dark plum with a bloom rubbed off in places."""
    surface = reflectances()
    height_m = 0.044
    points = _body(PLUM, height_m, seed, 0.03)
    points[..., 0] *= 0.94
    groove = np.exp(-((np.linspace(-180, 180, points.shape[1]) / 14.0) ** 2))
    points[..., :2] *= 1.0 - 0.05 * groove[None, :, None]
    mottle = fractal_noise(SKIN, (90, 120), seed + 40)
    bloom = np.clip(0.42 + 0.3 * mottle, 0, 0.85)
    skin = covered(glossy(surface["plum"], 0.2), bloom, matt(surface["plum bloom"]))
    mesh = grid(points, closed=True)
    return {
        f"{name} body": shape(mesh.moved(turn, place), skin),
        f"{name} stem": shape(
            _stem(points, 0.012, 0.0009, seed).moved(turn, place), matt(surface["stem"])
        ),
    }
