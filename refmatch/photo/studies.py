"""Studies to paint from: a picture of a few flat colours, or a blurred one, at any size.

What is judged is judged on a small picture, as a painter squints; drawn large as it is, that would
be a staircase. So each colour's part of the small picture is softened, and every pixel of the
large one goes to the colour that has the most there; along the border of two, pixels are mixed as
light. Shapes narrower than a brush go to what is around them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.hues import lstar_from_value
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.errors import UsageError
from refmatch.photo.masses import LEFT_OUT, Families
from refmatch.photo.opencv import opencv
from refmatch.photo.photo import Photo
from refmatch.photo.picture import Picture, to_srgb8
from refmatch.photo.values import Squint, ValueStudy

BRUSH = 0.015
"""The width of the smallest brush that blocks in, as a part of the shorter side: 6 mm on 40 cm
(common practice, no source)."""

SOFT_PX = 1.2
"""Standard deviation of the softening, in pixels of the small picture: as little as hides its
staircase."""

STRIP_ROWS = 256
SHORTEST_PX, LONGEST_PX = 64, 20000

PAPER_LAB = (100.0, 0.0, 0.0)
"""Where the photo is transparent, nothing is drawn."""

Labels = npt.NDArray[np.integer]
Screen = Callable[[Array], Picture]
"""What turns light, XYZ of the photo's white, into a screen's bytes."""


def size_of(photo: Photo, long_side_px: int | None = None) -> tuple[int, int]:
    """Return a study's width and height: the photo's own, or with a longer side of so many pixels.

    Raises:
        UsageError: so many are not offered.
    """
    if long_side_px is None:
        return photo.width_px, photo.height_px
    if not SHORTEST_PX <= long_side_px <= LONGEST_PX:
        raise UsageError(
            "long_side_not_offered", side=long_side_px, least=SHORTEST_PX, most=LONGEST_PX
        )
    scale = long_side_px / max(photo.width_px, photo.height_px)
    return max(round(scale * photo.width_px), 1), max(round(scale * photo.height_px), 1)


def values_study(study: ValueStudy, size_px: tuple[int, int]) -> Picture:
    """Return a value study as sRGB bytes, each level in its own grey."""
    greys = np.zeros((len(study.values), 3))
    greys[:, 0] = lstar_from_value(np.array(study.values))
    return flat(study.image, greys, size_px)


def masses_study(masses: Families, size_px: tuple[int, int], screen: Screen = to_srgb8) -> Picture:
    """Return the masses as a screen's bytes, each in its colour; what is transparent is white."""
    labs = np.stack([mass.lab for mass in masses.items])
    if (masses.labels == LEFT_OUT).any():
        labels = np.where(masses.labels == LEFT_OUT, len(labs), masses.labels)
        return flat(labels, np.vstack([labs, PAPER_LAB]), size_px, screen)
    return flat(masses.labels, labs, size_px, screen)


def squint_study(squint: Squint, size_px: tuple[int, int]) -> Picture:
    """Return a picture seen through a squint as sRGB bytes."""
    xyz = np.asarray(squint.xyz, np.float32)
    return np.concatenate([to_srgb8(strip) for strip in _enlarged(xyz, size_px)])


def flat(
    labels: Labels, labs: Array, size_px: tuple[int, int], screen: Screen = to_srgb8
) -> Picture:
    """Return flat colours with smooth edges as a screen's bytes, (height, width, 3).

    ``labels`` (rows, columns) tell the colour of each pixel of a small picture, ``labs`` (k, 3)
    the colours, ``size_px`` the width and height wanted.
    """
    count, brush_px = len(labs), BRUSH * min(labels.shape)
    clean = without_specks(labels, count, brush_px)
    # softening parts thin arms into specks, so they are taken out once more
    leads = np.argmax([_softened(clean == number) for number in range(count)], axis=0)
    clean = without_specks(leads, count, brush_px)
    shares = [_softened(clean == number) for number in range(count)]
    light = lab_to_xyz(labs, PHOTO_WHITE)
    # at a straight border the lead of one share over the other rises by this a pixel
    rise = 2.0 / (np.sqrt(2.0 * np.pi) * SOFT_PX) * labels.shape[1] / size_px[0]
    strips = zip(*(_enlarged(share, size_px) for share in shares), strict=True)
    shown = screen(light[None])[0]
    return np.concatenate([_painted(strip, light, rise, shown, screen) for strip in strips])


def without_specks(labels: Labels, count: int, brush_px: float) -> Labels:
    """Return labels in which no patch is smaller than a brush's dab; what was, joins its rim."""
    cv2 = opencv()
    least, clean = np.pi / 4.0 * brush_px**2, np.asarray(labels)
    for _ in range(count):
        specks = np.zeros(clean.shape, bool)
        for number in range(count):
            _, patch, facts, _ = cv2.connectedComponentsWithStats(
                (clean == number).astype(np.uint8), connectivity=4
            )
            small = facts[:, cv2.CC_STAT_AREA] < least
            small[0] = False  # what is not of this colour
            specks |= small[patch]
        if not specks.any() or specks.all():
            break
        votes = [_softened((clean == number) & ~specks, brush_px) for number in range(count)]
        clean = np.where(specks, np.argmax(votes, axis=0), clean)
    return clean


def _softened(mask: npt.NDArray[np.bool_], sigma_px: float = SOFT_PX) -> Array:
    cv2 = opencv()
    share = mask.astype(np.float32)
    return np.asarray(cv2.GaussianBlur(share, (0, 0), sigma_px, borderType=cv2.BORDER_REPLICATE))


def _painted(
    shares: tuple[Array, ...], light: Array, rise: float, shown: Picture, screen: Screen
) -> Picture:
    """Return each pixel in the colour that leads there, and of the second at its rim.

    Nearly all of a picture is flat: what a screen shows there is looked up, and only the rims
    are mixed as light.
    """
    first = np.zeros(shares[0].shape, np.uint8)
    best, next_best = shares[0].copy(), np.full(shares[0].shape, -np.inf, np.float32)
    for number, share in enumerate(shares[1:], start=1):
        np.maximum(next_best, np.minimum(best, share), out=next_best)
        first[share > best] = number
        np.maximum(best, share, out=best)
    own = 0.5 + (best - next_best) / rise
    picture = shown[first]
    rim = own < 1.0
    if not rim.any():
        return picture
    leads, own = first[rim], own[rim][:, None]
    others = np.stack([share[rim] for share in shares])
    others[leads, np.arange(len(leads))] = -np.inf
    mixed = own * light[leads] + (1.0 - own) * light[np.argmax(others, axis=0)]
    picture[rim] = screen(mixed[None])[0]
    return picture


def _enlarged(picture: Array, size_px: tuple[int, int]) -> Iterator[Array]:
    """Yield a small float32 picture at another size, a strip of rows at a time."""
    cv2, (width, height) = opencv(), size_px
    across, down = picture.shape[1] / width, picture.shape[0] / height
    for top in range(0, height, STRIP_ROWS):
        rows = min(STRIP_ROWS, height - top)
        # a pixel's middle lies half a pixel in, here and there
        place = np.array([[across, 0.0, 0.5 * across - 0.5], [0.0, down, (top + 0.5) * down - 0.5]])
        yield np.asarray(
            cv2.warpAffine(
                picture,
                place,
                (width, rows),
                flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
                borderMode=cv2.BORDER_REPLICATE,
            )
        )
