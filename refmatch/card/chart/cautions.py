"""What to say of a 24-patch chart that was found: used, what was left out, or not to be used."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from refmatch.card.patch import Patch
from refmatch.flag import Flag

CLIPPED_SHARE = 0.02
"""Part of a patch's pixels at an end of the file's scale from which its channel is a bound."""


def chart_flags(used: Sequence[Patch], left_out: int, photo: str) -> tuple[Flag, ...]:
    """Return what to say; ``used`` is empty where too little of the chart can be read."""
    if not used:
        text = (
            f"A 24-patch chart lies in '{photo}', but too few of its patches can be read, and it "
            "is not used; lay it flat, nothing on it, without shine or a shadow across it."
        )
        return (Flag("chart_unusable", text),)
    flags = [Flag("chart_used", f"A 24-patch chart was found and used in '{photo}'.")]
    if left_out:
        text = (
            f"{left_out} of the chart's patches are not used: covered, in shine or shadow, or "
            "outside the photo."
        )
        flags.append(Flag("chart_patches_left_out", text))
    clipped = sum(
        bool((np.maximum(each.clipped_high, each.clipped_low) >= CLIPPED_SHARE).any())
        for each in used
    )
    if clipped:
        text = (
            f"{clipped} of the chart's patches are at an end of the photo's scale, where they tell "
            "only a bound; expose so that its white is not quite white."
        )
        flags.append(Flag("chart_clipped", text))
    return tuple(flags)
