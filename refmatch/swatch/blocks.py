"""Covariances of things that have nothing to do with each other, as one."""

from __future__ import annotations

import numpy as np

from refmatch.colorimetry.spectrum import Array


def block_diag(*blocks: Array) -> Array:
    """Return square blocks along the diagonal of one matrix, zero elsewhere."""
    ends = np.cumsum([0, *(len(block) for block in blocks)])
    whole = np.zeros((int(ends[-1]), int(ends[-1])))
    for start, block in zip(ends, blocks, strict=False):
        whole[start : start + len(block), start : start + len(block)] = block
    return whole
