"""Light and reflectance as smooth curves: what the scenes are lit by and made of.

Lamps are Planck's or the CIE daylight series. Reflectances are invented: logistic
edges and Gaussian bands in the places where chlorophyll, carotenoids, anthocyanins,
iron and cobalt are known to have theirs. No curve here is a measurement.
"""

from __future__ import annotations

from typing import Any

import numpy as np

WAVELENGTHS_NM = np.arange(380.0, 785.0, 5.0)


def planck(kelvin: float) -> np.ndarray:
    """Return a black body's relative power on the grid, 1 at 560 nm."""
    second_radiation_constant_nm_k = 1.4388e7
    exponent = second_radiation_constant_nm_k / (WAVELENGTHS_NM * kelvin)
    power = WAVELENGTHS_NM**-5.0 / np.expm1(exponent)
    return power / np.interp(560.0, WAVELENGTHS_NM, power)


def daylight(kelvin: float) -> np.ndarray:
    """Return the CIE daylight series at a colour temperature (4000 to 25000 K), 1 at 560 nm."""
    import colour

    xy = colour.temperature.CCT_to_xy_CIE_D(kelvin)
    series = colour.sd_CIE_illuminant_D_series(xy)
    power = np.interp(WAVELENGTHS_NM, series.wavelengths, series.values)
    return power / np.interp(560.0, WAVELENGTHS_NM, power)


def edge(centre_nm: float, width_nm: float, low: float, high: float) -> np.ndarray:
    """Return a rise from ``low`` to ``high`` about ``centre_nm``."""
    return low + (high - low) / (1.0 + np.exp((centre_nm - WAVELENGTHS_NM) / width_nm))


def band(centre_nm: float, width_nm: float, depth: float) -> np.ndarray:
    """Return a factor that takes ``depth`` of the light away around ``centre_nm``."""
    return 1.0 - depth * np.exp(-0.5 * ((WAVELENGTHS_NM - centre_nm) / width_nm) ** 2)


def flat(reflectance: float) -> np.ndarray:
    """Return the same reflectance at every wavelength."""
    return np.full(WAVELENGTHS_NM.shape, reflectance)


def reflectances() -> dict[str, np.ndarray]:
    """Return the invented surfaces of the scenes by name, each on the grid, 0 to 1."""
    chlorophyll = band(675.0, 14.0, 0.45) * band(640.0, 25.0, 0.18)
    return {
        "pear green": edge(512.0, 14.0, 0.075, 0.47) * chlorophyll,
        "pear yellow": edge(513.0, 13.0, 0.10, 0.62) * band(675.0, 13.0, 0.18),
        "pear blush": edge(598.0, 16.0, 0.075, 0.42) * band(675.0, 13.0, 0.12),
        "russet": edge(575.0, 45.0, 0.07, 0.30),
        "apple red": edge(612.0, 13.0, 0.035, 0.40) * band(675.0, 13.0, 0.12),
        "apple yellow": edge(512.0, 14.0, 0.10, 0.60) * band(675.0, 13.0, 0.15),
        "apple green": edge(512.0, 13.0, 0.06, 0.40) * chlorophyll,
        "plum": edge(650.0, 30.0, 0.028, 0.12),
        "plum bloom": 0.17 + 0.06 * (1.0 - edge(560.0, 40.0, 0.0, 1.0)),
        "stem": edge(590.0, 50.0, 0.04, 0.22),
        "enamel": edge(405.0, 9.0, 0.15, 0.62) * band(600.0, 60.0, 0.45) * band(670.0, 45.0, 0.20),
        "enamel white": edge(408.0, 8.0, 0.10, 0.78),
        "enamel rim": 0.03
        + 0.13 * np.exp(-0.5 * ((WAVELENGTHS_NM - 450.0) / 28.0) ** 2)
        + edge(700.0, 9.0, 0.0, 0.25),
        "iron": edge(590.0, 40.0, 0.025, 0.07),
        "card": flat(0.0),
    }


def spectrum(values: np.ndarray) -> dict[str, Any]:
    """Return a curve on the grid as the renderer takes it."""
    pairs = [(float(nm), float(value)) for nm, value in zip(WAVELENGTHS_NM, values, strict=True)]
    return {"type": "spectrum", "value": pairs}
