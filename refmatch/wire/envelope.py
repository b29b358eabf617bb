"""What every answer states, and how numbers are written: rounded, and null where unknown."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any

import numpy as np

from refmatch import __version__
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.flag import Flag
from refmatch.say.sentence import PLAIN, Remedies, sentence_of

Json = dict[str, Any]


def envelope(content: Json, flags: Iterable[Flag] = (), remedies: Remedies = PLAIN) -> Json:
    """Return ``content`` with what every answer states: version, viewing and flags."""
    seen = viewing()
    return {
        "refmatch_version": __version__,
        "viewing": {"illuminant": seen.illuminant, "observer": seen.observer},
        **content,
        "flags": wire_flags(flags, remedies),
    }


def dump(content: Json) -> str:
    """Return one JSON object as text; a number that is not finite would be a mistake here."""
    return json.dumps(content, ensure_ascii=False, allow_nan=False, indent=2)


def wire_flags(flags: Iterable[Flag], remedies: Remedies = PLAIN) -> list[Json]:
    """Return flags as name and text; ``remedies`` are a door's own."""
    return [{"name": flag.name, "text": sentence_of(flag, remedies)} for flag in flags]


def wire_lab(lab: Array) -> list[float | None]:
    """Return Lab rounded to a ten-thousandth: far below what any eye or file tells."""
    return [number(value, 4) for value in np.asarray(lab)]


def number(value: float | None, digits: int = 4) -> float | None:
    """Return a rounded number, or None for what is unknown or not finite."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits) + 0.0
