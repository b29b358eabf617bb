"""A pile judged by its dab: what was looked at, what it is, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.recipe.model import Recipe
from refmatch.recipe.solve import Options
from refmatch.swatch.correct import Advice
from refmatch.swatch.dab import Spot
from refmatch.swatch.pile import Pile
from refmatch.swatch.words import Verdict

ALONE = "1"
"""What a dab is called that belongs to no painting."""

AS_USUAL = Options()


@dataclass(frozen=True, eq=False)
class Job:
    """A pile to be judged: its target, what is meant to be in it, and which look at it this is.

    ``options`` say how a fresh recipe may look.
    """

    label: str
    target_lab: Array
    parts: tuple[tuple[str, float], ...]
    pile: int = 1
    number: int = 1
    corrections: int = 0
    options: Options = AS_USUAL


@dataclass(frozen=True, eq=False)
class Checked:
    """One pile judged.

    ``measured_lab`` is what the photo says alone, ``lab`` what recipe and photo say together, each
    with its covariance (3, 3); ``pile`` is the puddle that has this colour; ``delta_lstar``,
    ``delta_cstar`` and ``delta_hstar`` are pile minus target. ``fresh`` is the recipe to mix anew,
    where that is advised, and ``fresh_pile`` what it makes of the tubes as this photo has them.
    """

    job: Job
    spot: Spot
    measured_lab: Array
    measured_covariance: Array
    lab: Array
    covariance: Array
    pile: Pile
    delta_lstar: float
    delta_cstar: float
    delta_hstar: float
    verdict: Verdict
    advice: Advice
    fresh: Recipe | None
    fresh_pile: Pile | None
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class Checks:
    """What was found of each pile that a photo shows.

    ``way`` names by what they were looked at, ``state`` how they dried, ``light`` what was said of
    it, None where nothing was. ``whole_card`` is whether all dabs of a card were asked for.
    ``learnt`` are the sentences of what a box has learnt from them. ``outlines`` (4, 2) are
    the dabs' windows in the photo, in pixels, by label, where a card told of them.
    """

    photo: str
    box: Box
    found: tuple[Checked, ...]
    way: str
    state: str
    light: str | None
    whole_card: bool
    flags: tuple[Flag, ...]
    learnt: tuple[str, ...] = ()
    outlines: Mapping[str, Array] = field(default_factory=dict)
