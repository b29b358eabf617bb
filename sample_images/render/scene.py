"""What every scene hands to the camera: entries, light, framing, places."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np


@dataclass(frozen=True, eq=False)
class Scene:
    """One scene. Places are shares of the picture's width, height and shorter side.

    ``neutral``: (x, y, diameter) of the grey card, or None; ``places``: (label, x, y,
    diameter, what). ``reference`` names the entry of a white card that is put in for a
    second render, where the scene has no card of its own.
    """

    name: str
    size: tuple[int, int]
    entries: dict[str, Any]
    guessed_light: np.ndarray
    white_level: float
    neutral: tuple[float, float, float] | None
    neutral_lstar: float
    places: list[tuple[str, float, float, float, str]]
    description: str = ""
    light: str = ""
    guess_text: str = ""
    reference_text: str = ""
    orientation: int = 1
    noise: float = 0.006
    reference: dict[str, Any] = field(default_factory=dict)
    reference_spot: tuple[float, float, float] | None = None
