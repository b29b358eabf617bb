"""What a recipe is: portions of tubes, the colour they make, and the way to mix them."""

from __future__ import annotations

from dataclasses import dataclass, field

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag


@dataclass(frozen=True)
class Portion:
    """Parts of one tube in the whole recipe, let-downs resolved into their tubes."""

    tube: str
    pigments: tuple[str, ...]
    parts: float


@dataclass(frozen=True)
class Laid:
    """Whole parts that the hand lays out: of a tube, or of a let-down of it in white.

    ``let_down_white_parts`` is 0 for the tube itself and 9 for the let-down "1 to 9 white".
    """

    tube: str
    parts: int
    let_down_white_parts: int = 0


@dataclass(frozen=True, eq=False)
class Step:
    """One thing the hand does, and the colour of the puddle after it.

    ``action`` is one of "let down", "lay out", "add", "keep back", "draw into white",
    "white last"; ``text`` is the sentence for the painter; ``tube`` and ``parts``
    say what goes in (None where nothing does); ``lab`` is the predicted colour after
    the step.
    """

    action: str
    text: str
    tube: str | None
    parts: float | None
    lab: Array
    flags: tuple[Flag, ...] = ()


@dataclass(frozen=True, eq=False)
class FromPuddle:
    """The puddle of a plan that a recipe is drawn from, and how many parts of it are taken.

    ``number`` is its place in the order of work, from 1; ``lab`` its colour.
    """

    number: int
    label: str
    parts: int
    lab: Array


@dataclass(frozen=True, eq=False)
class Recipe:
    """Parts of tubes for one target, with what is known and doubted about the colour.

    ``lab`` is the predicted colour of the exact parts; ``delta_e_00`` its distance
    from the target; ``delta_e_00_hand`` the median distance when a hand lays out
    the parts; ``delta_e_00_hand_p90`` its 90th percentile; ``objective`` what the solver ranks by;
    ``delta_lstar``, ``delta_cstar``, ``delta_hstar`` are recipe minus target.
    ``why`` names the alternative: "closest", "fewest tubes", "without black" ...
    ``trade`` says what the first choice gives up and gains beside the closest.
    ``covariance`` (3, 3) is how far the colour of exact parts may be from ``lab``.
    ``from_puddle`` is what is taken first where a plan draws the colour from another puddle;
    ``laid_out`` is then what is worked into that, nothing where the puddle does as it is, and
    ``portions`` are still all that is in it, that puddle's tubes too.
    ``delta_e_00_expected`` is what half of real puddles lie within, of this hand and these tubes,
    and ``delta_e_00_expected_p90`` nine in ten; None in paintings that were saved without them.
    ``verdict`` is a word for that: "match", "good", "near", "far", "another colour".
    ``better`` says what an alternative is better at than the first choice.
    """

    why: str
    laid_out: tuple[Laid, ...]
    portions: tuple[Portion, ...]
    lab: Array
    delta_e_00: float
    delta_e_00_hand: float
    delta_e_00_hand_p90: float
    objective: float
    delta_lstar: float
    delta_cstar: float
    delta_hstar: float
    verdict: str
    words: str
    steps: tuple[Step, ...] = ()
    flags: tuple[Flag, ...] = field(default=())
    trade: str = ""
    covariance: Array | None = None
    from_puddle: FromPuddle | None = None
    delta_e_00_expected: float | None = None
    delta_e_00_expected_p90: float | None = None
    better: str = ""


@dataclass(frozen=True, eq=False)
class Answer:
    """All that is said of one target: recipes best first, and what is out of reach.

    ``in_gamut`` is false where the box cannot reach the target; then ``reach``
    is a sentence: how far, in which direction, and which pigment would help.
    ``gap_delta_e_00`` is None: the search proves none; older paintings hold what was proved then.
    """

    label: str
    target_lab: Array
    in_gamut: bool
    reach: str | None
    recipes: tuple[Recipe, ...]
    flags: tuple[Flag, ...] = ()
    gap_delta_e_00: float | None = None
