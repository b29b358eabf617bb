"""Colours as the page paints them: every bare Lab of an answer becomes one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from refmatch.colorimetry.display import css_p3, css_srgb, screens
from refmatch.colorimetry.spectrum import Array
from refmatch.encode import Finished, Json, encode


def colour(lab: Array) -> Json:
    """Return one colour, (3,) Lab of D50: ``lab``, ``srgb``, ``p3`` and ``fits``."""
    return colours([lab])[0]


def filled(content: Any) -> Any:
    """Return JSON-ready content with every bare Lab array in it, (3,), shown as a colour.

    All of them are worked out in one go: a painting's page has hundreds.
    """
    labs: list[Array] = []
    _gather(content, labs)
    shown = iter(colours(labs))
    return _put(content, shown)


def _gather(content: Any, labs: list[Array]) -> None:
    if isinstance(content, Finished):
        return
    if isinstance(content, np.ndarray):
        labs.append(content)
    for item in content.values() if isinstance(content, dict) else _listed(content):
        _gather(item, labs)


def _put(content: Any, shown: Iterator[Json]) -> Any:
    if isinstance(content, Finished):
        return content
    if isinstance(content, np.ndarray):
        return next(shown)
    if isinstance(content, dict):
        return {key: _put(item, shown) for key, item in content.items()}
    return [_put(item, shown) for item in content] if isinstance(content, list) else content


def _listed(content: Any) -> list[Any]:
    return content if isinstance(content, list) else []


def colours(labs: Iterable[Array]) -> list[Json]:
    """Return many colours at once, (n, 3): far quicker than one by one.

    ``srgb`` and ``p3`` are CSS; where a screen cannot show the colour they keep its
    lightness and hue, and ``fits`` ("srgb", "p3" or "none") says so.
    """
    stacked = np.array([np.asarray(lab, dtype=float) for lab in labs]).reshape(-1, 3)
    return [
        {"lab": encode(lab), "srgb": srgb, "p3": p3, "fits": fits}
        for lab, srgb, p3, fits in zip(
            stacked, css_srgb(stacked), css_p3(stacked), screens(stacked), strict=True
        )
    ]
