"""What a painting remembers: the photo's light, the colours wanted, the tubes and the recipes.

Results are stored, not recomputed, so that a sheet made from the folder next
year says what the sheet said today.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.painting.asked import Asked
from refmatch.painting.learnings import Learnt
from refmatch.painting.rounds import Look, Round
from refmatch.painting.saved_file import SavedFile
from refmatch.photo.light.balance import Balance
from refmatch.photo.load import Frame
from refmatch.plan.whole import WholePlan
from refmatch.recipe.model import Answer, Recipe
from refmatch.target import Target

SCHEMA = 4
"""Version of the saved form; a painting of a newer one is refused, of an older one upgraded."""


@dataclass(frozen=True)
class TargetWords:
    """A target in words: "value 7½, yellow-green, strong", and beside its neighbours."""

    colour: str
    neighbours: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Mass:
    """A family of the photo's colours, as a mass of the picture; ``share`` is 0 to 1."""

    label: str
    lab: Array
    share: float


@dataclass(frozen=True)
class SavedValues:
    """The value study: each step's Munsell value, dark to light, and its share of the picture."""

    steps: tuple[float, ...]
    shares: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class TubeOnTable:
    """A tube as the sheet shows it: masstone, tint (1 to 9 white), and what to beware of."""

    name: str
    pigments: tuple[str, ...]
    is_white: bool
    masstone: Array
    tint: Array
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Painting:
    """The saved state of one painting: what was asked for, and all that came of it.

    ``asked`` is the request; everything else but the record is reckoned from it and the photo
    (`painting.reckon`), and stored as it was. ``targets``, ``words``, ``recipes`` and ``chosen``
    run side by side: for each target its words, its `Answer` and which of its recipes was chosen
    (0 is the best). With a ``plan`` the targets are those that it mixes for, keyed where it is,
    and the recipes its own; without, each colour is mixed alone, from the whole box. ``box`` is
    the whole box as TOML text; ``table`` the same tubes as the sheet shows them. ``pictures``
    names the pictures drawn from the photo: "balanced" (the frame, in sRGB) and "values" (the
    value study). ``finish`` is how the paint's skin is taken to shine, ``parts_by`` "volume" or
    "mass". ``frame`` is the part of the upright photo that is painted; targets are placed from its
    own corner, as on a `Photo`.
    ``looks`` are the photos of dabs, ``rounds`` what each said of each pile (`painting.rounds`),
    ``sheets`` the sheets written, as plain JSON, ``learnings`` what the box has learnt from the
    dabs; all oldest first. ``learns`` says whether it learns after every look. ``step`` is the
    step of the painting's history at which it stands, and ``revision`` counts the states saved.
    """

    title: str
    date: str
    photo: SavedFile
    asked: Asked
    frame: Frame
    balance: Balance
    viewing: str
    targets: tuple[Target, ...]
    words: tuple[TargetWords, ...]
    recipes: tuple[Answer, ...]
    chosen: tuple[int, ...]
    families: tuple[Mass, ...]
    values: SavedValues | None
    box: str
    table: tuple[TubeOnTable, ...]
    plan: WholePlan | None = None
    parts_by: str = "volume"
    finish: str = "gloss"
    flags: tuple[Flag, ...] = ()
    pictures: Mapping[str, SavedFile] | None = None
    looks: tuple[Look, ...] = ()
    rounds: tuple[Round, ...] = ()
    sheets: tuple[Mapping[str, Any], ...] = ()
    learnings: tuple[Learnt, ...] = ()
    learns: bool = False
    step: int = 0
    revision: int = 0


def chosen_recipe(painting: Painting, index: int) -> Recipe | None:
    """Return the recipe chosen for a target, None where there is no recipe at all."""
    recipes = painting.recipes[index].recipes
    return recipes[painting.chosen[index]] if recipes else None
