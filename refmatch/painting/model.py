"""What a painting remembers: its light, the colours wanted, tubes, recipes, and its dabs.

Results are stored, not recomputed, so that a sheet made from the folder next year says what the
sheet said today; what was advised and done is kept as it was said. A photo of dabs is kept as it
was read, so that a box can learn from it years later.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.additions import Parts
from refmatch.dabs.beside import Beside
from refmatch.dabs.learn import Change
from refmatch.dabs.spot import Spot
from refmatch.errors import PaintingError
from refmatch.flag import Flag
from refmatch.painting.asked import Asked
from refmatch.photo.light.balance import Balance
from refmatch.photo.load import Frame
from refmatch.plan.layers import PaintLayer
from refmatch.plan.whole import WholePlan
from refmatch.recipe.model import Answer, Recipe
from refmatch.target import Target


@dataclass(frozen=True)
class SavedFile:
    """A file of the folder, by its name from the folder, and the SHA-256 of its bytes (hex)."""

    file: str
    sha256: str


def digest_of(path: Path) -> str:
    """Return the SHA-256 of a file's bytes, in hex.

    Raises:
        OSError: it cannot be read.
    """
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def plain_name(name: str, folder: Path) -> str:
    """Return a name that stays in its folder; refuse any other, as a passed-on painting may hold.

    Raises:
        PaintingError: it would lead out of the folder.
    """
    if name in ("", ".", "..") or "/" in name or "\\" in name:
        raise PaintingError("file_outside_folder", folder=str(folder), file=name)
    return name


Curves = tuple[tuple[float, ...], tuple[float, ...]]
"""K and S of one part of a puddle, of 31 bands each."""


@dataclass(frozen=True)
class Look:
    """A photo of dabs, kept in the folder, and what is known in it.

    ``light`` is what the painter said of it, "" where nothing; ``state`` is "wet", "dry" or
    "sunk"; ``way`` names by what it was judged: "chart", "grey card", "grey card, white and
    black", "side by side".
    """

    photo: SavedFile
    date: str
    light: str
    state: str
    way: str
    beside: tuple[Beside, ...]


@dataclass(frozen=True)
class Added:
    """So many parts of something worked into a pile, counted as the pile's own.

    ``own`` says of which tubes it is made and in what proportion, whatever its sum. ``curves``
    are those of another puddle, as it was believed to be; None where the box tells.
    """

    name: str
    parts: float
    own: Parts
    curves: Curves | None = None


@dataclass(frozen=True, eq=False)
class Advised:
    """One correction: what to add, in order, and where it was said to lead.

    The parts are those of the pile that is corrected: a third of it where it is divided.
    """

    additions: tuple[Added, ...]
    predicted_lab: Array
    predicted_delta_e_00: float
    words: str


@dataclass(frozen=True)
class Done:
    """What the painter did then: whether the pile was divided first, and what was added.

    ``anew`` means that another pile was mixed instead, of all the ``additions``, and this one given
    up; without additions it was mixed by the recipe chosen.
    """

    divided: bool
    additions: tuple[Added, ...]
    words: str
    anew: bool = False


@dataclass(frozen=True, eq=False)
class Round:
    """One pile looked at in one photo.

    ``target`` is the label and ``target_lab`` the colour as it then was. ``pile`` counts the
    piles mixed for this target from 1, ``number`` the looks at this pile. ``parts`` are what is
    meant to be in it. ``measured_lab`` is what the photo says alone, ``lab`` what recipe and
    photo say together, each with its covariance (3, 3). ``verdict`` and ``words`` are those of
    `refmatch.dabs.verdict.judge`; ``corrections`` the advice, best first, for a third of the pile
    where ``divide``; ``fresh``, ``advice`` (a sentence): see `refmatch.dabs.correct.Advice`;
    ``fresh_parts`` are the recipe told to be mixed anew, () where none was.
    ``look`` is the SHA-256 of its photo. ``done`` is None until something was.
    ``curves`` (2, 31) are K and S of one part of the pile as it is believed to be, and
    ``fresh_curves`` those of the recipe told, by the tubes as this photo has them; None in a
    record of an older refmatch.
    """

    target: str
    target_lab: Array
    pile: int
    number: int
    look: str
    spot: Spot
    parts: Parts
    measured_lab: Array
    measured_covariance: Array
    lab: Array
    covariance: Array
    delta_e_00: float
    verdict: str
    words: str
    corrections: tuple[Advised, ...]
    divide: bool
    fresh: bool
    advice: str
    done: Done | None = None
    fresh_parts: Parts = ()
    curves: Array | None = None
    fresh_curves: Array | None = None


@dataclass(frozen=True)
class NotTaken:
    """A photo that was left out, by its SHA-256, why ("alone" is held back), and what to say."""

    look: str
    why: str
    flag: Flag


@dataclass(frozen=True)
class Learnt:
    """One update of a painting's box.

    ``base`` is the box before anything was learnt, ``before`` and ``after`` those around this
    update, ``plan`` the painting before it, without its record. ``taken`` are the photos that it
    rests on, by SHA-256; ``changes`` tell how tubes are beside ``base``.
    """

    date: str
    base: SavedFile
    before: SavedFile
    after: SavedFile
    plan: SavedFile
    taken: tuple[str, ...]
    left_out: tuple[NotTaken, ...]
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Pencilled:
    """What a painter says a target's first puddle was mixed of, before any photo of it.

    ``parts`` are net parts of the box's tubes; ``target`` is the label.
    """

    target: str
    parts: Parts


@dataclass(frozen=True, eq=False)
class SeenRegion:
    """A region of the canvas as a photo had it: see `refmatch.canvas.compare.Region`.

    ``target_lab`` is what it should have been, ``lab`` what it was, (3,) both, with its
    ``covariance`` (3, 3).
    """

    kind: str
    label: str
    target_lab: Array
    lab: Array
    covariance: Array
    share: float
    study: int
    level: int


@dataclass(frozen=True, eq=False)
class CanvasLook:
    """A photo of the canvas at the end of a sitting, kept in the folder, and what it said.

    ``corners_px`` (4, 2) are the canvas' in the photo, from its upper left round. ``light`` is what
    the painter said of it, "" where nothing; ``way`` by what it was judged, "" where nothing in the
    photo was known: then the canvas was judged beside itself alone.
    """

    photo: SavedFile
    date: str
    light: str
    state: str
    way: str
    corners_px: Array
    regions: tuple[SeenRegion, ...]


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
class OtherPhoto:
    """Another photo that the painting is painted from: its light, and the part that is shown.

    Its picture is the one called by `picture_name`.
    """

    name: str
    frame: Frame
    balance: Balance
    flags: tuple[Flag, ...] = ()


def picture_name(photo: str) -> str:
    """Return what the balanced picture of another photo is called among a painting's pictures."""
    return f"photo {photo}"


@dataclass(frozen=True, eq=False)
class Painting:
    """The saved state of one painting: what was asked for, and all that came of it.

    ``asked`` is the request; everything else but the record is reckoned from it and the photo
    (`painting.reckon`), and stored as it was. ``targets``, ``words``, ``recipes`` and ``chosen``
    run side by side: for each target its words, its `Answer` and which of its recipes was chosen
    (0 is the best). With a ``plan`` the targets are those that it mixes for, keyed where it is,
    and the recipes its own; without, each colour is mixed alone, from the whole box. ``table`` are
    the tubes of the box as the sheet shows them. ``pictures`` names the pictures drawn from the
    photo: "balanced" (the frame, in sRGB) and "values" (the value study). ``parts_by`` is "volume"
    or "mass". ``frame`` is the part of the upright photo that is painted; targets are placed from
    its own corner, as on a `Photo`.
    ``looks`` are the photos of dabs, ``rounds`` what each said of each pile,
    ``sheets`` the sheets written, as plain JSON, ``learnings`` what the box has learnt from the
    dabs; all oldest first. ``learns`` says whether it learns after every look. ``pencilled`` are
    first puddles that were mixed of other parts than their recipes'. ``canvases`` are the photos of
    the canvas, one for each sitting, oldest first. ``step`` is the
    step of the painting's history at which it stands, and ``revision`` counts the states saved.
    ``layers`` are those that the painting is built in, from the canvas up, none where nothing is
    asked of them; ``others`` are the photos besides its own.
    """

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
    table: tuple[TubeOnTable, ...]
    plan: WholePlan | None = None
    parts_by: str = "volume"
    flags: tuple[Flag, ...] = ()
    pictures: Mapping[str, SavedFile] | None = None
    looks: tuple[Look, ...] = ()
    rounds: tuple[Round, ...] = ()
    sheets: tuple[Mapping[str, Any], ...] = ()
    learnings: tuple[Learnt, ...] = ()
    learns: bool = False
    pencilled: tuple[Pencilled, ...] = ()
    canvases: tuple[CanvasLook, ...] = ()
    step: int = 0
    revision: int = 0
    layers: tuple[PaintLayer, ...] = ()
    others: tuple[OtherPhoto, ...] = ()

    @property
    def title(self) -> str:
        """What the painting is called."""
        return self.asked.title

    @property
    def box(self) -> str:
        """The whole box as TOML text."""
        return self.asked.box

    @property
    def finish(self) -> str:
        """How the paint's skin is taken to shine."""
        return self.asked.mixing.finish


def chosen_recipe(painting: Painting, index: int) -> Recipe | None:
    """Return the recipe chosen for a target, None where there is no recipe at all."""
    recipes = painting.recipes[index].recipes
    return recipes[painting.chosen[index]] if recipes else None
