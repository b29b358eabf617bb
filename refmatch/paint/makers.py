"""What two makers' paints of one pigment differ by: in strength, scattering and hue, by kind.

One table, ``makers.toml``, with a source for each row. The doubt of a mix of tubes that nobody
measured comes from it, wherever it is predicted or ranked; a fit begins with spreads of its own.
"""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from importlib.resources import files

from refmatch.paint.library import FROM_MEMORY, Pigment


@dataclass(frozen=True)
class Spread:
    """Standard deviations of what tubes of one pigment differ by, in ln K and ln S; reach in nm.

    ``level`` and ``scattering`` move all bands alike, ``shift_nm`` moves edges and bands along the
    spectrum, ``depth`` makes them deeper, ``bend`` and ``detail`` are smooth and finer bends.
    ``load`` moves K and S together, as more of the pigment in the paint does: masstones stay.
    """

    level: float = 0.6
    scattering: float = 0.5
    shift_nm: float = 6.0
    depth: float = 0.2
    bend: float = 0.3
    bend_nm: float = 60.0
    detail: float = 0.1
    detail_nm: float = 20.0
    load: float = 0.0


FINER = 0.05
"""``detail`` of tubes between makers: curves of pigments have no finer bands (own choice)."""

ADDED = ("level", "scattering", "shift_nm", "depth", "bend", "load")


def spread_of(pigments: Iterable[Pigment]) -> Spread:
    """Return what tubes that hold these pigments differ by.

    Of several pigments the widest counts, and the unknown parts of a ready mixture besides.
    """
    held = tuple(pigments)
    of_each = [_spread(pigment) for pigment in held]
    widest = replace(
        of_each[0], **{name: max(getattr(one, name) for one in of_each) for name in ADDED}
    )
    return _added(widest, "ready_mixed") if len(held) > 1 else widest


def doubt_in_colours(pigments: Iterable[Pigment]) -> float:
    """Return the relative error of the strength in colours of a black; 0 of other pigments."""
    return max(float(table()[pigment.kind].get("in_colours", 0.0)) for pigment in pigments)


@functools.cache
def table() -> Mapping[str, Mapping[str, float]]:
    """Return the rows of ``makers.toml`` by kind, without their sources."""
    text = files("refmatch.paint").joinpath("makers.toml").read_text("utf-8")
    return {
        kind: {name: value for name, value in row.items() if name != "source"}
        for kind, row in tomllib.loads(text).items()
    }


def _spread(pigment: Pigment) -> Spread:
    row = table()[pigment.kind]
    known = {field.name for field in fields(Spread)}
    spread = Spread(detail=FINER, **{name: value for name, value in row.items() if name in known})
    unsaid = max(pigment.doubt**2 - spread.load**2, 0.0) ** 0.5
    spread = replace(spread, level=max(spread.level, unsaid))
    return _added(spread, "unmeasured") if pigment.medium == FROM_MEMORY else spread


def _added(spread: Spread, row: str) -> Spread:
    """Add errors of another origin: their squares add up."""
    more = table()[row]
    return replace(
        spread,
        **{name: (getattr(spread, name) ** 2 + more.get(name, 0.0) ** 2) ** 0.5 for name in ADDED},
    )
