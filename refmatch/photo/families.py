"""Families: the few colours a picture is made of, the masses a painter mixes first."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from refmatch.colorimetry.hue_names import hue_name
from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import PHOTO_WHITE
from refmatch.colorimetry.words import chroma_word, value_words
from refmatch.errors import UsageError
from refmatch.photo.light import Balance
from refmatch.photo.masses import Cells, cells_of, masses_of, mean_labs
from refmatch.photo.overview import overview
from refmatch.photo.photo import Photo, Working
from refmatch.photo.punch import places

MOST_FAMILIES = 24


@dataclass(frozen=True, eq=False)
class Family:
    """One mass: its colour, how much of the picture it is, and where to punch a hole for it.

    ``lab`` (3,) is of the mean light of its pixels, D50. ``share`` is 0 to 1;
    ``spread_delta_e_00`` the median dE00 of its pixels from ``lab``; the place is
    in the photo's pixels, and the colour there is close to ``lab``.
    """

    label: str
    lab: Array
    share: float
    spread_delta_e_00: float
    x_px: float
    y_px: float
    diameter_px: float


@dataclass(frozen=True, eq=False)
class Families:
    """The families of a picture, largest first, and which pixel belongs to which.

    ``labels`` (rows, columns) holds the family's index in ``items``, on a picture of
    ``scale`` pixels per pixel of the photo.
    """

    items: tuple[Family, ...]
    labels: npt.NDArray[np.int16]
    scale: float

    def mask(self, index: int) -> npt.NDArray[np.bool_]:
        """Return where family ``index`` is, shape (rows, columns)."""
        return np.asarray(self.labels == index)


def find(photo: Photo, balance: Balance, count: int | None = None) -> Families:
    """Return the families of a photo, largest first.

    Args:
        photo: the photo.
        balance: the balance to look through.
        count: how many; None lets the picture decide, usually 3 to 10. Fewer are
            returned where the picture has not so many different colours.

    Raises:
        UsageError: ``count`` is not from 1 to 24.
    """
    return find_in(overview(photo), balance, count)


def find_in(working: Working, balance: Balance, count: int | None = None) -> Families:
    """Return the families of a small picture; see `find`.

    Raises:
        UsageError: ``count`` is not from 1 to 24.
    """
    if count is not None and not 1 <= count <= MOST_FAMILIES:
        raise UsageError("families_out_of_range", count=count, most=MOST_FAMILIES)
    xyz = np.einsum("...j,ij->...i", working.xyz, balance.matrix)
    cells = cells_of(xyz)
    of_cell = masses_of(cells, count)
    labs = mean_labs(cells, of_cell)
    labels = of_cell[cells.of_pixel].reshape(xyz.shape[:2]).astype(np.int16)
    items = tuple(
        Family(name, lab, share, spread, *place)
        for name, lab, share, spread, place in zip(
            names(labs),
            labs,
            (np.bincount(of_cell, cells.area) / cells.area.sum()).tolist(),
            _spreads(cells, of_cell, labs),
            places(xyz, labels, labs, working.scale),
            strict=True,
        )
    )
    return Families(items, labels, working.scale)


def names(labs: Array) -> list[str]:
    """Name colours (k, 3) so that no two are alike: "dark green", "dull brown, value 4"."""
    labels = [_name(lab) for lab in labs]
    again = Counter(labels)
    labels = [
        f"{label}, {value_words(lab)}" if again[label] > 1 else label
        for label, lab in zip(labels, labs, strict=True)
    ]
    seen: Counter[str] = Counter()
    for i, label in enumerate(labels):
        seen[label] += 1
        labels[i] = f"{label} ({seen[label]})" if seen[label] > 1 else label
    return labels


def _name(lab: Array) -> str:
    """Name one colour by tone, strength and hue, leaving out what goes without saying."""
    hue, value = hue_name(lab), float(munsell_value(lab))
    if hue.startswith(("black", "white")):
        return hue
    words = [hue]
    strength = chroma_word(lab)
    if not hue.startswith("grey") and strength not in ("near grey", "moderate"):
        words.insert(0, strength.removeprefix("very "))
    if value < 3.5 or value > 7.5:
        words.insert(0, "dark" if value < 3.5 else "light")
    return " ".join(words)


def _spreads(cells: Cells, of_cell: npt.NDArray[np.intp], labs: Array) -> list[float]:
    """Return the median distance (dE00) of each mass's pixels from its colour."""
    away = delta_e_00(xyz_to_lab(cells.xyz, PHOTO_WHITE), labs[of_cell])
    return [_median(away[of_cell == i], cells.area[of_cell == i]) for i in range(len(labs))]


def _median(values: Array, weights: Array) -> float:
    order = np.argsort(values, kind="stable")
    running = np.cumsum(weights[order])
    return float(values[order][int(np.searchsorted(running, running[-1] / 2.0))])
