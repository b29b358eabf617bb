"""The photo for the page: whole at a bounded size in several views, and in tiles up close."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import PaintingError, UsageError
from refmatch.painting.asked import Asked, place_of
from refmatch.painting.reckon import Reckoner
from refmatch.photo.light import estimate
from refmatch.photo.light.balance import AskedLight, Balance
from refmatch.photo.photo import Photo, mean_of_squares, reduced
from refmatch.photo.picture import Picture, as_png, as_wide_jpeg, punched_card, to_p3
from refmatch.photo.studies import masses_study, size_of, values_study
from refmatch.photo.values import LEVELS, squint

LONGEST_SIDE_PX = 1600
TILE_PX = 512
MOST_REDUCED = 16
HATCH_PX = 6
KEPT_TILES = 400
KEEPING = "keeping-"
"""Begins the name of a view with another part of the light kept, to choose it by."""


class Pictures:
    """Pictures of one photo as a painting asks for it, encoded; the last ones are kept."""

    def __init__(self, reckoner: Reckoner, asked_now: Callable[[], Asked]) -> None:
        self._reckoner, self._asked_now = reckoner, asked_now
        self._kept = functools.lru_cache(24)(self._drawn)
        self._tiles = functools.lru_cache(KEPT_TILES)(self._tile)

    def picture(self, look: str, kind: str) -> bytes:
        """Return a view of the whole frame: JPEG, or for "clipped" PNG with clear parts.

        Raises:
            PaintingError: the painting no longer looks so. UsageError: no such view.
        """
        return self._kept(self._asked(look), kind)

    def tile(self, look: str, reduction: int, column: int, row: int) -> bytes:
        """Return a square of the balanced photo, `TILE_PX` wide, reduced by a whole number.

        Raises:
            PaintingError: the painting no longer looks so. UsageError: no such tile.
        """
        if not 1 <= reduction <= MOST_REDUCED:
            raise UsageError("no_such_reduction", reduction=reduction, most=MOST_REDUCED)
        return self._tiles(self._asked(look), reduction, column, row)

    def card(self, ground: str) -> bytes:
        """Return the photo under the card, only the holes showing, as PNG.

        Raises:
            UsageError: no such ground.
        """
        asked, reckoner = self._asked_now(), self._reckoner
        view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
        holes = [
            reckoner.sample(asked.frame, asked.light, place_of(hole)).hole
            for hole in reckoner.punched(asked)
        ]
        return as_png(punched_card(view, balance, holes, ground))

    def _asked(self, look: str) -> Asked:
        """Return what the pictures hang on and no more: a new hole leaves them as they are."""
        asked = self._asked_now()
        if self._reckoner.look(asked) != look:
            raise PaintingError("photo_looks_otherwise")
        return Asked("", "", light=asked.light, frame=asked.frame, masses=asked.masses)

    def _drawn(self, asked: Asked, kind: str) -> bytes:
        if kind.startswith(KEEPING):
            asked, kind = _keeping(asked, kind), "balanced"
        reckoner = self._reckoner
        view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
        if kind == "clipped":
            return _hatched(view)
        if kind.startswith("values-"):
            return as_png(_values(reckoner, asked, kind))
        if kind not in VIEWS:
            raise UsageError("no_such_view", view=kind)
        return as_wide_jpeg(VIEWS[kind](view, balance, reckoner, asked))

    def _tile(self, asked: Asked, reduction: int, column: int, row: int) -> bytes:
        reckoner = self._reckoner
        view, balance = reckoner.view(asked.frame), reckoner.balance(asked.light)
        side = TILE_PX * reduction
        top, left = row * side, column * side
        if not (0 <= top < view.height_px and 0 <= left < view.width_px):
            raise UsageError("no_such_tile")
        rows, columns = min(side, view.height_px - top), min(side, view.width_px - left)
        light = mean_of_squares(view.linear(top, left, rows, columns), reduction)
        return as_wide_jpeg(to_p3(_lit(light, balance)))


def _lit(light: Array, balance: Balance) -> Array:
    """Return light, XYZ (..., 3), in the balanced photo."""
    return light @ balance.matrix.T.astype(light.dtype)


View = Callable[[Photo, Balance, Reckoner, Asked], Picture]


def _balanced(view: Photo, balance: Balance, reckoner: Reckoner, asked: Asked) -> Picture:
    return to_p3(_lit(reduced(view, LONGEST_SIDE_PX).xyz, balance))


def _as_shot(view: Photo, balance: Balance, reckoner: Reckoner, asked: Asked) -> Picture:
    return to_p3(reduced(view, LONGEST_SIDE_PX).xyz)


def _guessed(method: str, view: Photo, reckoner: Reckoner) -> Picture:
    light = reduced(view, LONGEST_SIDE_PX // 2).xyz
    return to_p3(_lit(light, estimate(reckoner.whole, AskedLight(method))))


def _squint(view: Photo, balance: Balance, reckoner: Reckoner, asked: Asked) -> Picture:
    return to_p3(squint(reduced(view, LONGEST_SIDE_PX // 2), balance).xyz)


def _masses(view: Photo, balance: Balance, reckoner: Reckoner, asked: Asked) -> Picture:
    masses = reckoner.masses(asked.frame, asked.light, asked.masses)
    return masses_study(masses, shown_size(view), to_p3)


def _keeping(asked: Asked, kind: str) -> Asked:
    """Return what would be asked if so many per cent of the light were kept."""
    percent = kind.removeprefix(KEEPING)
    if not percent.isdecimal() or int(percent) > 100:
        raise UsageError("light_kept_out_of_range")
    return replace(asked, light=replace(asked.light, keep_light=float(percent)))


def _values(reckoner: Reckoner, asked: Asked, kind: str) -> Picture:
    levels = kind.removeprefix("values-")
    if levels not in {str(level) for level in LEVELS}:
        raise UsageError("no_such_value_study", levels=levels)
    view = reckoner.view(asked.frame)
    return values_study(reckoner.values(asked.frame, asked.light, int(levels)), shown_size(view))


def shown_size(view: Photo) -> tuple[int, int]:
    """Return how large a study is drawn: as the photo is shown, and no larger than it is."""
    return size_of(view, min(LONGEST_SIDE_PX, max(view.width_px, view.height_px)))


VIEWS: dict[str, View] = {
    "balanced": _balanced,
    "as-shot": _as_shot,
    "grey-world": lambda view, balance, reckoner, asked: _guessed("grey-world", view, reckoner),
    "grey-edge": lambda view, balance, reckoner, asked: _guessed("grey-edge", view, reckoner),
    "squint": _squint,
    "masses": _masses,
}
"""Views of the whole frame by name, beside "values-N", "keeping-N" and "clipped"."""


def _hatched(view: Photo) -> bytes:
    """Return black and white stripes where the photo is clipped, clear elsewhere: no hue."""
    clipped = reduced(view, LONGEST_SIDE_PX).clipped
    rows, columns = np.indices(clipped.shape)
    light = ((rows + columns) // HATCH_PX % 2 == 0)[..., None]
    stripes = np.where(light, np.uint8(255), np.uint8(0)).repeat(3, axis=-1)
    opaque = np.where(clipped, np.uint8(255), np.uint8(0))[..., None]
    return as_png(np.concatenate([stripes, opaque], axis=-1))
