"""A plan as the page shows it: the same words as on the sheet, every Lab told as a colour."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np

from refmatch.sheet.plan_content import PlanShown
from refmatch.wire.colour import filled
from refmatch.wire.envelope import Json, number


def wire_plan_shown(shown: PlanShown) -> Json:
    """Return the key, the palette, its reach, the order of work, strings, and amounts."""
    told: Json = filled(_plain(shown))
    return told


def _plain(value: Any) -> Any:
    """Return dataclasses as objects and tuples as lists; Labs, (3,), stay, outlines are listed."""
    if dataclasses.is_dataclass(value):
        names = [field.name for field in dataclasses.fields(value)]
        return {name: _plain(getattr(value, name)) for name in names}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, np.ndarray) and value.ndim == 2:
        return [[number(each, 2) for each in row] for row in value]
    return number(value, 4) if isinstance(value, float) else value
