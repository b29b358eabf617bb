"""Spots as they are read, and as a painting's record keeps them."""

from __future__ import annotations

from refmatch.painting.rounds import SavedSpot
from refmatch.swatch.dab import Spot


def saved(spot: Spot) -> SavedSpot:
    """Return a spot as the record keeps it."""
    return SavedSpot(spot.xyz, spot.sigma, spot.high, spot.low, spot.shading, spot.paper)


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
