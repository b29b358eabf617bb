"""Oil in paint: how much each pigment takes, how fast it dries, and the mediums worked in.

Two tables, ``drying.toml`` and ``mediums.toml``, with a source for each row.
"""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Any, NamedTuple

from refmatch.paint.box import Tube

OIL_DENSITY = 0.93
"""Linseed oil, g/cm3 (published; 0.925 to 0.935)."""


class Days(NamedTuple):
    """Days to touch-dry: the shortest and the longest to reckon with."""

    shortest: float
    longest: float


@dataclass(frozen=True)
class InOil:
    """A pigment in linseed oil: grams of oil to 100 g, lowest and highest; g/cm3; days.

    ``days`` are of a film of a tenth of a millimetre in a light room.
    """

    oil_g: tuple[float, float]
    density: float
    days: Days

    @property
    def oil_share(self) -> float:
        """Oil in the paint, 0 to 1 by volume, where it is ground with just what it takes up."""
        oil_ml = sum(self.oil_g) / 2.0 / OIL_DENSITY
        return oil_ml / (oil_ml + 100.0 / self.density)


UNKNOWN = InOil((20.0, 60.0), 3.0, Days(1.0, 10.0))
"""A paint whose pigment nobody knows: as any may be (own choice)."""


@dataclass(frozen=True)
class Medium:
    """What is worked into paint. ``oil`` and ``solvent`` are parts of it, 0 to 1 by volume.

    ``days`` are the medium's alone; ``usual`` and ``most`` parts of the puddle; ``body`` how thick
    a film it leaves beside paint alone; ``finish`` how it dries, "" as the paint does.
    """

    key: str
    name: str
    oil: float
    solvent: float
    days: Days
    usual: float
    most: float
    body: float
    finish: str
    cautions: tuple[str, ...]


@functools.cache
def in_oil() -> Mapping[str, InOil]:
    """Return what is known of each pigment in oil, by its key."""
    return {
        key: InOil((row["oil_g"][0], row["oil_g"][1]), row["density"], Days(*row["days"]))
        for key, row in _table("drying.toml").items()
    }


@functools.cache
def mediums() -> Mapping[str, Medium]:
    """Return the mediums by key, in the order in which they are offered."""
    return {
        key: Medium(
            key=key,
            **{name: row[name] for name in ("name", "oil", "solvent", "usual", "most", "body")},
            days=Days(*row["days"]),
            finish=row["finish"],
            cautions=tuple(row["cautions"]),
        )
        for key, row in _table("mediums.toml").items()
    }


def oil_of(tube: Tube) -> tuple[InOil, ...]:
    """Return a tube's pigments in oil, each an equal part of it, `UNKNOWN` for others."""
    return tuple(in_oil().get(key, UNKNOWN) for key in tube.keys or ("",))


def oil_share(tubes: Sequence[Tube], net: Sequence[float]) -> float:
    """Return the oil in a mix of tubes, 0 to 1 by volume; ``net`` are parts of each, any sum."""
    whole = sum(net)
    shares = [sum(each.oil_share for each in oil_of(t)) / len(oil_of(t)) for t in tubes]
    return sum(part * share for part, share in zip(net, shares, strict=True)) / whole


def _table(name: str) -> Mapping[str, Mapping[str, Any]]:
    return tomllib.loads(files("refmatch.paint").joinpath(name).read_text("utf-8"))
