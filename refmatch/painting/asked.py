"""What the painter asked for: the few words and places from which all else is reckoned.

Kept apart from what was found out, so that a step can be taken back by going back
to what was asked before it, and nothing else need be remembered.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import Frame
from refmatch.plan.amounts import Canvas
from refmatch.recipe.habits import Habits
from refmatch.recipe.solve import Options


@dataclass(frozen=True)
class AskedHole:
    """A hole to punch, and how its colour is to be mixed.

    ``key`` stays with the hole whatever its number; ``label`` is "" until it is named.
    The place is in pixels of the whole upright photo, so that another crop leaves it
    where it is. ``choice`` is the `why` of the recipe chosen, "" for the first. ``share`` is the
    part of the picture, 0 to 1, of the mass that the hole was punched for, None for no mass.
    ``alone`` is mixed by itself, though an earlier hole has the same colour.
    """

    key: str
    x_px: float
    y_px: float
    diameter_px: float
    label: str = ""
    without: tuple[str, ...] = ()
    insist: tuple[str, ...] = ()
    choice: str = ""
    share: float | None = None
    alone: bool = False


@dataclass(frozen=True)
class AskedMixing:
    """What goes for every recipe: how large it may be, the habits, how the paint is looked at.

    ``insist`` are tubes that every recipe must hold. ``finish`` is how the dry paint shines;
    ``lamp`` under which light mixes are shown.
    """

    tubes: int = 4
    total: int = 32
    insist: tuple[str, ...] = ()
    easy_on_black: bool = False
    no_white_in_darks: bool = False
    no_stray_green: bool = False
    finish: str = "gloss"
    lamp: str = "D50"


@dataclass(frozen=True)
class AskedPlan:
    """That the painting is mixed by one plan: a key, a palette, few puddles.

    ``keyed`` says whether the values are keyed to what the tubes reach. ``tubes`` is how many the
    palette may have, the white with them, None for the fewest that do; it holds those named in
    ``keep``. With ``buy`` it is chosen from all built-in pigments, whatever is in the box.
    """

    keyed: bool = True
    tubes: int | None = None
    keep: tuple[str, ...] = ()
    buy: bool = False


@dataclass(frozen=True)
class Asked:
    """All that was asked for one painting.

    ``frame`` is the part of the upright photo that is painted, None for the whole;
    ``box`` the box as TOML text; ``away`` the tubes not on the table today; ``masses`` how
    many masses the picture is seen in, None for as many as it has. With a ``plan`` every colour
    is mixed as that says; without, each alone.
    """

    title: str
    box: str
    light: AskedLight = field(default_factory=AskedLight)
    frame: Frame | None = None
    canvas: Canvas | None = None
    holes: tuple[AskedHole, ...] = ()
    away: tuple[str, ...] = ()
    masses: int | None = None
    mixing: AskedMixing = field(default_factory=AskedMixing)
    plan: AskedPlan | None = None


def options_of(asked: Asked, hole: AskedHole | None = None) -> Options:
    """Return how recipes may look: the painting's limits and habits, and those of a hole.

    A tube insisted on but not on the table today is passed over until it is back.

    Raises:
        UsageError: so many tubes or parts are not offered.
    """
    mixing = asked.mixing
    own_without, own_insist = (hole.without, hole.insist) if hole else ((), ())
    insist = dict.fromkeys((*mixing.insist, *own_insist))
    habits = Habits(
        without=tuple(dict.fromkeys((*asked.away, *own_without))),
        insist=tuple(name for name in insist if name not in asked.away),
        easy_on_black=mixing.easy_on_black,
        no_white_in_darks=mixing.no_white_in_darks,
        no_stray_green=mixing.no_stray_green,
    )
    return Options(mixing.tubes, mixing.total, habits)


def labels_of(holes: Sequence[AskedHole]) -> tuple[str, ...]:
    """Return each hole's name, or its number where it has none."""
    return tuple(hole.label or str(number) for number, hole in enumerate(holes, start=1))


def place_of(hole: AskedHole) -> tuple[float, float, float]:
    """Return centre and diameter in pixels of the whole photo."""
    return hole.x_px, hole.y_px, hole.diameter_px


def key_for(place: tuple[float, float, float], taken: Iterable[str]) -> str:
    """Return the key of a hole punched at a place: there always the same, and none of others.

    So a hole that is asked for again is the same hole, and what was seen of its puddle its own.
    """
    known, word = set(taken), "{:.1f},{:.1f},{:.1f}".format(*place)
    while True:
        key = f"h{hashlib.blake2b(word.encode(), digest_size=4).hexdigest()}"
        if key not in known:
            return key
        word += "+"
