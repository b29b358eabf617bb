"""All that is said of palettes for one picture: the one advised, and what else there is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.paint.box import WHITES, Box, Tube, built_in_tube
from refmatch.paint.library import advisable, pigments
from refmatch.plan.choose import (
    FEWEST,
    Choice,
    best_palette,
    of_tubes,
    one_more,
    smallest,
    without_each,
)
from refmatch.plan.cores import Cores
from refmatch.recipe.outline import outline

# Palettes of the trade to begin with, and all that could be bought.
#
# Each palette is a list of parts to be played, and the pigments that play each, the usual
# one first. Common practice, no source.

Roles = Mapping[str, tuple[str, ...]]
"""What each tube of a palette is for, and the pigments that serve, the usual one first."""

EARTHS: Roles = MappingProxyType(
    {
        "a yellow earth": ("yellow-ochre", "raw-sienna"),
        "a red earth": ("burnt-sienna", "red-iron-oxide", "transparent-red-oxide"),
        "a brown": ("raw-umber", "burnt-umber"),
        "a black": ("ivory-black", "mars-black", "lamp-black", "carbon-black"),
    }
)

PRIMARIES: Roles = MappingProxyType(
    {
        "a yellow": (
            "hansa-yellow",
            "cadmium-yellow",
            "cadmium-yellow-light",
            "hansa-yellow-light",
        ),
        "a red": (
            "quinacridone-magenta",
            "quinacridone-rose",
            "quinacridone-crimson",
            "anthraquinone-crimson",
            "alizarin-crimson",
            "pyrrole-red",
        ),
        "a blue": ("phthalo-blue", "cerulean-blue", "cerulean-blue-chromium", "prussian-blue"),
    }
)

WARM_AND_COOL: Roles = MappingProxyType(
    {
        "a warm yellow": ("cadmium-yellow", "diarylide-yellow", "hansa-yellow"),
        "a cool yellow": ("hansa-yellow-light", "cadmium-yellow-light", "hansa-yellow"),
        "a warm red": ("cadmium-red-light", "pyrrole-red", "naphthol-red", "pyrrole-orange"),
        "a cool red": (
            "quinacridone-rose",
            "quinacridone-magenta",
            "quinacridone-crimson",
            "anthraquinone-crimson",
            "alizarin-crimson",
        ),
        "a reddish blue": ("ultramarine-blue", "cobalt-blue", "indanthrone-blue"),
        "a greenish blue": (
            "phthalo-blue",
            "cerulean-blue",
            "cerulean-blue-chromium",
            "prussian-blue",
        ),
    }
)

KNOWN: Mapping[str, Roles] = MappingProxyType(
    {
        "earths and white": EARTHS,
        "three primaries and white": PRIMARIES,
        "a warm and a cool of each": WARM_AND_COOL,
    }
)

FLEETING = frozenset({"fades", "lead"})
"""Cautions of pigments that are not advised: they fade, or poison."""


@dataclass(frozen=True)
class KnownPalette:
    """A palette of the trade as a box can play it: its tubes, and the parts nobody plays."""

    name: str
    tubes: tuple[str, ...]
    missing: tuple[str, ...]


def known_palettes(box: Box) -> tuple[KnownPalette, ...]:
    """Return the palettes of the trade from the tubes of a box, its white with each."""
    return tuple(_played(name, roles, box) for name, roles in KNOWN.items())


def all_to_buy(box: Box) -> Box:
    """Return a box of every pigment that may be advised, with the white of this one.

    Left out are other whites, pigments that fade, and lead. Parts are by volume, as built-in
    curves are; the white of a box by mass is none for them.
    """
    worth = [
        pigment
        for pigment in (pigments()[key] for key in advisable())
        if pigment.key not in WHITES and not FLEETING & set(pigment.cautions)
    ]
    white = box.white if box.parts == "volume" else built_in_tube("titanium-white")
    tubes = (white, *(built_in_tube(p.key, p.key.replace("-", " ")) for p in worth))
    return replace(box, name="all pigments", tubes=tubes, parts="volume")


def _played(name: str, roles: Roles, box: Box) -> KnownPalette:
    tubes, missing = [box.white.name], []
    for role, serving in roles.items():
        player = next((tube for key in serving for tube in _holding(box, key, tubes)), None)
        if player is None:
            missing.append(role)
        else:
            tubes.append(player.name)
    return KnownPalette(name, tuple(tubes), tuple(missing))


def _holding(box: Box, key: str, taken: list[str]) -> list[Tube]:
    """Return the tubes of one pigment alone that play no part yet."""
    return [tube for tube in box.tubes if tube.keys == (key,) and tube.name not in taken]


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
        known=tuple((palette, of_tubes(cores, shares, palette.tubes)) for palette in known),
        helpers=tuple(one_more(cores, shares, palette.tubes) for palette in known),
    )


def reaches(box: Box, advice: Advice) -> tuple[Reach, ...]:
    """Return the reach of the palette advised, of the whole box, and of those of the trade."""
    named: list[tuple[str, Sequence[str]]] = [
        ("this palette", advice.chosen.tubes),
        (box.name, [tube.name for tube in box.tubes]),
    ]
    named += [(palette.name, palette.tubes) for palette, _ in advice.known if not palette.missing]
    return tuple(_reach(box, name, tubes) for name, tubes in named)


def only(box: Box, tubes: Sequence[str]) -> Box:
    """Return the box with these of its tubes alone."""
    return replace(box, tubes=tuple(tube for tube in box.tubes if tube.name in tubes))


def _reach(box: Box, name: str, tubes: Sequence[str]) -> Reach:
    return Reach(name, tuple(tubes), outline(only(box, tubes)).whole)
