"""The hinge: a colour to be mixed, wherever it came from.

Photos end in targets and paint begins with them; neither knows the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.lab import excess
from refmatch.colorimetry.notations import lab_from_hex, lab_from_munsell, parse_munsell
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import TargetError, UsageError
from refmatch.flag import Flag


@dataclass(frozen=True, eq=False)
class Target:
    """A colour to be mixed: its Lab (D50, CIE 1931 2 degrees) and its name.

    ``lab`` has shape (3,). ``x_px``, ``y_px`` and ``diameter_px`` say where it
    was seen, in the oriented photo's pixels, where it was seen in a photo at all;
    ``spread_delta_e_00`` how uneven it was there, and ``clipped_fraction`` how much of it the
    camera lost. ``share`` is how much of the picture it stands for, 0 to 1, None where that is
    not known. ``photo`` names the photo where that is not the painting's own.
    """

    label: str
    lab: Array
    x_px: float | None = None
    y_px: float | None = None
    diameter_px: float | None = None
    share: float | None = None
    flags: tuple[Flag, ...] = ()
    spread_delta_e_00: float | None = None
    clipped_fraction: float | None = None
    photo: str = ""


DRY_PASSAGE = Flag("dry_passage")
"""A target that is paint already, dry on the canvas: no key moves it."""


FAR_PX = 1e6
"""Wider than any photo is."""


def places_px(targets: Sequence[Target]) -> Array | None:
    """Return where the targets are in their photo, (n, 2), or None where not all have a place.

    Those of another photo lie `FAR_PX` off, so that neighbours are found within each.
    """
    points = [(target.x_px, target.y_px) for target in targets]
    if any(x is None or y is None for x, y in points):
        return None
    photos = list(dict.fromkeys(target.photo for target in targets))
    away = [[FAR_PX * photos.index(target.photo), 0.0] for target in targets]
    return (np.array(points, dtype=float) + np.array(away)).reshape(-1, 2)


ROUNDING = 1.0
"""How far in Lab a colour may lie outside the object-colour solid and pass as rounded."""


def check_lab(lab: Array, label: str = "The target") -> Array:
    """Return ``lab`` as floats, or refuse what no surface can look like.

    Raises:
        TargetError: not three finite numbers, L* outside 0 to 100, or more
            chroma than any surface reflecting between 0 and 1 can have.
    """
    lab = np.asarray(lab, dtype=float)
    if lab.shape != (3,) or not np.all(np.isfinite(lab)):
        raise TargetError("not_a_lab", label=label)
    if not 0.0 <= lab[0] <= 100.0:
        raise TargetError("lightness_out_of_range", label=label, lstar=float(lab[0]))
    if excess(_forgiven(lab)) > 1.0:
        raise TargetError("stronger_than_any_surface", label=label, lab=tuple(lab.tolist()))
    return lab


def parse_lab(text: str) -> Array:
    """Read "L,a,b".

    Raises:
        UsageError: not three numbers. TargetError: no surface can look so.
    """
    try:
        numbers = np.array([float(part) for part in text.split(",")])
    except ValueError:
        numbers = np.empty(0)
    if numbers.shape != (3,):
        raise UsageError("not_a_colour", text=text)
    return check_lab(numbers, "The target")


def parse_colour(text: str) -> Array:
    """Read a colour as Lab: "62,14,38", a screen's "#6a5f3c", or Munsell's "10YR 5/4" and "N 5/".

    Raises:
        UsageError: it is none of these. TargetError: the Munsell renotation holds none such, or no
            surface can look so.
    """
    screen = lab_from_hex(text)
    if screen is not None:
        return check_lab(screen, text)
    munsell = parse_munsell(text)
    if munsell is not None:
        return check_lab(lab_from_munsell(munsell, text), text)
    return parse_lab(text)


def targets_of(colours: Sequence[str]) -> tuple[Target, ...]:
    """Read colours, each in any notation of `parse_colour`, as targets, numbered from 1."""
    return tuple(Target(str(i), parse_colour(text)) for i, text in enumerate(colours, start=1))


def _forgiven(lab: Array) -> Array:
    """Pull a colour towards middle grey by what rounding may have pushed it out."""
    pull = lab - np.array([50.0, 0.0, 0.0])
    return lab - pull * min(1.0, ROUNDING / max(float(np.linalg.norm(pull)), 1e-9))
