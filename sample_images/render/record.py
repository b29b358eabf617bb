"""What is written beside a photo: its light, its grey card, its places and their true Lab."""

from __future__ import annotations

from typing import Any

import numpy as np

from . import camera
from .scene import Scene
from .truth import colour_temperature, disc_mean, true_lab

DEFINITION = (
    "lab is the colour seen at the place once the scene's light is neutralised: the rendered "
    "spectral radiance before the camera, averaged over the disc in linear light, through the "
    "CIE 1931 2 degree observer, adapted by Bradford from the white of the scene's light to D50. "
)
BY_CARD = "Scaled so that the grey card under `neutral` reads its own L*."
AS_EXPOSED = (
    "There is no card in the photo: the light's white is that of a perfect white card at the place "
    "`light.white_card` names, put in for a second render; lightness is scaled to the photo's own "
    "exposure, under which that card would have Y = `exposure.white_in_photo_xyz[1]` in the file."
)


def placed_px(
    spot: tuple[float, float, float], size: tuple[int, int]
) -> tuple[float, float, float]:
    """Return x, y and diameter in pixels from shares of width, height and shorter side."""
    x, y, diameter = spot
    return round(x * size[0], 1), round(y * size[1], 1), round(diameter * min(size), 1)


def record(
    scene: Scene, channels: np.ndarray, white: np.ndarray, how: camera.Development
) -> dict[str, Any]:
    """Return the JSON of one photo; keys in reading order."""
    size = (channels.shape[1], channels.shape[0])
    exposed = camera.white_in_photo(white[:3], how)
    scale = 1.0 if scene.neutral else float(exposed[1])
    neutral = None
    if scene.neutral:
        x, y, d = placed_px(scene.neutral, size)
        neutral = {"x_px": x, "y_px": y, "diameter_px": d, "lstar": scene.neutral_lstar}
    return {
        "image": f"{scene.name}.jpg",
        "scene": scene.description,
        "size_px": list(size),
        "light": {
            "text": scene.light,
            "cct_k": round(colour_temperature(white[3:]) / 10) * 10,
            "white_xyz": [round(float(v), 4) for v in white[3:] / white[4]],
        }
        | ({} if scene.neutral else {"white_card": scene.reference_text}),
        "camera": {
            "guessed_light": scene.guess_text,
            "encoding": "white balance, 3 x 3 matrix, plain sRGB curve; no tone curve",
            "exif_orientation": scene.orientation,
        },
        "exposure": {"white_in_photo_xyz": [round(float(v), 4) for v in exposed]},
        "neutral": neutral,
        "places": [_place(place, channels, white, scale) for place in scene.places],
        "viewing": {"illuminant": "D50", "observer": "CIE 1931 2 degrees"},
        "truth": DEFINITION + (BY_CARD if scene.neutral else AS_EXPOSED),
        "coordinates": "pixels of the upright photo; (0, 0) is its top left corner",
        "made_by": f"python -m sample_images.render {scene.name}",
    }


def _place(place: tuple, channels: np.ndarray, white: np.ndarray, scale: float) -> dict[str, Any]:
    label, x, y, diameter, what = place
    spot = placed_px((x, y, diameter), (channels.shape[1], channels.shape[0]))
    lab = true_lab(disc_mean(channels, *spot)[3:] * scale, white[3:])
    return {
        "label": label,
        "x_px": spot[0],
        "y_px": spot[1],
        "diameter_px": spot[2],
        "lab": [round(float(v), 2) for v in lab],
        "what": what,
    }
