"""One slip: a colour, the parts that make it, the way there, and room for the painter's dabs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from refmatch.colorimetry.spectrum import Array
from refmatch.say.sentence import capital
from refmatch.sheet.blocks import Block, Row, Stack, Text, safe, strong
from refmatch.sheet.content import Alternative, PartLine, RoundLine, Slip, StepLine
from refmatch.sheet.pen import BOLD, GROUND, PLAIN, SOFT, WHITE, Area, Pen

# The rows of a slip: its title, the bar of proportions, parts, steps, other ways, warnings.


@dataclass(frozen=True)
class Title:
    """The slip's number on a black plate, and its label."""

    number: int
    label: str
    width: float
    size: float

    @cached_property
    def _words(self) -> Text:
        across = self.width - 2.4 * self.size
        return Text(strong(self.label), across, self.size, leading=1.15, most_lines=4)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 1.35 * self.size)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        pen.badge(x, y, str(self.number), self.size, BOLD)
        self._words.draw(pen, x + 2.4 * self.size, y + 0.06 * self.size)


@dataclass(frozen=True)
class Bar:
    """The proportions of the recipe as one bar of its colours."""

    parts: tuple[PartLine, ...]
    width: float
    thick: float

    @property
    def height(self) -> float:
        """Height in points."""
        return self.thick if self.parts else 0.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        left = x
        for part in self.parts:
            pen.paint(Area(left, y, part.share * self.width, self.thick), part.lab)
            left += part.share * self.width
            if left < x + self.width - 0.01:
                pen.rule(left, y, left, y + self.thick, 0.4)
        pen.frame(Area(x, y, self.width, self.thick), 0.5)


@dataclass(frozen=True)
class PartRow:
    """A big figure, the colour laid out, and what the figure counts."""

    part: PartLine
    width: float
    scale: float

    @cached_property
    def _words(self) -> Text:
        return Text(safe(self.part.words), self.width - 50.0 * self.scale, 11.0 * self.scale)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height + 3.5 * self.scale, 18.0 * self.scale)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        scale = self.scale
        pen.word_right(x + 28.0 * scale, y + 15.0 * scale, self.part.figure, 18.0 * scale, BOLD)
        swatch(
            pen, Area(x + 34.0 * scale, y + 4.5 * scale, 11.0 * scale, 11.0 * scale), self.part.lab
        )
        self._words.draw(pen, x + 50.0 * scale, y + 3.0 * scale)


@dataclass(frozen=True)
class StepRow:
    """What the hand does, beside the colour of the puddle after it."""

    step: StepLine
    width: float
    scale: float

    @cached_property
    def _words(self) -> Stack:
        across, size = self.width - 24.0 * self.scale, 9.0 * self.scale
        warnings = (WarningRow(text, across, size) for text in self.step.warnings)
        return Stack((Text(safe(self.step.words), across, size), *warnings), gap=1.0)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 18.0 * self.scale)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        side = 18.0 * self.scale
        swatch(pen, Area(x, y, side, side), self.step.lab)
        slack = max(side - self._words.height, 0.0) / 2.0
        self._words.draw(pen, x + 24.0 * self.scale, y + slack)


@dataclass(frozen=True)
class AlternativeRow:
    """Another recipe in a line, beside its colour."""

    alternative: Alternative
    width: float
    size: float

    @cached_property
    def _words(self) -> Text:
        other = self.alternative
        markup = f"{strong(other.why)}: {safe(other.words)}"
        return Text(markup, self.width - 2.4 * self.size, self.size)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 1.7 * self.size)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        side = 1.7 * self.size
        swatch(pen, Area(x, y, side, side), self.alternative.lab)
        slack = max(side - self._words.height, 0.0) / 2.0
        self._words.draw(pen, x + 2.4 * self.size, y + slack)


@dataclass(frozen=True)
class WarningRow:
    """A sentence behind the sign of warning."""

    text: str
    width: float
    size: float
    font: str = PLAIN

    @cached_property
    def _words(self) -> Text:
        return Text(safe(self.text), self.width - 1.5 * self.size, self.size, self.font)

    @property
    def height(self) -> float:
        """Height in points."""
        return self._words.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        pen.warning(x + 0.5, y + 0.2 * self.size, 0.9 * self.size)
        self._words.draw(pen, x + 1.5 * self.size, y)


def swatch(pen: Pen, area: Area, lab: Array) -> None:
    """Draw a small field of a colour inside a thin line."""
    pen.paint(area, lab)
    pen.frame(area, 0.4)


# A puddle's history on its slip: target and dab side by side, and what was done then.

TITLE = "Looked at"
COLOURS = "The dab as photographed, the target, the puddle as believed."


def history_block(slip: Slip, width: float, size: float) -> Block:
    """Return the slip's rounds, oldest first; nothing where no dab was looked at."""
    if not slip.history:
        return Stack(())
    words = " ".join(word for word in (COLOURS, f"{slip.earlier}." if slip.earlier else "") if word)
    title = Text(f"{strong(TITLE)} &nbsp; {safe(words)}", width, size, level=SOFT)
    return Stack((title, *(RoundRow(line, width, size) for line in slip.history)), gap=2.5)


@dataclass(frozen=True)
class RoundRow:
    """One dab: its colours, the day, how far off it was, and what was done."""

    round: RoundLine
    width: float
    size: float

    @cached_property
    def _words(self) -> Text:
        words = f"{self.round.words}; {self.round.done}" if self.round.done else self.round.words
        markup = f"{strong(self.round.when)}: {safe(words)}."
        return Text(markup, self.width - 5.8 * self.size, self.size)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 1.7 * self.size)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        side = 1.7 * self.size
        colours = (self.round.photographed, self.round.target, self.round.seen)
        for number, lab in enumerate(colours):
            pen.paint(Area(x + number * side, y, side, side), lab)
        pen.frame(Area(x, y, 3.0 * side, side), 0.4)
        slack = max(side - self._words.height, 0.0) / 2.0
        self._words.draw(pen, x + 5.8 * self.size, y + slack)


PANEL, DABS, GAP = 0.205, 0.105, 12.0
"""Shares of the slip's width for the colour and for the dabs; points between columns."""


@dataclass(frozen=True)
class SlipBlock:
    """A slip of a width; ``scale`` enlarges its words where there is room."""

    gap: ClassVar[float] = 20.0
    """Points between two of them on a page."""
    most_stretch: ClassVar[float] = 70.0
    """Points by which one grows to fill a page; more becomes room for trials."""

    slip: Slip
    width: float
    scale: float = 1.0

    @property
    def height(self) -> float:
        """The least height in which everything stands."""
        return max(self._middle.height, 128.0 * self.scale)

    def draw_in(self, pen: Pen, area: Area) -> None:
        """Draw the slip in an area at least as high as it; colour and dabs grow with it."""
        panel, dabs = PANEL * area.width, DABS * area.width
        _draw_panel(pen, Area(area.x, area.y, panel, area.height), self.slip)
        self._middle.draw(pen, area.x + panel + GAP, area.y)
        _draw_dabs(pen, Area(area.right - dabs, area.y, dabs, area.height))

    @cached_property
    def _middle(self) -> Stack:
        across = self.width * (1.0 - PANEL - DABS) - 2.0 * GAP
        slip, scale = self.slip, self.scale
        return Stack(
            (
                _head(slip, across, scale),
                *_recipe(slip, across, scale),
                *_below(slip, across, scale),
            ),
            gap=5.0 * scale,
        )


def _head(slip: Slip, width: float, scale: float) -> Block:
    lines = (slip.words, slip.one_puddle, slip.layer)
    words = (Text(safe(line), width, 10.0 * scale) for line in lines if line)
    neighbours = (Text(safe(line), width, 8.5 * scale) for line in slip.neighbours)
    title = Title(slip.number, slip.label, width, 12.5 * scale)
    return Stack((title, *words, *neighbours), gap=1.5 * scale)


def _recipe(slip: Slip, width: float, scale: float) -> tuple[Block, ...]:
    """Return parts and steps side by side, and the verdict where it takes the least room."""
    across = (width - GAP) / 2.0
    rows = (PartRow(part, across, scale) for part in slip.parts)
    below = [Text(safe(slip.total), across, 8.0 * scale, level=SOFT)]
    below += [Text(safe(slip.straight), across, 8.0 * scale)] if slip.straight else []
    recipe = Stack((Bar(slip.parts, across, 9.0 * scale), *rows, *below), gap=2.5 * scale)
    steps = Stack(tuple(StepRow(step, across, scale) for step in slip.steps), gap=3.0 * scale)
    under_recipe = Stack((recipe, _verdict(slip, across, scale)), gap=5.0 * scale)
    if under_recipe.height <= steps.height:
        return (Row(((0.0, under_recipe), (across + GAP, steps))),)
    both = Row(((0.0, recipe), (across + GAP, steps)))
    return (both, _verdict(slip, width, scale))


def verdict_words(slip: Slip) -> str:
    """Return how near the mix comes and how it looks beside the photo, as markup."""
    if not slip.distance:
        return ""
    words = f"As reckoned, mix beside photo: {slip.difference}. {slip.trade}".rstrip()
    return f"{strong(f'{capital(slip.distance)}.')} {safe(words)}"


def _verdict(slip: Slip, width: float, scale: float) -> Block:
    return Text(verdict_words(slip), width, 8.5 * scale)


def _below(slip: Slip, width: float, scale: float) -> tuple[Block, ...]:
    size = 8.5 * scale
    others = tuple(AlternativeRow(other, width, size) for other in slip.alternatives)
    reach = (WarningRow(slip.out_of_reach, width, size, BOLD),) if slip.out_of_reach else ()
    flags = tuple(WarningRow(text, width, size) for text in slip.flags)
    looks = history_block(slip, width, size)
    figures = Text(safe(slip.figures), width, 7.0 * scale, level=SOFT)
    return (looks, Stack(others, gap=3.0), Stack((*reach, *flags), gap=2.0), figures)


def _draw_panel(pen: Pen, area: Area, slip: Slip) -> None:
    """Draw the colour on neutral grey: photo and mix edge to edge, with no line between."""
    pen.grey(area, GROUND)
    patch = Area(area.x + 11.0, area.y + 11.0, area.width - 22.0, area.height - 34.0)
    half = Area(patch.x, patch.y, patch.width / 2.0, patch.height)
    pen.paint(patch, slip.target)
    below = patch.bottom + 15.0
    if slip.mix is None:
        pen.word_middle(patch.x + half.width, below, "photo", 9.0, BOLD, level=WHITE)
        return
    pen.paint(Area(half.right, half.y, half.width, half.height), slip.mix)
    pen.word_middle(half.x + half.width / 2.0, below, "photo", 9.0, BOLD)
    pen.word_middle(half.right + half.width / 2.0, below, "mix", 9.0, BOLD)


def _draw_dabs(pen: Pen, area: Area) -> None:
    """Draw three empty places for the painter's own dabs."""
    pen.word(area.x, area.y + 8.0, "your dabs", 8.0, level=SOFT)
    gap, top = 6.0, 12.0
    side = (area.height - top - 2.0 * gap) / 3.0
    for row in range(3):
        y = area.y + top + row * (side + gap)
        pen.frame(Area(area.x, y, area.width, side), 0.5, SOFT)
