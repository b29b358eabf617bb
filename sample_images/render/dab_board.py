"""Twelve dabs of oil paint on a primed board by a north window, with a grey card."""

from __future__ import annotations

import numpy as np

from . import stage
from .mesh import grid, join, revolve, tube, turned
from .noise import fractal_noise
from .paint import dab, inner_reflectance, primed_ground
from .scene import Scene
from .spectra import daylight, edge, flat, reflectances
from .truth import grey_luminance
from .wood import coloured, grain, plank

RECIPES: list[dict[str, float]] = [
    {"titanium-white": 12, "yellow-ochre": 1},
    {"cadmium-yellow-light": 3, "titanium-white": 1},
    {"yellow-ochre": 3, "titanium-white": 1},
    {"cadmium-red-light": 2, "titanium-white": 1},
    {"burnt-sienna": 2, "titanium-white": 3},
    {"quinacridone-rose": 1, "titanium-white": 6},
    {"ultramarine-blue": 1, "titanium-white": 3},
    {"cerulean-blue": 2, "titanium-white": 3},
    {"chromium-oxide-green": 2, "cadmium-yellow-light": 1},
    {"ultramarine-blue": 2, "burnt-sienna": 3, "titanium-white": 6},
    {"ultramarine-blue": 3, "burnt-umber": 2},
    {"titanium-white": 1},
]
COLUMNS_M, ROWS_M = (-0.066, 0.0, 0.066), (0.118, 0.052, -0.014, -0.080)
BOARD_M, THICK_M = (0.235, 0.325), 0.008


def scene() -> Scene:
    """Return the scene, its light, its camera and its marked places."""
    entries = _room() | _bench() | _board() | _dabs() | _tools()
    entries["sensor"] = stage.camera((0.016, -0.26, 0.86), (0.008, -0.004, 0.0), 23.0, 0.003, 0.89)
    return Scene(
        name="dab-board",
        size=(1280, 1760),
        entries=entries,
        guessed_light=daylight(5200.0),
        white_level=0.88,
        neutral=(0.61, 0.727, 0.06),
        neutral_lstar=49.5,
        places=_places(),
        description="Twelve dabs of oil paint on a primed board on a workbench, with a grey card.",
        light="A tall north window of 6400 K from the left, and a dim room.",
        guess_text="daylight of 5200 K: the photo stays cool",
        orientation=6,
        noise=0.007,
    )


def _places() -> list[tuple[str, float, float, float, str]]:
    columns, rows = (0.300, 0.478, 0.660), (0.234, 0.350, 0.470, 0.602)
    places = []
    for k, recipe in enumerate(RECIPES):
        parts = " + ".join(f"{parts:g} {name}" for name, parts in recipe.items())
        label = f"row {k // 3 + 1}, column {k % 3 + 1}"
        places.append(
            (label, columns[k % 3], rows[k // 3], 0.045, f"oil paint, parts by volume: {parts}")
        )
    places.append(("bare board", 0.250, 0.725, 0.045, "primed ground"))
    places.append(("bench", 0.900, 0.860, 0.045, "brown wood"))
    return places


def _room() -> stage.Plugin:
    """Return a tall window to the left, a dim warm room around."""
    import mitsuba as mi

    aim = mi.ScalarTransform4f().look_at([-1.7, 0.55, 1.35], [0, 0, 0], [0, 0, 1])
    window = {
        "type": "rectangle",
        "to_world": aim @ mi.ScalarTransform4f().scale([0.55, 0.75, 1]),
        "emitter": stage.lamp(9.0 * daylight(6400.0)),
    }
    dim = 0.16 * daylight(5600.0) * edge(480.0, 60.0, 0.85, 1.0)
    return {"window": window, "room": {"type": "constant", "radiance": stage.spectrum(dim)}}


def _bench() -> stage.Plugin:
    entries = {}
    for k in range(-3, 4):
        tone, height = grain(300 + k, 2)
        rgb = coloured(
            tone, [(66, 44, 28), (128, 92, 60), (168, 128, 88), (186, 150, 108)], 300 + k
        )
        board = plank(1.4, 0.142, 0.02, 300 + k).moved(turned(z_deg=90))
        surface = stage.embossed(stage.matt(stage.picture(rgb)), height, 0.002)
        entries[f"bench {k}"] = stage.shape(
            board.moved(by=(k * 0.1435 + 0.03, 0.03 * k, 0.0)), surface
        )
    return entries


def _board() -> stage.Plugin:
    turn = turned(z_deg=1.6)
    rgb, height = primed_ground((1400, 1024), 310)
    primed = stage.embossed(stage.matt(stage.picture(rgb)), height, 0.0006)
    panel = plank(BOARD_M[0], BOARD_M[1], THICK_M, 311)
    return {"board": stage.shape(panel.moved(turn, (0, 0.02, THICK_M)), primed)}


def _dabs() -> stage.Plugin:
    entries, draw = {}, np.random.default_rng(320)
    turn = turned(z_deg=1.6)
    for k, recipe in enumerate(RECIPES):
        place = np.array([COLUMNS_M[k % 3], ROWS_M[k // 3] + 0.02, 0.0]) + np.append(
            draw.normal(0, 0.0022, 2), 0
        )
        mesh = dab(draw.uniform(0.050, 0.057), draw.uniform(0.041, 0.047), 0.0011, 330 + k)
        mesh = mesh.moved(turned(z_deg=draw.normal(0, 7) + (180 if k % 2 else 0)), tuple(place))
        oil = stage.glossy(inner_reflectance(recipe), 0.16, inner=True)
        entries[f"dab {k}"] = stage.shape(mesh.moved(turn, (0, 0, THICK_M + 0.0001)), oil)
    return entries


def _tools() -> stage.Plugin:
    """Return the grey card, a palette knife and a brush."""
    card = np.zeros((2, 2, 3))
    card[..., 0], card[..., 1] = np.meshgrid([-0.045, 0.045], [-0.03, 0.03])
    grey = stage.matt(flat(grey_luminance(49.5)))
    entries = {
        "card": stage.shape(
            grid(card).moved(turned(z_deg=-5), (0.05, -0.118, THICK_M + 0.002)), grey
        )
    }
    entries |= _knife()
    return entries | _brush()


def _knife() -> stage.Plugin:
    t = np.linspace(0, 1, 60)[:, None]
    s = np.linspace(-1, 1, 9)[None, :]
    half = 0.0085 * np.sin(np.pi * np.clip(t, 0.02, 0.99)) ** 0.55 * (1.1 - 0.5 * t)
    blade = np.stack([half * s, 0.075 * t + 0 * s, 0.004 * (1 - t) ** 2 + 0 * s], -1)
    steel = {
        "type": "twosided",
        "bsdf": {"type": "roughconductor", "material": "Cr", "alpha": 0.13},
    }
    neck = np.stack(
        [0 * t[:, 0], -0.028 * (1 - t[:, 0]), 0.004 + 0.014 * np.sin(np.pi / 2 * (1 - t[:, 0]))], -1
    )
    shank = grid(tube(neck, np.full(60, 0.0019), 14), closed=True)
    profile = np.array(
        [
            (0, 0),
            (0.0045, 0.001),
            (0.0062, 0.02),
            (0.0072, 0.055),
            (0.0065, 0.09),
            (0.004, 0.098),
            (0, 0.099),
        ]
    )
    u = np.linspace(0, 1, 80)
    radius = np.interp(u, np.linspace(0, 1, 7), profile[:, 0])
    radius = np.convolve(np.pad(radius, 4, mode="edge"), np.ones(9) / 9, "valid")
    radius[0] = radius[-1] = 0
    handle = grid(
        revolve(radius, np.interp(u, np.linspace(0, 1, 7), profile[:, 1]), 60), closed=True
    )
    handle = handle.moved(turned(x_deg=90), (0, -0.026, 0.018))
    turn, by = turned(z_deg=12), (-0.158, 0.0, 0.0035)
    tone, _ = grain(340, 0)
    wood = coloured(tone, [(60, 30, 18), (112, 62, 36), (146, 90, 54)], 340)
    return {
        "knife blade": stage.shape(join([grid(blade), shank]).moved(turn, by), steel),
        "knife handle": stage.shape(handle.moved(turn, by), stage.glossy(stage.picture(wood), 0.2)),
    }


def _brush() -> stage.Plugin:
    """Return a flat hog brush with a lacquered handle, wiped but not clean."""
    t = np.linspace(0, 1, 120)
    radius = np.interp(t, [0, 0.02, 0.35, 0.8, 1.0], [0.0012, 0.0022, 0.0048, 0.0036, 0.0034])
    stick = np.stack([0 * t, -0.24 * (1 - t), 0.005 + 0 * t], -1)
    handle = grid(tube(stick, radius, 24), closed=True)
    metal = tube(np.stack([0 * t, 0.034 * t, 0.005 + 0 * t], -1), np.full(120, 0.0040), 32)
    flare = np.linspace(0, 1, 120)[:, None]
    metal[..., 0] *= 1.0 + 1.0 * flare
    metal[..., 2] = 0.005 + (metal[..., 2] - 0.005) * (1 - 0.55 * flare)
    v, s = np.meshgrid(np.linspace(0, 1, 60), np.linspace(-1, 1, 120), indexing="ij")
    hair = fractal_noise(v.shape, (60, 1.6), 351, 2)
    tuft = np.stack(
        [
            0.0078 * s * (1 - 0.12 * v**2),
            0.034 + 0.030 * v * (1 + 0.03 * hair),
            0.005 + 0.0024 * np.sqrt(np.maximum(1 - s**2, 0)) * (1 - 0.75 * v) + 0.0003 * hair,
        ],
        -1,
    )
    bristle = (
        np.array([0.36, 0.29, 0.19])
        * (1 + 0.25 * fractal_noise((256, 256), (200, 2), 352, 2))[..., None]
    )
    dirty = np.linspace(0, 1, 256)[:, None, None] ** 2 * 0.7
    bristle = bristle * (1 - dirty) + np.array([0.09, 0.14, 0.24]) * dirty
    turn, by = turned(z_deg=-9), (0.160, 0.02, 0.0)
    steel = {"type": "twosided", "bsdf": {"type": "roughconductor", "material": "Cr", "alpha": 0.2}}
    lacquer = stage.glossy(reflectances()["apple red"] * 0.9, 0.1)
    return {
        "brush handle": stage.shape(handle.moved(turn, by), lacquer),
        "brush ferrule": stage.shape(grid(metal, closed=True).moved(turn, by), steel),
        "brush hair": stage.shape(grid(tuft).moved(turn, by), stage.matt(stage.picture(bristle))),
    }
