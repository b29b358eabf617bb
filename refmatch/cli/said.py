"""What a command was told, word by word: None is what was not said."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class LightSaid:
    """What is said of the light; spots are still in words."""

    method: str | None = None
    neutral: str | None = None
    neutral_lstar: float | None = None
    white: str | None = None
    kelvin: float | None = None
    tint_duv: float | None = None
    keep_light: float | None = None
    set_exposure: bool | None = None


@dataclass(frozen=True)
class PhotoSaid:
    """Which photo or folder, which part of it, and what is known of its light."""

    path: Path
    crop: str | None = None
    proportion: str | None = None
    light: LightSaid = LightSaid()


@dataclass(frozen=True)
class MixingSaid:
    """What is said of recipes: limits, tubes and habits."""

    tubes: int | None = None
    total: int | None = None
    without: tuple[str, ...] | None = None
    insist: tuple[str, ...] | None = None
    easy_on_black: bool | None = None
    no_white_in_darks: bool | None = None
    no_stray_green: bool | None = None
