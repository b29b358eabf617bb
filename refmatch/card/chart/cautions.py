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
        return (Flag("chart_unusable", photo=photo),)
    flags = [Flag("chart_used", photo=photo)]
    if left_out:
        flags.append(Flag("chart_patches_left_out", count=left_out))
    clipped = sum(
        bool((np.maximum(each.clipped_high, each.clipped_low) >= CLIPPED_SHARE).any())
        for each in used
    )
    if clipped:
        flags.append(Flag("chart_clipped", count=clipped))
    return tuple(flags)
