"""The two guesses as balance methods, each with the other to doubt it."""

from __future__ import annotations

from refmatch.photo.balance.estimators import grey_edge_light, grey_world_light
from refmatch.photo.balance.guess import judged, scene_of
from refmatch.photo.balance.request import BalanceRequest, SeenLight
from refmatch.photo.overview import overview
from refmatch.photo.photo import Photo


def grey_world(photo: Photo, request: BalanceRequest) -> SeenLight:
    """Guess that the picture's average, leaning on its lights, is grey.

    Raises:
        BalanceError: nearly all of the photo is clipped or black.
    """
    scene = scene_of(overview(photo))
    return judged(scene, grey_world_light(scene), grey_edge_light(scene))


def grey_edge(photo: Photo, request: BalanceRequest) -> SeenLight:
    """Guess that the differences between neighbouring places average grey.

    Raises:
        BalanceError: nearly all of the photo is clipped or black.
    """
    scene = scene_of(overview(photo))
    return judged(scene, grey_edge_light(scene), grey_world_light(scene))
