"""What to beware of in a dab or a grey card that was read."""

from __future__ import annotations

import numpy as np

from refmatch.card.layout import Window
from refmatch.card.patch import Patch
from refmatch.colorimetry.lab import chroma, delta_e_00, xyz_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag

CLIPPED_SHARE = 0.02
GLARE_SHARE = 0.08
LEAST_KEPT = 0.7
HIDES_DELTA_E_00 = 6.0
BARE_INK = 0.12
EMPTY_DELTA_E_00 = 5.0
UNEVEN_GREY = 0.05
"""Where the flags begin: shares of pixels, of light, dE00; our own choice."""


def dab_flags(window: Window, patch: Patch, over_bar: Patch, paper: Array) -> tuple[Flag, ...]:
    """Return what to beware of in one dab; ``paper`` (3,) is the page's white."""
    name, found = window.label, []
    if (patch.clipped_high >= CLIPPED_SHARE).any():
        found.append(Flag("clipped", dab=name))
    if (patch.clipped_low >= CLIPPED_SHARE).any():
        found.append(Flag("blocked_up", dab=name))
    if patch.brighter >= GLARE_SHARE:
        found.append(Flag("glare", dab=name, percent=100.0 * patch.brighter))
    if patch.kept < LEAST_KEPT:
        found.append(Flag("uneven", dab=name, percent=100.0 * (1.0 - patch.kept)))
    return (*found, *_hiding(name, patch, over_bar, paper))


def _hiding(name: str, patch: Patch, over_bar: Patch, paper: Array) -> tuple[Flag, ...]:
    """Tell a dab that the bar shows through from one that was never drawn out over it."""
    lab, below = xyz_to_lab(patch.xyz, paper), xyz_to_lab(over_bar.xyz, paper)
    if float(delta_e_00(lab, below)) <= HIDES_DELTA_E_00:
        return ()
    bare = bool(over_bar.xyz[1] < BARE_INK * paper[1] and chroma(below) < 10.0)
    return (Flag("hiding_unknown" if bare else "does_not_hide", dab=name),)


def empty_flags(window: Window, patch: Patch, paper: Array) -> tuple[Flag, ...]:
    """Return a flag where a window that is not for a white is as white as the paper."""
    lab = xyz_to_lab(patch.xyz, paper)
    if delta_e_00(lab, np.array([100.0, 0.0, 0.0])) >= EMPTY_DELTA_E_00:
        return ()
    return (Flag("looks_empty", dab=window.label),)


def grey_flags(grey: Patch) -> tuple[Flag, ...]:
    """Return what to beware of in the grey card."""
    relative = float(grey.spread[1] / max(grey.xyz[1], 1e-6))
    found = []
    if relative > UNEVEN_GREY or grey.kept < LEAST_KEPT:
        found.append(Flag("grey_uneven"))
    if (grey.clipped_high + grey.clipped_low >= CLIPPED_SHARE).any():
        found.append(Flag("grey_clipped"))
    return tuple(found)
