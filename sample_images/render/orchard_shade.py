"""An orchard in the shade of a barn: sky light only, a ladder, a crate of apples, no card."""

from __future__ import annotations

import numpy as np

from . import leaves, stage
from .mesh import grid, join, turned
from .orchard_things import apples, crate, ladder
from .scene import Scene
from .spectra import daylight, flat, planck
from .tree import bark, grass, grass_atlas, limb, meadow

GREENS = [
    (0.055, 0.13, 0.03),
    (0.085, 0.17, 0.035),
    (0.04, 0.10, 0.025),
    (0.12, 0.19, 0.04),
    (0.07, 0.15, 0.04),
    (0.16, 0.19, 0.05),
]
BLADES = [
    (0.13, 0.23, 0.05),
    (0.17, 0.28, 0.07),
    (0.10, 0.19, 0.04),
    (0.22, 0.29, 0.08),
    (0.34, 0.31, 0.13),
    (0.14, 0.25, 0.055),
]
CRATE = (0.70, -0.72)
TRUNK = [
    (-0.72, 0.55, -0.15),
    (-0.66, 0.52, 0.35),
    (-0.60, 0.50, 0.9),
    (-0.62, 0.48, 1.35),
    (-0.80, 0.45, 1.9),
    (-1.1, 0.40, 2.6),
]
BOUGH = [
    (-0.62, 0.50, 1.12),
    (-0.42, 0.46, 1.42),
    (-0.05, 0.40, 1.72),
    (0.45, 0.35, 1.98),
    (1.0, 0.25, 2.12),
    (1.7, 0.1, 2.2),
]
TWIG = [(0.1, 0.38, 1.80), (0.25, 0.05, 1.80), (0.50, -0.25, 1.74), (0.80, -0.5, 1.64)]
HANGING = [
    (0.34, -0.12, 1.52),
    (0.62, -0.36, 1.49),
    (0.80, -0.46, 1.43),
    (-0.15, 0.2, 1.60),
    (1.12, -0.1, 1.54),
    (-1.05, 0.2, 1.66),
    (0.98, -0.3, 1.56),
]

PLACES = [
    ("bark", 0.253, 0.525, 0.030, "grey-brown bark of the near trunk"),
    ("lichen", 0.201, 0.614, 0.026, "pale lichen on the trunk"),
    ("ladder", 0.655, 0.692, 0.018, "flaking blue paint"),
    ("crate", 0.744, 0.882, 0.022, "pale wood of the upper slat"),
    ("red apple", 0.8227, 0.8505, 0.014, "red apple low in the crate, in the others' shade"),
    ("yellow apple", 0.696, 0.818, 0.014, "yellow side of an apple in the crate"),
    ("windfall", 0.1060, 0.9420, 0.014, "yellow apple in the grass"),
    ("apple on the tree", 0.7872, 0.0660, 0.014, "yellow side of a flamed apple"),
    ("near grass", 0.357, 0.915, 0.050, "blades and their gaps together"),
    ("grass in the shade", 0.387, 0.558, 0.050, "meadow in the barn's shade"),
    ("meadow in the sun", 0.461, 0.357, 0.032, "far meadow in warm sunlight, out of focus"),
    ("hedge", 0.440, 0.268, 0.030, "dark foot of the far hedge, out of focus"),
]


def scene() -> Scene:
    """Return the scene, its light, its camera and its marked places."""
    entries = {"sky": {"type": "constant", "radiance": stage.spectrum(daylight(8600.0))}}
    entries |= _sun_and_barn() | _tree() | ladder() | crate(*CRATE) | _meadow() | _behind()
    stand, aim, fov_deg = (0.10, -3.80, 1.22), (0.14, 0.0, 0.715), 40.0
    entries["sensor"] = stage.camera(stand, aim, fov_deg, 0.012, 3.35)
    card_place = (0.16, -0.75, 0.45)
    card = np.zeros((2, 2, 3))
    card[..., 0], card[..., 1] = np.meshgrid([-0.09, 0.09], [-0.07, 0.07])
    white = grid(card).moved(turned(x_deg=78), card_place)
    return Scene(
        name="orchard-shade",
        size=(1920, 1280),
        entries=entries,
        guessed_light=daylight(6500.0),
        white_level=1.25,
        neutral=None,
        neutral_lstar=100.0,
        places=PLACES,
        description="An orchard in the shade of a barn: a trunk, a blue ladder, apples in a crate.",
        light="Sky light of 8600 K under leaves and over grass; sun only on the trees far behind.",
        guess_text="daylight of 6500 K: the photo stays cold",
        reference_text="Before the ladder, 45 cm above the grass, upright, facing the camera.",
        reference={"white card": stage.shape(white, stage.matt(flat(1.0)))},
        reference_spot=(*stage.reduced(card_place, stand, aim, fov_deg, 1.5), 0.04),
    )


def _sun_and_barn() -> stage.Plugin:
    """Return a low sun that the barn, to the right of the picture, keeps from the near trees."""
    import mitsuba as mi

    towards = np.array([0.80, -0.12, 0.52])
    place = 200.0 * towards / np.linalg.norm(towards)
    aim = mi.ScalarTransform4f().look_at(list(place), [0, 0, 0], [0, 0, 1])
    disc = {
        "type": "disk",
        "to_world": aim @ mi.ScalarTransform4f().scale(3.0),
        "emitter": stage.lamp(11000.0 * planck(5000.0)),
    }
    wall = np.zeros((2, 2, 3))
    wall[..., 1], wall[..., 2] = np.meshgrid([-14.0, 9.0], [-0.5, 7.5])
    wall[..., 0] = 6.5
    barn = stage.shape(grid(wall), stage.matt(flat(0.12)))
    return {"sun": disc, "barn": barn}


def _tree() -> stage.Plugin:
    rough = stage.matt(stage.picture(bark(31)))
    green = stage.thin_leaf(stage.picture(leaves.atlas(GREENS, 37)), 0.75)
    entries = {
        "trunk": stage.shape(limb(TRUNK, (0.235, 0.175, 0.15, 0.15, 0.11, 0.07), 31, 0.011), rough),
        "bough": stage.shape(limb(BOUGH, (0.12, 0.105, 0.085, 0.07, 0.05, 0.03), 33, 0.007), rough),
        "twig": stage.shape(limb(TWIG, (0.03, 0.022, 0.016, 0.008), 35, 0.002, 160), rough),
        "foliage": stage.shape(leaves.scatter(_foliage(), 0.085, len(GREENS), 38, 0.7), green),
    }
    return entries | _hanging(rough, green)


def _foliage() -> np.ndarray:
    """Return where leaves sprout: a canopy above the picture, and a spray hanging into it."""
    draw = np.random.default_rng(36)
    x = draw.uniform(-2.4, 2.4, 5200)
    canopy = np.stack([x, draw.normal(0.35, 0.55, 5200), draw.normal(2.25, 0.25, 5200)], -1)
    canopy = canopy[canopy[:, 2] > 1.72 + 0.12 * np.sin(3 * canopy[:, 0])]
    spray = draw.normal(0, 1, (3, 420)).T * (0.42, 0.28, 0.09) + (0.55, -0.15, 1.70)
    return np.concatenate([canopy, spray])


def _hanging(rough: stage.Plugin, green: stage.Plugin) -> stage.Plugin:
    """Return apples on the tree, each on a twig with a few leaves of its own."""
    draw, twigs, tufts = np.random.default_rng(46), [], []
    for x, y, z in HANGING:
        top = np.array([x, y, z + 0.082])
        sway = draw.normal(0, 0.05, 2)
        rises = np.array([(0, 0, 0), (*0.3 * sway, 0.07), (*sway, 0.16), (*2.2 * sway, 0.34)])
        twigs.append(limb(top + rises, (0.0022, 0.003, 0.004, 0.006), 47, 0.0003, 60))
        tufts.append(top + draw.normal(0, 1, (6, 3)) * (0.025, 0.025, 0.03) + (0, 0, 0.06))
    leafage = leaves.scatter(np.concatenate(tufts), 0.075, len(GREENS), 48, 0.8)
    return {
        "hanging twigs": stage.shape(join(twigs), rough),
        "hanging leaves": stage.shape(leafage, green),
    } | apples("hanging", np.array(HANGING), 40, hanging=True)


def _meadow() -> stage.Plugin:
    earth = np.broadcast_to(np.array([0.055, 0.062, 0.025]), (64, 64, 3))
    blade = stage.thin_leaf(stage.picture(grass_atlas(BLADES)), 0.7)
    near = grass(230000, (-2.3, 2.4, -2.6, 2.6), 0.095, len(BLADES), 41)
    far = grass(90000, (-6.0, 6.5, 2.6, 11.0), 0.14, len(BLADES), 42)
    return {
        "ground": stage.shape(meadow(40), stage.matt(stage.picture(earth))),
        "near grass": stage.shape(near, blade),
        "far grass": stage.shape(far, blade),
    }


def _behind() -> stage.Plugin:
    """Return two rows of trees and a hedge, partly in the sun."""
    rough = stage.matt(stage.picture(bark(31)))
    green = stage.thin_leaf(stage.picture(leaves.atlas(GREENS, 37)), 0.8)
    draw, entries, crowns = np.random.default_rng(43), {}, []
    for k, (x, y) in enumerate(
        [
            (-3.4, 6.5),
            (1.9, 7.2),
            (-1.2, 12.0),
            (4.6, 11.5),
            (-6.0, 13.0),
            (1.6, 17.0),
            (-4.0, 19.0),
            (6.5, 18.0),
        ]
    ):
        trunk = limb(
            [(x, y, -0.1), (x + 0.1, y, 0.8), (x + 0.05, y, 1.5), (x + 0.3, y, 2.6)],
            (0.20, 0.14, 0.12, 0.06),
            200 + k,
            0.01,
            160,
        )
        entries[f"far trunk {k}"] = stage.shape(trunk, rough)
        blob = draw.normal(0, 1, (3600, 3)) * np.array([1.15, 1.1, 0.62]) + np.array([x, y, 2.75])
        crowns.append(blob[blob[:, 2] > 1.55])
    hedge = np.stack(
        [draw.uniform(-16, 16, 15000), draw.normal(26, 0.8, 15000), draw.gamma(2.0, 0.75, 15000)],
        -1,
    )
    entries["crowns"] = stage.shape(
        leaves.scatter(np.concatenate(crowns), 0.13, len(GREENS), 44), green
    )
    entries["hedge"] = stage.shape(leaves.scatter(hedge, 0.42, len(GREENS), 45), green)
    return entries
