"""What the painter asked for: the few words and places from which all else is reckoned.

Kept apart from what was found out, so that a step can be taken back by going back
to what was asked before it, and nothing else need be remembered.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from refmatch.errors import UsageError
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import Frame
from refmatch.plan.amounts import Canvas
from refmatch.plan.layers import Coat, coat
from refmatch.recipe.habits import Habits
from refmatch.recipe.solve import Options


@dataclass(frozen=True)
class AskedHole:
    """A hole to punch, and how its colour is to be mixed.

    ``key`` stays with the hole whatever its number; ``label`` is "" until it is named.
    The place is in pixels of the whole upright photo, so that another crop leaves it
    where it is. ``choice`` is the `why` of the recipe chosen, "" for the first. ``share`` is the
    part of the picture, 0 to 1, of the mass that the hole was punched for, None for no mass.
    ``layer`` is the layer of paint that the puddle is for, "" for none in particular; ``medium``
    what is worked into it, "" for nothing, and ``medium_percent`` how much, None for the usual.
    ``dry`` is the Lab of the dry passage that is to be met again, None where the photo is.
    ``photo`` names the photo that it is punched in, "" the painting's own.
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
    layer: str = ""
    medium: str = ""
    medium_percent: float | None = None
    dry: tuple[float, float, float] | None = None
    photo: str = ""
    alone: bool = False


@dataclass(frozen=True)
class AskedPhoto:
    """Another photo that the painting is painted from, beside its own: a sky, a sitter.

    ``name`` is what its holes call it, ``file`` its untouched copy within the painting's folder,
    ``sha256`` the digest of its bytes (hex). ``light`` and ``frame`` are its own.
    """

    name: str
    file: str
    sha256: str
    light: AskedLight = field(default_factory=AskedLight)
    frame: Frame | None = None


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
    is mixed as that says; without, each alone. ``ground`` is that of the canvas, one of
    `refmatch.photo.picture.GROUNDS`, "" where nothing is said of it. ``photos`` are those that it
    is painted from besides its own.
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
    ground: str = ""
    photos: tuple[AskedPhoto, ...] = ()


PHOTO_NAME = re.compile(r"[^\W\d_][\w -]{0,30}")
"""A photo's name begins with a letter, so that no place in a photo is taken for it."""


def photo_named(asked: Asked, name: str) -> AskedPhoto:
    """Return the photo beside the painting's own that a hole calls by its name.

    Raises:
        UsageError: there is none.
    """
    for photo in asked.photos:
        if photo.name == name:
            return photo
    raise UsageError("no_photo_called", photo=name, known=tuple(each.name for each in asked.photos))


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


def coats_of(holes: Sequence[AskedHole]) -> tuple[Coat, ...]:
    """Return the layer and the medium of each hole's puddle; () where nothing is said of any.

    Raises:
        UsageError: no such layer or medium, or so much of it is not offered.
    """
    if not any(hole.layer or hole.medium for hole in holes):
        return ()
    return tuple(coat_of(hole) for hole in holes)


def coat_of(hole: AskedHole) -> Coat:
    """Return the layer and the medium of a hole's puddle; see `coats_of`."""
    percent = hole.medium_percent
    return coat(hole.layer, hole.medium, None if percent is None else percent / 100.0)


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
