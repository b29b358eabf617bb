"""A garden table in the last hour of sun: pears, plums, an enamel jug, a napkin, a grey card."""

from __future__ import annotations

import numpy as np

from . import stage
from .cloth import drop, linen
from .fruit import pear, plum, stem_tip
from .leaves import atlas, leaf, scatter
from .mesh import grid, join, turned
from .noise import fractal_noise
from .scene import Scene
from .spectra import daylight, flat, planck
from .truth import grey_luminance
from .vessels import jug
from .wood import coloured, grain, plank

GREENS = [
    (0.05, 0.13, 0.022),
    (0.09, 0.19, 0.03),
    (0.035, 0.09, 0.02),
    (0.14, 0.22, 0.035),
    (0.07, 0.15, 0.03),
    (0.20, 0.23, 0.04),
]

PLACES = [
    ("lying pear", 0.200, 0.630, 0.03, "ripe skin in the sun"),
    ("pear, blush", 0.585, 0.722, 0.03, "reddened skin turning from the sun"),
    ("pear, green side", 0.420, 0.640, 0.03, "green skin turning from the sun"),
    (
        "pear in its shadow",
        0.471,
        0.600,
        0.025,
        "the pear behind, shaded by its neighbour",
    ),
    ("jug in the light", 0.655, 0.575, 0.03, "blue enamel"),
    ("jug turning away", 0.815, 0.500, 0.03, "blue enamel on the shadow side"),
    ("jug inside", 0.720, 0.128, 0.025, "white enamel in the light that falls in"),
    ("plum", 0.822, 0.722, 0.022, "dark skin under bloom"),
    ("leaf", 0.588, 0.852, 0.016, "green leaf on the wood"),
    ("linen in the light", 0.205, 0.550, 0.03, "undyed linen in the sun"),
    ("wood in the light", 0.650, 0.930, 0.03, "grey-brown plank in the sun"),
    ("wood in the shadow", 0.925, 0.575, 0.03, "plank in the jug's shadow"),
]


def scene() -> Scene:
    """Return the scene, its light, its camera and its marked places."""
    entries = {"sky": {"type": "constant", "radiance": stage.spectrum(0.24 * daylight(4600.0))}}
    entries |= _sun() | _table() | _things() | _fruit() | _dapple() | _garden()
    entries["sensor"] = stage.camera((0.06, -1.02, 0.50), (0.015, 0.02, 0.085), 31.0, 0.0055, 1.06)
    return Scene(
        name="garden-table",
        size=(1920, 1280),
        entries=entries,
        guessed_light=planck(3750.0),
        white_level=0.92,
        neutral=(0.89, 0.895, 0.03),
        neutral_lstar=49.5,
        places=PLACES,
        description="A garden table in the last hour of sun: pears, plums, an enamel jug, linen.",
        light="A low sun of 2700 K and a little sky of 4600 K; the card sees both.",
        guess_text="a lamp of 3750 K: the photo stays warm",
    )


def _sun() -> stage.Plugin:
    import mitsuba as mi

    towards = np.array([-0.80, -0.42, 0.62])
    place = 20.0 * towards / np.linalg.norm(towards)
    aim = mi.ScalarTransform4f().look_at(list(place), [0, 0, 0.1], [0, 0, 1])
    disc = {
        "type": "disk",
        "to_world": aim @ mi.ScalarTransform4f().scale(0.42),
        "emitter": stage.lamp(2300.0 * planck(2700.0)),
    }
    return {"sun": disc}


def _table() -> stage.Plugin:
    entries, width = {}, 0.118
    for k in range(-4, 6):
        tone, height = grain(60 + k)
        wood = coloured(
            tone, [(60, 48, 38), (122, 104, 84), (172, 153, 127), (198, 182, 156)], 60 + k
        )
        surface = stage.embossed(stage.matt(stage.picture(wood)), height, 0.004)
        board = plank(2.2, width, 0.024, 60 + k)
        shift = 0.02 * np.sin(7.0 * k)
        entries[f"plank {k}"] = stage.shape(
            board.moved(turned(z_deg=0.12 * np.sin(3 * k)), (shift, k * (width + 0.008), 0.0)),
            surface,
        )
    return entries


def _things() -> stage.Plugin:
    """Return what lies on the table, the fruit apart."""
    entries = jug((0.165, 0.13, 0.0), 205.0)
    card = np.zeros((2, 2, 3))
    card[..., 0], card[..., 1] = np.meshgrid([-0.05, 0.05], [-0.035, 0.035])
    grey = stage.matt(flat(grey_luminance(49.5)))
    entries["card"] = stage.shape(grid(card).moved(turned(z_deg=-9), (0.235, -0.15, 0.0024)), grey)
    cloth = grid(drop(120, 0.42, 0.70, 15)).moved(turned(z_deg=24), (-0.25, 0.02, -0.0005))
    rgb, weave = linen(1200, True, 13)
    surface = stage.embossed(stage.matt(stage.picture(rgb)), weave, 0.002)
    entries["cloth"] = stage.shape(cloth, surface)
    return entries


def _fruit() -> stage.Plugin:
    """Return four pears, two leaves and three plums."""
    upright = turned(z_deg=120)
    lying = turned(z_deg=28) @ turned(x_deg=97) @ turned(z_deg=20)
    entries = pear("pear a", (-0.055, 0.0, 0.0), turned(z_deg=40), (1, 200, 0.42), 0.112)
    entries |= pear("pear b", (0.052, -0.055, 0.0), turned(4, z_deg=200), (2, 90, 0.72), 0.104)
    entries |= pear("pear c", (-0.005, 0.085, 0.0), upright, (3, 150, 0.25), 0.108)
    entries |= pear("pear d", (-0.175, -0.045, 0.0385), lying, (4, 120, 0.55), 0.104)
    entries |= plum("plum a", (0.145, -0.075, 0.0165), turned(x_deg=80, z_deg=30), 5)
    entries |= plum("plum b", (0.185, -0.045, 0.0165), turned(x_deg=84, z_deg=100), 6)
    entries |= plum("plum c", (0.128, -0.028, 0.0165), turned(x_deg=82, z_deg=-40), 7)
    tip = upright @ stem_tip(3, 0.108) + np.array([-0.005, 0.085, -0.006])
    fallen = leaf(0.062, 0.28, 0.25, 0.35).moved(turned(4, z_deg=-35), (0.06, -0.15, 0.004))
    hanging = leaf(0.066, 0.26, 0.45, 0.30).moved(turned(x_deg=-8, z_deg=112), tuple(tip))
    green = stage.thin_leaf(stage.picture(atlas([(0.075, 0.165, 0.032)], 3, 256)), 0.6)
    return entries | {"leaves": stage.shape(join([fallen, hanging]), green)}


def _dapple() -> stage.Plugin:
    """Return a branch between the sun and the far side of the table; its shadow falls soft."""
    draw = np.random.default_rng(21)
    towards = np.array([-0.80, -0.42, 0.62]) / np.linalg.norm([-0.80, -0.42, 0.62])
    spread = draw.normal(0, 1, (420, 3)) * np.array([0.34, 0.16, 0.10])
    twig = np.array([0.12, 0.36, 0.0]) + 1.5 * towards + spread
    green = stage.thin_leaf(stage.picture(atlas(GREENS, 5)), 0.8)
    return {"branch": stage.shape(scatter(twig, 0.07, len(GREENS), 22), green)}


def _garden() -> stage.Plugin:
    """Return what stands behind, far out of focus: a lawn, a hedge, a tree's edge."""
    draw = np.random.default_rng(8)
    hedge = np.stack(
        [
            draw.uniform(-3.2, 3.2, 26000),
            2.6 + draw.gamma(2.0, 0.25, 26000),
            draw.uniform(-0.7, 1.6, 26000),
        ],
        -1,
    )
    hedge = hedge[
        hedge[:, 2] < 0.75 + 0.35 * np.sin(hedge[:, 0] * 1.7 + 1) + 0.2 * np.sin(hedge[:, 0] * 4.1)
    ]
    green = stage.thin_leaf(stage.picture(atlas(GREENS, 5)), 0.8)
    entries = {"hedge": stage.shape(scatter(hedge, 0.075, len(GREENS), 9), green)}
    flowers = np.stack(
        [draw.uniform(-2.2, 2.2, 260), draw.uniform(2.2, 2.9, 260), draw.uniform(-0.4, 0.75, 260)],
        -1,
    )
    petals = [(0.75, 0.55, 0.52), (0.80, 0.74, 0.62), (0.62, 0.18, 0.20)]
    flower = stage.thin_leaf(stage.picture(atlas(petals, 6)), 0.5)
    entries["flowers"] = stage.shape(scatter(flowers, 0.06, 3, 10), flower)
    lawn = np.zeros((2, 2, 3))
    lawn[..., 0], lawn[..., 1] = np.meshgrid([-9, 9], [-4, 14])
    tone = fractal_noise((512, 512), (24, 24), 4)[..., None]
    grass = np.array([0.10, 0.16, 0.035]) * (1 + 0.25 * tone)
    entries["lawn"] = stage.shape(
        grid(lawn).moved(by=(0, 0, -0.72)), stage.matt(stage.picture(grass))
    )
    return entries
