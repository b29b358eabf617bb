"""Numbers as people and instruments write them."""

from __future__ import annotations

import math
import re

WRITTEN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?", re.ASCII)


def number(text: str) -> float | None:
    """Return the number written with a decimal point or comma; None where it is no number.

    Stricter than ``float``: no "nan", no "inf", no grouped thousands, and
    nothing too large to hold.
    """
    if not WRITTEN.fullmatch(text):
        return None
    value = float(text.replace(",", "."))
    return value if math.isfinite(value) else None
