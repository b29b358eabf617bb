"""Spots as they are read, and as a painting's record keeps them."""

from __future__ import annotations

from collections.abc import Iterator

from refmatch.card.chart.read import ChartRead
from refmatch.painting.rounds import PATCH, Beside, SavedSpot
from refmatch.swatch.dab import Spot
from refmatch.verbs.dabs.by_chart import known_of_chart


def saved(spot: Spot) -> SavedSpot:
    """Return a spot as the record keeps it."""
    return SavedSpot(spot.xyz, spot.sigma, spot.high, spot.low, spot.shading, spot.paper)


def patches_beside(chart: ChartRead | None) -> Iterator[Beside]:
    """Yield the patches of a chart that can be used as the record keeps them; none without one."""
    numbers = [patch.number + 1 for patch in chart.patches] if chart else []
    for number, known in zip(numbers, known_of_chart(chart), strict=True):
        yield Beside(PATCH, saved(known), number=number, at=known.on_chart)


def spot_of(kept: SavedSpot, photo: int = 0) -> Spot:
    """Return a spot from the record."""
    return Spot(
        xyz=kept.xyz,
        sigma=kept.sigma,
        high=kept.high,
        low=kept.low,
        shading=kept.shading,
        paper=kept.paper,
        photo=photo,
    )
