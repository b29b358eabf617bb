"""The one wavelength grid that every spectrum in refmatch stands on."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

Array: TypeAlias = npt.NDArray[np.floating[Any]]

BANDS = 31
"""Number of bands: 400 to 700 nm in steps of 10 nm."""

WAVELENGTHS_NM: Array = np.linspace(400.0, 700.0, BANDS)
"""Centres of the bands in nanometres, shape (31,)."""
