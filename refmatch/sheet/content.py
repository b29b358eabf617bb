"""What a mixing sheet says, page by page, as plain data: words, Labs and places.

Every writer (PDF, text, JSON) prints this and decides nothing about colour.
Lengths on the photo are shares of its frame, 0 to 1 from the top left.
"""

from __future__ import annotations

from dataclasses import dataclass

from refmatch.colorimetry.spectrum import Array
from refmatch.sheet.plan_content import PlanShown


@dataclass(frozen=True)
class Mark:
    """A numbered hole on the photo: centre as shares of width and height.

    ``diameter`` is a share of the frame's width.
    """

    number: int
    label: str
    x: float
    y: float
    diameter: float


@dataclass(frozen=True, eq=False)
class OtherShown:
    """Another photo that the painting is painted from: its picture, encoded, and its holes."""

    name: str
    light: str
    photo: bytes
    aspect: float
    marks: tuple[Mark, ...]


@dataclass(frozen=True, eq=False)
class MassShare:
    """A mass of the picture in the bar of shares; ``number`` where it is a slip too.

    ``words`` are its name and its value.
    """

    number: int | None
    label: str
    lab: Array
    share: float
    words: str

    @property
    def percent(self) -> str:
        """Its share of the picture: "12 %", "<1 %"."""
        return f"{100.0 * self.share:.0f} %" if self.share >= 0.005 else "<1 %"


@dataclass(frozen=True, eq=False)
class Squeeze:
    """How much of a tube to lay out, and which slips it serves.

    ``volume_ml`` is what the puddles take, ``size`` its everyday word.
    """

    tube: str
    pigments: str
    masstone: Array
    tint: Array
    volume_ml: float
    size: str
    serves: str


@dataclass(frozen=True, eq=False)
class PartLine:
    """A row of the recipe: a figure, what it counts, and the colour that is laid out."""

    figure: str
    words: str
    lab: Array
    share: float


@dataclass(frozen=True, eq=False)
class StepLine:
    """One thing the hand does, the colour after it, and what to watch for."""

    words: str
    lab: Array
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Alternative:
    """Another way to the colour, in one line; ``better`` says what at, "" of older paintings."""

    why: str
    parts: str
    lab: Array
    distance: str
    remarks: str
    better: str = ""

    @property
    def words(self) -> str:
        """Its parts, how near it comes, what it is better at, what to beware of."""
        near = "; ".join(part for part in (self.distance, self.better) if part)
        return f"{self.parts} ({near}). {self.remarks}".rstrip()


@dataclass(frozen=True, eq=False)
class RoundLine:
    """A dab that was looked at: when, its colours beside the target's then, how far off, what next.

    ``photographed`` is what its photo said alone, ``seen`` what photo and recipe said together.
    ``done`` says what was done to the puddle then, "" where nothing is known of it.
    """

    when: str
    target: Array
    photographed: Array
    seen: Array
    words: str
    done: str


@dataclass(frozen=True, eq=False)
class NudgeLine:
    """A way in which a puddle is nudged: what leads there, in words and figures.

    ``lab`` is the colour after it, None where nothing leads that way.
    """

    direction: str
    lab: Array | None
    words: str
    differences: str


@dataclass(frozen=True, eq=False)
class GreyLine:
    """A step of a string to grey: "4 + 1", its colour, its value, and what holds that, if any."""

    parts: str
    lab: Array
    value: str
    holds: str
    words: str


@dataclass(frozen=True, eq=False)
class Lesson:
    """What moves the puddle of a slip each way, what is reached for instead, and what greys it.

    ``to_grey`` are the steps of its string, none where nothing greys it; ``to_grey_words`` say so.
    """

    number: int
    label: str
    parts: str
    mix: Array
    nudges: tuple[NudgeLine, ...]
    instead: tuple[NudgeLine, ...]
    value: str
    to_grey_words: str
    to_grey: tuple[GreyLine, ...]


@dataclass(frozen=True, eq=False)
class Slip:
    """All that is said of one target; ``mix`` and the rest are empty without a recipe.

    ``straight`` tells the tubes of a puddle that a plan draws from another, "" of any other.
    ``history`` are the dabs looked at, oldest first; ``earlier`` says how many more there were.
    ``also`` are the numbers of other targets that the same puddle does for, ``one_puddle`` says so.
    ``distance`` is the verdict and what to expect, ``figures`` what is reckoned behind it.
    ``layer`` is its layer and medium, "" where nothing is said of them.
    """

    number: int
    label: str
    words: str
    neighbours: tuple[str, ...]
    target: Array
    target_numbers: str
    mix: Array | None
    parts: tuple[PartLine, ...]
    total: str
    steps: tuple[StepLine, ...]
    difference: str
    distance: str
    differences: str
    trade: str
    alternatives: tuple[Alternative, ...]
    flags: tuple[str, ...]
    out_of_reach: str | None
    history: tuple[RoundLine, ...] = ()
    earlier: str = ""
    straight: str = ""
    also: tuple[int, ...] = ()
    one_puddle: str = ""
    figures: str = ""
    layer: str = ""


@dataclass(frozen=True, eq=False)
class EaselLine:
    """A puddle on the easel page: its place in the work, what it is for, and what goes in.

    ``numbers`` are those on the photo, none of a puddle that others are only drawn from; then
    ``target`` is None too. ``parts`` are pairs of a figure and what it counts; ``remark`` says
    what else the hand must know, "" for nothing.
    """

    order: int
    numbers: tuple[int, ...]
    label: str
    value: str
    target: Array | None
    mix: Array | None
    parts: tuple[tuple[str, str], ...]
    remark: str


@dataclass(frozen=True)
class GridLine:
    """A line of the drawing's grid: how far along the side, 0 to 1, and what stands at its end."""

    along: float
    label: str


@dataclass(frozen=True)
class Study:
    """The picture as it goes onto the canvas, to transfer the drawing by.

    ``left, top, width, height`` is the part of the photo's frame that the canvas shows, in shares
    of it; ``aspect`` the canvas's width to its height. ``across`` are the upright lines, from
    the left, ``down`` the level ones, from the top.
    """

    left: float
    top: float
    width: float
    height: float
    aspect: float
    across: tuple[GridLine, ...]
    down: tuple[GridLine, ...]
    words: str


@dataclass(frozen=True, eq=False)
class CoatLine:
    """A puddle of a layer: its number and name, the mix, its medium and its drying in words."""

    number: int
    label: str
    mix: Array
    words: str


@dataclass(frozen=True, eq=False)
class LayerLine:
    """A layer from the canvas up; ``oil`` is how fat it is, 0 to 1.

    ``wait`` says how long the one below dries first, "" of the lowest.
    """

    name: str
    oil: float
    wait: str
    words: str
    cautions: tuple[str, ...]
    puddles: tuple[CoatLine, ...]


@dataclass(frozen=True, eq=False)
class GroundShown:
    """The ground of the canvas, Lab, and the targets on it: the number and the colour of each."""

    lab: tuple[float, float, float]
    targets: tuple[tuple[int, Array], ...]
    words: str


@dataclass(frozen=True, eq=False)
class LayersShown:
    """The page of layers; ``ground`` is None where nothing is said of it."""

    words: str
    lines: tuple[LayerLine, ...]
    whole: str
    cares: tuple[str, ...]
    ground: GroundShown | None


@dataclass(frozen=True, eq=False)
class CanvasRow:
    """A mass or hole of the canvas: its colour as it should be and as it is, (3,) both, in words.

    ``value`` and ``canvas_value`` are Munsell values as they are printed.
    """

    label: str
    target: Array
    seen: Array
    value: str
    canvas_value: str
    verdict: str


@dataclass(frozen=True, eq=False)
class CanvasShown:
    """The last sitting's canvas: what is said of it, and pictures of reference and canvas.

    ``pictures`` are the words over a pair, the reference and the canvas, encoded.
    """

    heading: str
    words: tuple[str, ...]
    rows: tuple[CanvasRow, ...]
    pictures: tuple[tuple[str, bytes, bytes], ...]


@dataclass(frozen=True, eq=False)
class Content:
    """The whole sheet. ``photo`` and ``values`` are encoded pictures (JPEG or PNG).

    ``lessons`` are there where they were asked for, one for each slip with a recipe; so is
    the ``plan`` of the whole painting. ``pages`` is "all", "easel" or "slips", ``slip_size``
    "full" or "compact"; what is left out so is empty here already.
    """

    title: str
    date: str
    light: str
    photo: bytes
    aspect: float
    marks: tuple[Mark, ...]
    values: bytes | None
    values_words: str
    masses: tuple[MassShare, ...]
    palette: tuple[Squeeze, ...]
    palette_words: str
    unused: str
    cautions: tuple[str, ...]
    advice: tuple[str, ...]
    flags: tuple[str, ...]
    colours_of: str
    slips: tuple[Slip, ...]
    lessons: tuple[Lesson, ...] = ()
    lessons_words: str = ""
    plan: PlanShown | None = None
    easel: tuple[EaselLine, ...] = ()
    easel_words: str = ""
    study: Study | None = None
    canvas: CanvasShown | None = None
    pages: str = "all"
    slip_size: str = "full"
    layers: LayersShown | None = None
    others: tuple[OtherShown, ...] = ()
