"""All that is said of palettes for one picture: the one advised, and what else there is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.paint.box import Box
from refmatch.recipe.outline import outline
from refmatch.recipe.palette.choice import (
    FEWEST,
    Choice,
    best_palette,
    of_tubes,
    one_more,
    smallest,
    without_each,
)
from refmatch.recipe.palette.cores import Cores
from refmatch.recipe.palette.known import KnownPalette, known_palettes

ONE_MORE = 1
"""Tubes beyond the palette advised up to which prices are told."""

FEWEST_PRICED = 3
"""Tubes of the smallest palette whose price is told: below, white and one colour are left."""


@dataclass(frozen=True, eq=False)
class Advice:
    """The palette advised, and what it is compared with.

    ``prices`` are the best palettes of each number of tubes, fewest first; ``without``
    what is left of the palette without each of its colours; ``known`` the palettes of the
    trade, as far as the box has them, and what each does. ``helpers`` run beside them: the
    tube more that helps each most, and what it then does; None where the box holds no more.
    """

    chosen: Choice
    prices: tuple[Choice, ...]
    without: Mapping[str, Choice]
    known: tuple[tuple[KnownPalette, Choice], ...]
    helpers: tuple[tuple[str, Choice] | None, ...]


@dataclass(frozen=True, eq=False)
class Reach:
    """What a palette reaches in hue and chroma, as a closed polygon: a*, b* (n, 2)."""

    name: str
    tubes: tuple[str, ...]
    outline_ab: Array


def advise(
    cores: Cores, shares: Array, count: int | None = None, keep: Sequence[str] = ()
) -> Advice:
    """Return the best palette of ``count`` tubes, or the smallest that reaches all targets.

    ``keep`` names tubes that it must hold.

    Raises:
        UsageError: ``count`` is not offered, or the box has not so many tubes.
    """
    owned = len(cores.box.tubes)
    if count is not None and not FEWEST <= count <= owned:
        raise UsageError(
            "palette_not_offered", count=count, fewest=FEWEST, most=owned, box=cores.box.name
        )
    chosen = best_palette(cores, shares, count, keep) if count else smallest(cores, shares, keep)
    known = known_palettes(cores.box)
    held = sum(name != cores.white for name in set(keep)) + 1
    least = min(max(FEWEST_PRICED, held), len(chosen.tubes))
    most = min(len(chosen.tubes) + ONE_MORE, owned)
    return Advice(
        chosen=chosen,
        prices=tuple(best_palette(cores, shares, n, keep) for n in range(least, most + 1)),
        without=without_each(cores, shares, chosen),
        known=tuple((each, of_tubes(cores, shares, each.tubes)) for each in known),
        helpers=tuple(one_more(cores, shares, each.tubes) for each in known),
    )


def reaches(box: Box, advice: Advice) -> tuple[Reach, ...]:
    """Return the reach of the palette advised, of the whole box, and of those of the trade."""
    named: list[tuple[str, Sequence[str]]] = [
        ("this palette", advice.chosen.tubes),
        (box.name, [tube.name for tube in box.tubes]),
    ]
    named += [(each.name, each.tubes) for each, _ in advice.known if not each.missing]
    return tuple(_reach(box, name, tubes) for name, tubes in named)


def only(box: Box, tubes: Sequence[str]) -> Box:
    """Return the box with these of its tubes alone."""
    return replace(box, tubes=tuple(tube for tube in box.tubes if tube.name in tubes))


def _reach(box: Box, name: str, tubes: Sequence[str]) -> Reach:
    return Reach(name, tuple(tubes), outline(only(box, tubes)).whole)
