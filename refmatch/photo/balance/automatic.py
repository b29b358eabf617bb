"""The two guesses as balance methods, each with the other to doubt it."""

from __future__ import annotations

from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.balance.estimators import grey_edge_light, grey_world_light
from refmatch.photo.balance.guess import judged, light_angle_deg, scene_of
from refmatch.photo.balance.locus import temperature_of
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


def hint(photo: Photo) -> tuple[Flag, ...]:
    """Speak up where a photo left as shot quite surely has a strong cast.

    6 degrees is beyond what the guesses err by (see `guess.judged`).
    """
    try:
        light = grey_world(photo, BalanceRequest())
    except BalanceError:
        return ()
    if light.xyz is None or light.confidence is None or light.confidence < 0.6:
        return ()
    if light_angle_deg(light.xyz, PHOTO_WHITE) < 6.0:
        return ()
    cast = temperature_of(light.xyz)
    return (Flag("cast_suspected", kelvin=cast.kelvin, duv=cast.duv),)
