"""A painter's own camera: what the photo of their dabs told of it, and how far it is believed.

Grey, white and black say how a photo was exposed, and nothing of how its camera sees colour. The
fit of the paints does: from then on it is not any camera.
"""

from __future__ import annotations

import numpy as np

from refmatch.dabs.camera import Generic, Light, generic_camera
from refmatch.dabs.explain import Explained
from refmatch.paint.box import Box, BoxCamera

SAME = "same"
"""The light, and the camera, of the photo that a box was made from."""

MOST_WAYS = 16
"""So many ways in which the camera may be off are kept; they are made wider by what is left out."""


def own_camera(seen: Explained) -> BoxCamera:
    """Return what a fit of dabs has found of its camera, and what it leaves open."""
    observation, own = seen.observation, seen.fitted.own
    rows = slice(observation.at_ways, observation.at_shade)
    covariance = seen.fitted.covariance[-observation.size :, -observation.size :][rows, rows]
    values, vectors = np.linalg.eigh(covariance)
    ways = observation.generic.ways
    flat = (vectors * np.sqrt(np.maximum(values, 0.0))).T @ ways.reshape(len(ways), -1)
    _, size, axes = np.linalg.svd(flat, full_matrices=False)
    kept = size[:MOST_WAYS] * np.sqrt((size**2).sum() / (size[:MOST_WAYS] ** 2).sum())
    weights = observation.cameras(own)[0].weights
    return BoxCamera(weights, (kept[:, None] * axes[:MOST_WAYS]).reshape(-1, *weights.shape))


def believed_camera(box: Box, light: Light | None) -> Generic:
    """Return what is believed of the camera of a photo before it is looked at.

    ``light`` is the lamp's name or kelvins, None where nobody knows, or `SAME`.

    Raises:
        ValueError: `SAME`, of a box without a camera. UsageError: no such light.
    """
    if light != SAME:
        return generic_camera(light)
    if box.camera is None:
        raise ValueError("this box was not made from a photo")
    return Generic(box.camera.weights, box.camera.ways)
