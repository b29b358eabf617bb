"""Palettes of the trade to begin with, and all that could be bought.

Each palette is a list of parts to be played, and the pigments that play each, the usual
one first. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from refmatch.paint.box import WHITES, Box, Tube, built_in_tube
from refmatch.paint.library import pigments

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
        for pigment in pigments().values()
        if pigment.key not in WHITES and not FLEETING & set(pigment.cautions)
    ]
    white = box.white if box.parts == "volume" else built_in_tube("titanium-white")
    tubes = (white, *(built_in_tube(p.key, p.key.replace("-", " ")) for p in worth))
    return replace(box, name="all pigments", tubes=tubes, parts="volume")


def _played(name: str, roles: Roles, box: Box) -> KnownPalette:
    tubes, missing = [box.white.name], []
    for role, serving in roles.items():
        found = next((tube for key in serving for tube in _holding(box, key, tubes)), None)
        if found is None:
            missing.append(role)
        else:
            tubes.append(found.name)
    return KnownPalette(name, tuple(tubes), tuple(missing))


def _holding(box: Box, key: str, taken: list[str]) -> list[Tube]:
    """Return the tubes of one pigment alone that play no part yet."""
    return [tube for tube in box.tubes if tube.keys == (key,) and tube.name not in taken]
