"""Two guesses at the light from the picture alone, and how far to trust them.

Both take something of the picture for grey: grey-world its average, grey-edge the
average of its borders between things. Neither can tell orange light on white cloth
from white light on orange cloth; what can be told is whether a picture is of the
kind that misleads them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.hues import hue_family
from refmatch.colorimetry.lab import BRADFORD, chroma, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import BalanceError
from refmatch.flag import Flag
from refmatch.photo.light.balance import AskedLight, Balance, adaptation_keeping, balance_of
from refmatch.photo.light.locus import temperature_of
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo, Working, overview

DARKEST_Y = 0.003
"""Light below this is mostly noise and flare, and has no say."""


@dataclass(frozen=True, eq=False)
class Scene:
    """A small picture in Bradford's cones, white at 1; ``usable`` masks what counts.

    ``cones`` is (rows, columns, 3) float32, ``usable`` (rows, columns): neither
    clipped nor nearly black.
    """

    cones: Array
    usable: npt.NDArray[np.bool_]


def scene_of(working: Working) -> Scene:
    """Return what an automatic method may look at.

    Raises:
        BalanceError: nearly all of the photo is clipped or black.
    """
    to_cones = (BRADFORD / (BRADFORD @ PHOTO_WHITE)[:, None]).astype(np.float32)
    usable = working.covered & ~working.clipped & (working.xyz[..., 1] > DARKEST_Y)
    if np.count_nonzero(usable) < 100:
        raise BalanceError("light_not_to_be_guessed")
    cones = np.einsum("...j,ij->...i", working.xyz, to_cones)
    return Scene(np.maximum(cones, 0.0), usable)


def angle_deg(cones_1: Array, cones_2: Array) -> float:
    """Return the angle between two lights in degrees, the field's measure of their difference."""
    cosine = cones_1 @ cones_2 / np.linalg.norm(cones_1) / np.linalg.norm(cones_2)
    return float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))


def light_angle_deg(xyz_1: Array, xyz_2: Array) -> float:
    """Return the angle between two lights given as XYZ, in degrees."""
    white = BRADFORD @ PHOTO_WHITE
    return angle_deg(BRADFORD @ xyz_1 / white, BRADFORD @ xyz_2 / white)


def judged(scene: Scene, estimate: Array, other: Array) -> tuple[Array, float, tuple[Flag, ...]]:
    """Return what white looks like by an estimate, cones of shape (3,), a confidence and warnings.

    Confidence is the product of three doubts, our own choice of form and figures:
    how far the other method disagrees (good methods err by 3 to 5 degrees on
    photographs: van de Weijer et al. 2007; the figures from memory), how few different hues
    the picture holds for the cast that would be removed, and how far the light lies
    from lamps and daylight.
    """
    light = np.linalg.solve(BRADFORD, estimate * (BRADFORD @ PHOTO_WHITE))
    light = light / light[1]
    disagreement = angle_deg(estimate, other)
    cast = angle_deg(estimate, np.ones(3))
    off = abs(temperature_of(light).duv - temperature_of(PHOTO_WHITE).duv)
    variety, lean, hue = _hues(scene, light)
    doubts = (
        np.exp(-((disagreement / 8.0) ** 2)),
        1.0 - (1.0 - min(variety / 8.0, 1.0)) * min(cast / 10.0, 1.0),
        np.exp(-((off / 0.02) ** 2)),
        1.0 - 0.5 * lean,
    )
    flags = _warnings(disagreement, lean > 0.0 or (variety < 3.0 and cast > 5.0), off, hue)
    return light, float(np.prod(doubts)), flags


def _hues(scene: Scene, light: Array) -> tuple[float, float, str]:
    """Return (variety, lean, hue): what the picture's colours say about its light.

    ``variety`` is the standard deviation of (a*, b*) across its thin direction,
    once the light is removed: one hue under any light is a line. ``lean`` is 1
    where nearly all of the colour as shot has one hue, 0 where it has not, and
    ``hue`` names it.
    """
    xyz = (scene.cones[scene.usable] * (BRADFORD @ PHOTO_WHITE)) @ np.linalg.inv(BRADFORD).T
    balanced = xyz_to_lab(xyz @ adaptation_keeping(light, 0.0).T, PHOTO_WHITE)
    thin, _ = np.linalg.eigvalsh(np.cov(balanced[:, 1:].T))
    lab = xyz_to_lab(xyz, PHOTO_WHITE)
    mean = lab.mean(axis=0)
    one_sided = float(chroma(mean) / max(float(chroma(lab).mean()), 1e-9))
    lean = float(one_sided > 0.9 and float(chroma(mean)) > 10.0)
    return float(np.sqrt(max(thin, 0.0))), lean, hue_family(mean)


def _warnings(disagreement: float, one_hue: bool, off: float, hue: str) -> tuple[Flag, ...]:
    flags = []
    if one_hue:
        flags.append(Flag("one_hue", hue=hue))
    if disagreement > 5.0:
        flags.append(Flag("estimates_disagree", degrees=disagreement))
    if off > 0.02:
        flags.append(Flag("unlikely_light"))
    return tuple(flags)


# Two guesses at the light from a picture alone: its average, and that of its edges.
#
# Both are means of the Minkowski kind, the p-th root of the mean of p-th powers: 1 is
# the plain mean, infinity the largest value, and 6 leans on light things and clear
# edges, which say more of the light than dark ones, without hanging on a single pixel.

NORM = 6
"""Best of the p tried by Finlayson & Trezzi 2004 (from memory)."""

BLUR_PX = 1.5
"""Standard deviation of the blur before edges are taken, at overview size."""


def grey_world_light(scene: Scene) -> Array:
    """Return the light, cones of shape (3,) with mean 1, for which the picture averages grey.

    Shades of grey: Finlayson & Trezzi 2004, Proc. IS&T/SID 12th Color Imaging
    Conference, 37-41.
    """
    return _of_mean_one(_minkowski(scene.cones[scene.usable]))


def grey_edge_light(scene: Scene) -> Array:
    """Return the light, cones of shape (3,) with mean 1, for which differences average grey.

    First-order grey-edge: van de Weijer, Gevers & Gijsenij 2007, IEEE Trans. Image
    Processing 16, 2207-2214, doi:10.1109/TIP.2007.901808: their framework with n = 1, p = 6.
    Edges within the blur's reach of an unusable pixel are left out.
    """
    cv2 = opencv()

    smooth = cv2.GaussianBlur(scene.cones, (0, 0), BLUR_PX)
    across = cv2.Sobel(smooth, cv2.CV_32F, 1, 0, ksize=3)
    down = cv2.Sobel(smooth, cv2.CV_32F, 0, 1, ksize=3)
    reach = 2 * int(np.ceil(2.0 * BLUR_PX)) + 1
    inside = cv2.erode(scene.usable.astype(np.uint8), np.ones((reach, reach), np.uint8)) > 0
    if not inside.any():
        inside = scene.usable
    return _of_mean_one(_minkowski(np.hypot(across, down)[inside]))


def _minkowski(values: Array) -> Array:
    """Return the Minkowski mean of (n, 3) values over n; scaled first, against underflow."""
    largest = max(float(values.max()), 1e-12)
    scaled = values.astype(np.float64) / largest
    return np.asarray(largest * np.mean(scaled**NORM, axis=0) ** (1.0 / NORM))


def _of_mean_one(cones: Array) -> Array:
    """Scale a light to mean 1; no cone may be nothing, for no light is without it."""
    cones = np.maximum(cones, 1e-3 * max(float(cones.max()), 1e-12))
    return np.asarray(cones / cones.mean())


# The two guesses as balance methods, each with the other to doubt it.


def grey_world(photo: Photo, asked: AskedLight) -> Balance:
    """Guess that the picture's average, leaning on its lights, is grey.

    Raises:
        BalanceError: nearly all of the photo is clipped or black.
    """
    scene = scene_of(overview(photo))
    white, confidence, flags = judged(scene, grey_world_light(scene), grey_edge_light(scene))
    return balance_of(asked, white, confidence=confidence, flags=flags)


def grey_edge(photo: Photo, asked: AskedLight) -> Balance:
    """Guess that the differences between neighbouring places average grey.

    Raises:
        BalanceError: nearly all of the photo is clipped or black.
    """
    scene = scene_of(overview(photo))
    white, confidence, flags = judged(scene, grey_edge_light(scene), grey_world_light(scene))
    return balance_of(asked, white, confidence=confidence, flags=flags)


def hint(photo: Photo) -> tuple[Flag, ...]:
    """Speak up where a photo left as shot quite surely has a strong cast.

    6 degrees is beyond what the guesses err by (see `guess.judged`).
    """
    try:
        scene = scene_of(overview(photo))
    except BalanceError:
        return ()
    white, confidence, _ = judged(scene, grey_world_light(scene), grey_edge_light(scene))
    if confidence < 0.6 or light_angle_deg(white, PHOTO_WHITE) < 6.0:
        return ()
    cast = temperature_of(white)
    return (Flag("cast_suspected", kelvin=cast.kelvin, duv=cast.duv),)
