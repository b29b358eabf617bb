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
    name = window.label
    found = {
        "clipped": (
            bool((patch.clipped_high >= CLIPPED_SHARE).any()),
            f"'{name}' is blown out in a channel: how bright it is there is only a bound.",
        ),
        "blocked_up": (
            bool((patch.clipped_low >= CLIPPED_SHARE).any()),
            f"'{name}' is blocked up in a channel: how dark it is there is only a bound.",
        ),
        "glare": (
            patch.brighter >= GLARE_SHARE,
            f"'{name}' shines in {100.0 * patch.brighter:.0f} % of its window; that is left out.",
        ),
        "uneven": (
            patch.kept < LEAST_KEPT,
            f"'{name}' is uneven: {100.0 * (1.0 - patch.kept):.0f} % of its window is left out; "
            "paint it flat and to the edge.",
        ),
        **_hiding(name, patch, over_bar, paper),
    }
    return tuple(Flag(key, text) for key, (raised, text) in found.items() if raised)


def _hiding(name: str, patch: Patch, over_bar: Patch, paper: Array) -> dict[str, tuple[bool, str]]:
    """Tell a dab that the bar shows through from one that was never drawn out over it."""
    lab, below = xyz_to_lab(patch.xyz, paper), xyz_to_lab(over_bar.xyz, paper)
    differs = float(delta_e_00(lab, below)) > HIDES_DELTA_E_00
    bare = bool(over_bar.xyz[1] < BARE_INK * paper[1] and chroma(below) < 10.0)
    return {
        "hiding_unknown": (
            differs and bare,
            f"No paint of '{name}' is seen on the black bar, so that nobody knows if it hides.",
        ),
        "does_not_hide": (
            differs and not bare,
            f"'{name}' does not hide: the black bar shows through; lay it on thicker.",
        ),
    }


def empty_flags(window: Window, patch: Patch, paper: Array) -> tuple[Flag, ...]:
    """Return a flag where a window that is not for a white is as white as the paper."""
    lab = xyz_to_lab(patch.xyz, paper)
    if delta_e_00(lab, np.array([100.0, 0.0, 0.0])) >= EMPTY_DELTA_E_00:
        return ()
    text = f"'{window.label}' looks unpainted: it is as white as the paper."
    return (Flag("looks_empty", text),)


def grey_flags(grey: Patch) -> tuple[Flag, ...]:
    """Return what to beware of in the grey card."""
    relative = float(grey.spread[1] / max(grey.xyz[1], 1e-6))
    found = {
        "grey_uneven": (
            relative > UNEVEN_GREY or grey.kept < LEAST_KEPT,
            "The grey card is uneven: it must be clean and matt and cover the whole place.",
        ),
        "grey_clipped": (
            bool((grey.clipped_high + grey.clipped_low >= CLIPPED_SHARE).any()),
            "The grey card is clipped in the photo: expose it so that it is a middle grey.",
        ),
    }
    return tuple(Flag(key, text) for key, (raised, text) in found.items() if raised)
