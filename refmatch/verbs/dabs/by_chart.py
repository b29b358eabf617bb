"""A 24-patch chart in the photo, as surfaces of known colour."""

from __future__ import annotations

from refmatch.card.chart.read import ChartPatch, ChartRead, ChartUse
from refmatch.swatch.chart import correction
from refmatch.swatch.dab import Known
from refmatch.verbs.dabs.found import at_end, error_of


def known_of_chart(chart: ChartRead | None, photo: int = 0) -> tuple[Known, ...]:
    """Return the patches that can be used; none where no chart was found.

    A clipped patch is among them: to a fit it is a bound, and a correction leaves it out.
    """
    return () if chart is None else tuple(_known(patch, photo) for patch in chart.patches)


def use_of_chart(chart: ChartRead | None, known: tuple[Known, ...], photo: str) -> ChartUse:
    """Return what is told of a photo's chart."""
    try:
        residual = correction(known).residual
    except ValueError:
        residual = None
    return ChartUse(photo, chart is not None, len(known), residual)


def _known(each: ChartPatch, photo: int) -> Known:
    patch = each.patch
    return Known(
        label=f"chart, patch {each.number + 1}",
        reflectance=each.reflectance,
        on_chart=each.at,
        xyz=patch.xyz,
        sigma=error_of(patch.spread),
        high=at_end(patch.clipped_high),
        low=at_end(patch.clipped_low),
        shading=patch.shading,
        paper=float(patch.xyz[1]),  # how the light falls was told by a surface as bright as this
        photo=photo,
    )
