"""A colour as the page gets it: what it is, and what a screen can show of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.wide_gamut import css_p3, css_srgb, screens
from refmatch.wire.envelope import Json, wire_lab


def wire_colour(lab: Array) -> Json:
    """Return one colour, (3,) Lab of D50: ``lab``, ``srgb``, ``p3`` and ``fits``."""
    return wire_colours([lab])[0]


def filled(content: Any) -> Any:
    """Return JSON-ready content with every bare Lab array in it, (3,), told as a colour.

    All of them are reckoned in one go: a painting's page has hundreds.
    """
    labs: list[Array] = []
    _gather(content, labs)
    told = iter(wire_colours(labs))
    return _put(content, told)


def _gather(content: Any, labs: list[Array]) -> None:
    if isinstance(content, np.ndarray):
        labs.append(content)
    for each in content.values() if isinstance(content, dict) else _listed(content):
        _gather(each, labs)


def _put(content: Any, told: Iterator[Json]) -> Any:
    if isinstance(content, np.ndarray):
        return next(told)
    if isinstance(content, dict):
        return {key: _put(each, told) for key, each in content.items()}
    return [_put(each, told) for each in content] if isinstance(content, list) else content


def _listed(content: Any) -> list[Any]:
    return content if isinstance(content, list) else []


def wire_colours(labs: Iterable[Array]) -> list[Json]:
    """Return many colours at once, (n, 3): far quicker than one by one.

    ``srgb`` and ``p3`` are CSS; where a screen cannot show the colour they keep its
    lightness and hue, and ``fits`` ("srgb", "p3" or "none") says so.
    """
    stacked = np.array([np.asarray(lab, dtype=float) for lab in labs]).reshape(-1, 3)
    return [
        {"lab": wire_lab(lab), "srgb": srgb, "p3": p3, "fits": fits}
        for lab, srgb, p3, fits in zip(
            stacked, css_srgb(stacked), css_p3(stacked), screens(stacked), strict=True
        )
    ]
