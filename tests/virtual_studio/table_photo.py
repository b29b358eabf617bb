"""A phone's photo of dabs that lie on a grey table, as a JPEG with their places."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np
from PIL import Image

from refmatch.colorimetry.spectrum import Array
from tests.virtual_studio.camera import Camera, grey

SIDE_PX, GAP_PX, ACROSS = 120, 60, 4
HOLE_PX = 70
TABLE_LSTAR = 62.0


def photographed_on_table(
    path: Path, surfaces: Mapping[str, Array], camera: Camera, seed: int
) -> dict[str, str]:
    """Write the photo of named surfaces, (31,) each; return each one's place, "X,Y,DIAMETER"."""
    rng = np.random.default_rng(seed)
    rows = -(-len(surfaces) // ACROSS)
    step = SIDE_PX + GAP_PX
    size = (rows * step + GAP_PX, ACROSS * step + GAP_PX, 3)
    linear = np.broadcast_to(grey(TABLE_LSTAR) @ camera.weights, size).copy()
    places = {}
    for number, (name, surface) in enumerate(surfaces.items()):
        row, column = divmod(number, ACROSS)
        top, left = GAP_PX + row * step, GAP_PX + column * step
        linear[top : top + SIDE_PX, left : left + SIDE_PX] = surface @ camera.weights
        places[name] = f"{left + SIDE_PX / 2:g},{top + SIDE_PX / 2:g},{HOLE_PX}"
    linear += camera.glare
    shot, read = camera.noise
    linear += np.sqrt(shot**2 * np.maximum(linear, 0.0) + read**2) * rng.standard_normal(size)
    codes = np.round(255.0 * camera.develop(camera.cut(linear))).astype(np.uint8)
    Image.fromarray(codes).save(path, quality=95, subsampling=0)
    return places
