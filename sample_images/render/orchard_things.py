"""What stands in the orchard: a ladder, a crate, and apples wherever they hang or lie."""

from __future__ import annotations

import numpy as np

from . import stage
from .fruit import apple_meshes, apple_skin
from .mesh import Mesh, grid, join, turned
from .spectra import reflectances
from .tree import ground_height
from .wood import coloured, grain, plank

LENGTH_M, DEPTH_M, HIGH_M = 0.50, 0.34, 0.25
PALE_WOOD = [(86, 66, 46), (150, 122, 88), (196, 168, 128), (214, 190, 152)]
WINDFALLS = [
    (-0.30, -1.25),
    (0.12, -1.08),
    (-0.85, -0.45),
    (-0.02, -0.55),
    (1.15, -0.95),
    (-0.42, -0.1),
]


def apples(name: str, places: np.ndarray, seed: int, hanging: bool = False) -> stage.Plugin:
    """Return apples with their lowest points at ``places``, in five skins."""
    draw = np.random.default_rng(seed)
    skins, stems, entries = {k: [] for k in range(5)}, [], {}
    for k, place in enumerate(places):
        body, stem = apple_meshes(seed + k, draw.uniform(0.062, 0.074))
        tilt = draw.normal(0, 8 if hanging else 35, 2)
        turn = turned(tilt[0], tilt[1], draw.uniform(0, 360))
        centre = np.array([0, 0, 0.033])
        shift = np.asarray(place) + centre - turn @ centre
        skins[k % 5].append(body.moved(turn, shift))
        stems.append(stem.moved(turn, shift))
    for k, meshes in skins.items():
        if meshes:
            skin = apple_skin(50 + k, (0.80, 0.55, 0.70, 0.28, 0.62)[k])
            entries[f"{name} apples {k}"] = stage.shape(join(meshes), skin)
    entries[f"{name} stems"] = stage.shape(join(stems), stage.matt(reflectances()["stem"]))
    return entries


def ladder() -> stage.Plugin:
    """Return a ladder in flaking blue paint, leaning into the tree."""
    tone, height = grain(71, 1)
    bare = coloured(tone, [(58, 48, 38), (120, 104, 86), (170, 154, 130)], 71)
    worn = np.clip((0.62 - tone) * 6.0, 0, 1)[..., None]
    paint = np.array([0.085, 0.16, 0.225]) * (0.75 + 0.5 * tone[..., None])
    surface = stage.embossed(
        stage.matt(stage.picture(paint * (1 - worn) + bare * worn)), height, 0.004
    )
    parts = []
    lean = np.degrees(np.arctan2(0.55, 2.3))
    for side in (-1, 1):
        rail = _bar(2.5, 0.062, 0.03, 72 + side)
        rail = rail.moved(turned(z_deg=90) @ turned(x_deg=0)).moved(turned(y_deg=0, x_deg=90))
        rail = rail.moved(turned(y_deg=-side * 2.6), (side * 0.205, 0, 1.2))
        parts.append(rail)
    for k in range(7):
        z = 0.22 + 0.30 * k
        half = 0.26 - z * 0.045
        parts.append(
            _bar(2 * half + 0.03, 0.036, 0.022, 80 + k).moved(turned(x_deg=12), (0, -0.01, z))
        )
    ladder = join(parts).moved(turned(z_deg=-6) @ turned(x_deg=-lean), (0.30, -0.28, -0.02))
    return {"ladder": stage.shape(ladder, surface)}


def _bar(length_m: float, width_m: float, thick_m: float, seed: int) -> Mesh:
    """Return a board with a top and a bottom, about its own middle."""
    top = plank(length_m, width_m, thick_m / 2, seed).moved(by=(0, 0, thick_m / 2))
    bottom = plank(length_m, width_m, thick_m / 2, seed + 500)
    flipped = bottom.moved(turned(x_deg=180), (0, 0, -thick_m / 2))
    shift = (0.13 * seed) % 1.0
    scale = (min(1.0, length_m / 1.6), 0.35)
    return join([top, flipped]).with_uv(scale, (shift, shift))


def crate(x: float, y: float) -> stage.Plugin:
    """Return a slatted crate, heaped with apples, and a few that rolled away."""
    entries: stage.Plugin = {}
    place = np.array([x, y, float(ground_height(np.array(x), np.array(y))) + 0.03])
    turn = turned(z_deg=-17)
    for k, meshes in enumerate(_slats()):
        tone, height = grain(90 + k, 2)
        rgb = coloured(tone, PALE_WOOD, 90 + k)
        wood = stage.embossed(stage.matt(stage.picture(rgb)), height, 0.003)
        entries[f"crate {k}"] = stage.shape(join(meshes).moved(turn, tuple(place)), wood)
    heap = _heap(LENGTH_M - 0.05, DEPTH_M - 0.04) @ turn.T + place
    rolled = np.array(WINDFALLS)
    lying = np.column_stack([rolled, ground_height(rolled[:, 0], rolled[:, 1]) + 0.015])
    return entries | apples("heaped", heap, 60) | apples("windfall", lying, 66)


def _slats() -> list[list[Mesh]]:
    """Return the crate's boards in three lots, one for each piece of wood."""
    lots: list[list[Mesh]] = [[], [], []]
    for row in range(3):
        z = 0.045 + row * 0.085
        for side in (-1, 1):
            slat = _bar(LENGTH_M, 0.070, 0.009, 100 + 3 * row + side).moved(turned(x_deg=90))
            lots[row].append(slat.moved(by=(0, side * DEPTH_M / 2, z)))
            end = _bar(DEPTH_M, 0.070, 0.012, 120 + 3 * row + side).moved(turned(x_deg=90))
            end = end.moved(turned(z_deg=90), (side * (LENGTH_M / 2 - 0.012), 0, z))
            lots[(row + 1) % 3].append(end)
    for sx, sy in ((-1, -1), (-1, 1), (1, -1), (1, 1)):
        post = _bar(HIGH_M, 0.035, 0.022, 140 + sx + 2 * sy).moved(turned(y_deg=90))
        corner = (sx * (LENGTH_M / 2 - 0.03), sy * (DEPTH_M / 2 - 0.018), HIGH_M / 2)
        lots[2].append(post.moved(by=corner))
    base = np.zeros((2, 2, 3))
    base[..., 0], base[..., 1] = np.meshgrid(
        [-LENGTH_M / 2, LENGTH_M / 2], [-DEPTH_M / 2, DEPTH_M / 2]
    )
    lots[0].append(grid(base).moved(by=(0, 0, 0.02)))
    return lots


def _heap(length_m: float, depth_m: float) -> np.ndarray:
    """Return the lowest points of apples packed in layers, the top ones heaped."""
    draw = np.random.default_rng(61)
    places = []
    for layer, (z, inset) in enumerate(((0.08, 0.0), (0.135, 0.0), (0.19, 0.01), (0.235, 0.07))):
        for i, px in enumerate(_row(length_m - 2 * inset)):
            for py in _row(depth_m - 2 * inset) + (0.012 if (i + layer) % 2 else -0.012):
                places.append(np.array([px, py, z]) + draw.normal(0, 0.0045, 3))
    return np.array(places)


def _row(room_m: float) -> np.ndarray:
    """Return the middles of as many apples as lie side by side in the room, about 0."""
    count = max(1, int((room_m + 0.004) / 0.0735))
    return (np.arange(count) - (count - 1) / 2) * 0.0735
